package studies

import (
	"strings"
	"testing"
)

// [magnet] looks at a body once it is grown: its keys have defaults, are read, and change no case.
func TestMagnet(t *testing.T) {
	base := first(t, small)
	if got, want := base.Magnet(), (Magnet{100, 0.5, 10, 3, 5.3}); got != want {
		t.Errorf("without [magnet]: %+v, wanted %+v", got, want)
	}
	const given = "[magnet]\ncritical_current_A_per_mm2 = 320\nheight_above_mm = 1\nthickness_mm = " +
		"8\nboundary_threshold_deg = 4\nboundary_decay_deg = 4.4\n[body]"
	set := first(t, strings.Replace(small, "[body]", given, 1))
	if got, want := set.Magnet(), (Magnet{320, 1, 8, 4, 4.4}); got != want {
		t.Errorf("read as %+v, wanted %+v", got, want)
	}
	if set.ID != base.ID || set.Key(1) != base.Key(1) {
		t.Error("[magnet] changes the identity of a case, so results would be computed again")
	}
	if other := first(t, strings.Replace(small, "cell_mm = 0.25", "cell_mm = 0.2", 1)); other.ID == base.ID {
		t.Error("canary: the cell does not change the identity either")
	}
}

func TestMagnetRefuses(t *testing.T) {
	deep := strings.NewReplacer("plane = \"ab\"", "height_mm = 5", "prefactor_per_mm2_h", "prefactor_per_mm3_h").Replace(
		small)
	if got := first(t, deep).Magnet().ThicknessMM; got != 0 {
		t.Errorf("a body of three dimensions is said to be %v mm thick", got)
	}
	for _, row := range []struct{ text, edit, says string }{
		{small, "[magnet]\ncritical_current_A_per_mm2 = 0\n[body]", "magnet.critical_current_A_per_mm2 = 0: wanted"},
		{small, "[magnet]\nheight_above_mm = -1\n[body]", "magnet.height_above_mm = -1: wanted"},
		{small, "[magnet]\nboundary_decay_deg = 0\n[body]", "magnet.boundary_decay_deg = 0: wanted"},
		{small, "[magnet]\nboundary_angle_deg = 3\n[body]", "unknown key"},
		{deep, "[magnet]\nthickness_mm = 5\n[body]", "magnet.thickness_mm = 5: has no meaning here"},
	} {
		_, err := Load("small.toml", []byte(strings.Replace(row.text, "[body]", row.edit, 1)), nil, 0)
		if err == nil || !strings.Contains(err.Error(), row.says) {
			t.Errorf("%q: %v, wanted %q", row.edit, err, row.says)
		}
	}
	vary := strings.Replace(small, "\"schedule.stage.2.to_undercooling_K\"\nname = \"start_K\"",
		"\"magnet.height_above_mm\"\nname = \"height_mm\"", 1)
	if _, err := Load("small.toml", []byte(vary), nil, 0); err == nil || !strings.Contains(err.Error(),
		"this key cannot be varied") {
		t.Errorf("a varied key of [magnet]: %v", err)
	}
}
