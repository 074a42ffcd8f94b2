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
decimal commas, are taken as well. A row without growth cannot be used and is left out.

Do not trust in being told that growth began late: in books of eight runs it is noticed in 91 of 100 where all are 12 % short and
scatter by 3 %, in 47 where they scatter by 5 %, and in 31 and 8 where only one run is short. Write down when growth began.`

	exampleFitNuclei = `  onegrain fit nuclei runs.csv --body mine.toml          # columns run,start_undercooling_K,end_undercooling_K,hours,strays
  onegrain fit nuclei runs.csv --base "Y123, air"        # held runs: columns undercooling_K,hours,volume_mm3,strays
  onegrain fit nuclei runs.csv --body mine.toml --barrier 1.12e7     # strays at one undercooling only`
	shortFitNuclei = "fit prefactor and barrier of nucleation to the strays that were seen"
	longFitNuclei  = `Fits the law prefactor · exp(-barrier / (T ΔT²)), T in kelvin, to what was seen of strays, by maximum likelihood, for melt and
surfaces apart. The block goes to stdout; the rows beside the law, and what the data cannot tell, to stderr. Without any stray it
tells how large the rate can be at most.

A row is a stage that was held or cooled evenly: hours, the undercooling or temperature (one of the four ways below), and one of
strays, stray_seen, first_stray_undercooling_K and first_stray_h; all may stand in one file. Semicolons or tabs between cells, and
then decimal commas, are taken as well.

Growing grains use up the liquid in which strays start. --body STUDY.toml grows the body of a study (its first case: body, seeds,
laws of growth, peritectic temperature) along each row, so that what was liquid is known at every moment; rows of the same run are
its stages, in order; seed_mm takes the place of the width of the study's seeds. What is told as the liquid of a row is its mean
where strays start, weighted by their rate.

Without --body a row has to say what was liquid: volume_mm3, or area_mm2 with place, as the mean of a stage that was held. A row that
cools by more than 2 K cannot say it by a mean, since strays come at the end, when little is left. Where no seed grew, seed_mm = 0
says that nothing was used up. In a file with a column of first strays a row with volume_mm3 or area_mm2 and without strays means
that none came.

Strays use up liquid, too, which is left out: of counts near 10 it takes some 4 to 8 in 100. Intervals hold the truth 94 to 97 times in 100
where six strays or more were seen, and more often where fewer were.`

	flagPeritectic = "peritectic temperature, a `number` of °C: undercooling is 0 there"
	flagBase       = "take the peritectic temperature from this `row` of onegrain materials"
	flagBody       = "grow the body of this `study` along the rows, to know what was liquid when strays came"
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

	leftOutEmpty  = "left out, as there is neither grown_mm nor width_mm: %s"
	leftOutUnseen = "left out, as there is nothing about strays (strays = 0 says that none came): %s"
	leftOutFull   = "left out, as the body was full before: %s"
	leftOutZero   = "left out, as nothing has grown: %s; logarithms know no 0, so the law may be too fast where growth is slow"
	leftOutWarm   = "left out, as it was not undercooled: %s"
	nothingGrown  = "no row has grown"
	nothingLooked = "no undercooled row says anything about strays: wanted strays, stray_seen, first_stray_undercooling_K or first_stray_h"

	meanOfCooled = "cooled from %s K%s: the mean liquid of a stage says nothing of its strays, which come at the end, " +
		"when little is left"
	meanOfCooledHint = "give --body STUDY.toml, a study of the body with its seed and laws of growth, and no volume is " +
		"needed; or seed_mm = 0 where no seed grew"
	largerThanBody   = "more than the whole body of %s, which has %s"
	growingBody      = "growing the body of %s along %s"
	liquidFromBody   = "volume_mm3 and area_mm2 were not read, but for rows with seed_mm = 0: %s tells what was liquid"
	strayInSolid     = "a stray was seen, but by the laws of growth of %s nothing was liquid then"
	strayInSolidHint = "is it that body, and are all stages of the run there, in order? fit the laws of growth first"
	bodyUnseeded     = "--body %s: it has no seed, so nothing uses its liquid up; leave --body out, and give volume_mm3 " +
		"and seed_mm = 0"
	bodyFlat     = "--body %s: it lies in a plane, and a furnace run has a volume; leave body.plane out"
	bodyGradient = "--body %s: under a gradient strays start at many undercoolings at once, which this fit does not " +
		"know; leave [gradient] out"
	bodyPeritectic = "--body %s: its peritectic temperature is %s °C, and %s °C was asked for: undercoolings would not " +
		"be the same"

	lawNeedsPeritectic = "the law counts with the temperature: give --peritectic C, or --base NAME for a row of " +
		"`onegrain materials`, or --body STUDY.toml"
	baseOrPeritectic = "--base and --peritectic both tell the peritectic temperature: leave one of them out"
	noMaterial       = "--base %q: no such material; %s"
)
