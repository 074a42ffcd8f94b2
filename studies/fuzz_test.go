package studies

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"onegrain/studies/strict"
)

// loaded wants a study or problems that say what is wrong, nothing else.
func loaded(t *testing.T, text []byte, beside []byte) {
	t.Helper()
	s, err := Load("study.toml", text, func(string) ([]byte, error) { return beside, nil }, 1<<30)
	var problems strict.Problems
	if err != nil {
		if !errors.As(err, &problems) || len(problems) == 0 {
			t.Fatalf("error %v of type %T", err, err)
		}
		return
	}
	if _, err := s.Plan(s.Cases() - 1); err != nil && !errors.As(err, &problems) {
		t.Fatalf("last case: error %v of type %T", err, err)
	}
}

// Any text is a study or is refused with problems.
func FuzzStudy(f *testing.F) {
	for _, pattern := range []string{"catalog/*.toml", "../testdata/invalid/base/*.toml", "../testdata/invalid/*.toml"} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			f.Fatalf("%s: %d files, %v", pattern, len(files), err)
		}
		for i, name := range files {
			text, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			if i%4 == 0 || len(files) < 20 {
				f.Add(text)
			}
		}
	}
	f.Fuzz(func(t *testing.T, text []byte) { loaded(t, text, nil) })
}

// Any bytes are a table of a design or are refused with problems.
func FuzzDesignTable(f *testing.F) {
	study := small + "[design]\nkind = \"table\"\nfile = \"cases.csv\"\n"
	for _, values := range []string{"values = [0.3, 0.5, 1]\n", "values = [6, 12]\n"} {
		study = strings.Replace(study, values, "", 1)
	}
	for _, text := range []string{"cooling_rate_K_per_h,start_K\n0.3,6\n0.5,12\n", "start_K;cooling_rate_K_per_h\n6;0.3\n",
		"\ufeffcooling_rate_K_per_h,start_K\r\n\"0.3\",6\r\n", "cooling_rate_K_per_h\n", ""} {
		f.Add([]byte(text))
	}
	if _, err := Load("study.toml", []byte(study), func(string) ([]byte,
		error) {
		return []byte("cooling_rate_K_per_h,start_K\n0.3,6\n"), nil
	}, 0); err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, text []byte) { loaded(t, []byte(study), text) })
}

// Any bytes are the picture of an outline or are refused with problems.
func FuzzMask(f *testing.F) {
	study := strings.Replace(small, "shape = \"disc\"\nplane = \"ab\"\ndiameter_mm = 10\ncell_mm = 0.25",
		"shape = \"mask\"\nfile = \"outline.png\"\nmm_per_pixel = 1\nplane = \"ab\"\ncell_mm = 0.5", 1)
	picture := image.NewGray(image.Rect(0, 0, 12, 9))
	for y := 1; y < 8; y++ {
		for x := 1; x < 11; x++ {
			picture.Set(x, y, color.White)
		}
	}
	var grey, alpha bytes.Buffer
	if err := errors.Join(png.Encode(&grey, picture), png.Encode(&alpha, image.NewNRGBA(image.Rect(0, 0, 5,
		5)))); err != nil {
		f.Fatal(err)
	}
	f.Add(grey.Bytes())
	f.Add(alpha.Bytes())
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, data []byte) { loaded(t, []byte(study), data) })
}
