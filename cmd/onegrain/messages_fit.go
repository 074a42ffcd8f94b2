package main

// The texts of `onegrain fit`.
const (
	exampleFit = `  onegrain fit growth runs.csv >> laws.toml                       # growth law of the a and c faces
  onegrain fit nuclei runs.csv --peritectic 1005 >> laws.toml     # nucleation law of melt and surfaces`
	shortFit = "learn the growth law or the nucleation law from your own furnace runs"
	longFit  = `Reads a CSV file with one row a furnace run, or a stage of one, and prints the law as a block to paste into a study, with 95 %
intervals. One file may serve both: each fit takes its own columns.`

	exampleFitGrowth = `  onegrain fit growth runs.csv                           # columns run,undercooling_K,hours,grown_mm
  onegrain fit growth runs.csv --base "Y123, air"        # columns start_C,end_C,hours,width_mm,seed_mm
  onegrain fit growth runs.csv --exponent 1.9            # all runs at one undercooling
  onegrain fit growth runs.csv --json | jq '.faces[0].rows[] | select(.studentised > 2)'`
	shortFitGrowth = "fit growth rate and exponent to grown lengths"
	longFitGrowth  = `Fits the law rate = rate_at_10K · (ΔT / 10 K)^exponent to how far faces have grown, by least squares of the logarithms, for a and
c faces apart. The block goes to stdout; the rows beside the law, and what the data cannot tell, to stderr.

A row is a stage that was held or cooled evenly: hours, the undercooling or temperature (one of the four ways below), and grown_mm, or
width_mm with seed_mm. Columns stand in any order; lines with # in front are remarks; semicolons or tabs between cells, and then
decimal commas, are taken as well. A row without growth cannot be used and is left out.`

	exampleFitNuclei = `  onegrain fit nuclei runs.csv --peritectic 1005         # columns undercooling_K,hours,volume_mm3,strays
  onegrain fit nuclei runs.csv --base "Y123, air"        # columns start_C,end_C,hours,volume_mm3,first_stray_undercooling_K
  onegrain fit nuclei runs.csv --base "Y123, air" --barrier 1.12e7   # strays at one undercooling only`
	shortFitNuclei = "fit prefactor and barrier of nucleation to the strays that were seen"
	longFitNuclei  = `Fits the law prefactor · exp(-barrier / (T ΔT²)), T in kelvin, to what was seen of strays, by maximum likelihood, for melt and
surfaces apart. The block goes to stdout; the rows beside the law, and what the data cannot tell, to stderr. Without any stray it
tells how large the rate can be at most.

A row is a stage that was held or cooled evenly: hours, the undercooling or temperature (one of the four ways below), what was liquid
(volume_mm3, or area_mm2 with place), and one of strays, stray_seen, first_stray_undercooling_K and first_stray_h; all may stand in one file. In a
file with a column of first strays a row with liquid and without strays means that none came. Growing grains use up liquid: give
the mean of the stage. Semicolons or tabs between cells, and then decimal commas, are taken as well.`

	flagPeritectic = "peritectic temperature, a `number` of °C: undercooling is 0 there"
	flagBase       = "take the peritectic temperature from this `row` of onegrain materials"
	flagExponent   = "take this `number` as the exponent and fit the rate alone"
	flagBarrier    = "take this `number` of K³ as the barrier and fit the prefactor alone"

	noSheetThere    = "%s: no such file; give a CSV file with one row a furnace run: `onegrain fit growth --help` lists the columns"
	sheetUnreadable = "%s: cannot be read: %v; give a CSV file"
	isWorkbook      = "this is a workbook of a spreadsheet, not a CSV file"
	isUTF16         = "this text is UTF-16, not UTF-8"
	isBinary        = "this is no text"
	saveAsCSV       = `save it as "CSV UTF-8"`
	emptySheet      = "empty: wanted a head line with the names of columns, and one row a furnace run"
	noRowsSheet     = "no rows: wanted one a furnace run below the head line"
	quotesWrong     = "quotation marks do not fit together in the row that begins here"
	tooManyCells    = "%d cells, but the head line has %d"
	commaHint       = "a comma stands between cells here: write decimal points, or put semicolons between cells"
	unitHint        = "the unit is in the name of the column"
	celsiusHint     = "an undercooling is the peritectic temperature less the temperature; temperatures go into columns that end in _C"
	noName          = "this column has no name in the head line"
	unknownColumn   = "no such column"
	columnsHint     = "`onegrain fit growth --help` and `onegrain fit nuclei --help` list them; text goes into run and note"
	twiceColumn     = "this column stands there twice"
	missingCell     = "missing"
	otherCourses    = "or start_undercooling_K and end_undercooling_K, or temperature_C, or start_C and end_C"
	severalCourses  = "the undercooling is told in several ways: %s"
	needsPeritectic = "a temperature says the undercooling only with a peritectic temperature"
	oneOfBoth       = "one of the two is enough"
	widthOfC        = "of a c face a width says nothing"
	grownWarm       = "it has grown, but the undercooling was never above 0.01 K"
	strayWarm       = "a stray cannot come where the undercooling is not above 0.01 K"
	severalOutcomes = "strays are told in several ways: %s"
	heldFirst       = "the undercooling was held, so it does not say when"
	twoUnits        = "the %s is told here and in line %d, once by volume and once by area: give them in files of their own"

	leftOutEmpty  = "left out, as there is %[2]s: %[1]s"
	leftOutZero   = "left out, as nothing has grown: %s; logarithms know no 0, so the law may be too fast where growth is slow"
	leftOutWarm   = "left out, as it was not undercooled: %s"
	nothingGrown  = "no row has grown"
	nothingLooked = "no undercooled row says anything about strays: wanted strays, stray_seen, first_stray_undercooling_K or first_stray_h"

	lawNeedsPeritectic = "the law counts with the temperature: give --peritectic C, or --base NAME for a row of `onegrain materials`"
	baseOrPeritectic   = "--base and --peritectic both tell the peritectic temperature: leave one of them out"
	noMaterial         = "--base %q: no such material; %s"
)
