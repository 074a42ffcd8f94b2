package grains

import (
	"errors"

	"github.com/sourcegraph/conc/iter"

	"onegrain/analysis/evidence"
)

// gather does n things at once and puts what they find in order. The door lets no more studies run than there are cores.
func gather(n int, do func(i int) ([]evidence.Finding, error)) ([]evidence.Finding, error) {
	found := make([][]evidence.Finding, n)
	wrong := make([]error, n)
	numbers := make([]int, n)
	each := iter.Iterator[int]{MaxGoroutines: n}
	each.ForEachIdx(numbers, func(i int, _ *int) { found[i], wrong[i] = do(i) })
	var all []evidence.Finding
	for _, f := range found {
		all = append(all, f...)
	}
	return all, errors.Join(wrong...)
}
