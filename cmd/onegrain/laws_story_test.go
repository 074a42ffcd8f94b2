package main

import (
	"os"
	"strconv"

	"github.com/rogpeppe/go-internal/testscript"

	"onegrain/studies/draws"
	"onegrain/studies/table"
)

// lawsFile FILE COUNT writes a file of so many laws, six of ten with strays as a rate, which seldom
// spoil a small disc, the others with strays at sites, which often do.
func lawsFile(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: lawsfile FILE COUNT")
	}
	n, err := strconv.Atoi(args[1])
	ts.Check(err)
	f := &draws.File{Furnaces: []string{"north", "south"}, PeritecticC: 1010, LowestK: 8, HighestK: 16, ModelVersion: "3"}
	for i := range n {
		x := float64(i) / float64(n)
		law := draws.Law{Family: draws.Barrier, RateA: 0.12 + 0.03*x, ExponentA: 1.9, RateC: 0.2, ExponentC: 1.3,
			PrefactorPerMM3H: 1.1e4, BarrierK3: 5.8e6 + 4e5*x, ScatterK: 0.1, OffsetK: []float64{0, 0.5}}
		if i%10 >= 6 {
			law.Family, law.PrefactorPerMM3H, law.BarrierK3 = draws.Sites, 0, 0
			law.DensityPerMM3, law.MeanK, law.SpreadK = 0.5, 21+x, 2
		}
		f.Laws = append(f.Laws, law)
	}
	data, err := table.EncodeLaws(f)
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), data, 0o644))
}
