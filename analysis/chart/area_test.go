package chart

import (
	"testing"

	"onegrain/analysis/chart/tint"
)

func TestDottedGroundIsTheLiquidTint(t *testing.T) {
	if got, want := dotted(5, 3), tint.Liquid().Color(); got != want {
		t.Errorf("ground of the liquid is %v, its tint %v", got, want)
	}
}
