package plots

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/gif"
	"image/png"
	"io"
	"math/rand/v2"
	"slices"
	"testing"

	"onegrain/analysis/chart/paper"
)

// shelf keeps the files of an album, by name.
type shelf map[string][]byte

func (s shelf) put(name string, content func(io.Writer) error) error {
	var b bytes.Buffer
	err := content(&b)
	s[name] = b.Bytes()
	return err
}

// A page never outgrows what can be mailed: what comes late is carried at half its resolution, and
// lies beside it whole.
func TestAlbumKeepsWithinItsBudget(t *testing.T) {
	noise := image.NewGray(image.Rect(0, 0, 1400, 1000))
	dice := rand.New(rand.NewPCG(1, 1))
	for i := range noise.Pix {
		noise.Pix[i] = byte(dice.Uint32())
	}
	files := shelf{}
	a := NewAlbum(files.put)
	for k := range 4 {
		draw := func(w io.Writer, _ paper.Format) (string, error) { return "noise", png.Encode(w, noise) }
		if err := a.Add(Plot{Section: "pictures", Name: fmt.Sprint(k), Caption: "noise", Draw: draw}); err != nil {
			t.Fatal(err)
		}
	}
	if a.carried > 4<<20 {
		t.Errorf("carries %d bytes", a.carried)
	}
	first, last := a.Figures["pictures"][0], a.Figures["pictures"][3]
	if len(last.Image) > len(first.Image)/2 || last.Width != first.Width || first.Width != 700 {
		t.Errorf("%d bytes shown at width %d, first %d at %d", len(last.Image), last.Width, len(first.Image), first.Width)
	}
	if whole := files[Folder+"/3.png"]; len(whole) != len(first.Image) {
		t.Errorf("%d bytes beside the page, wanted %d", len(whole), len(first.Image))
	}
	film := make([]byte, mostFilm+1)
	if err := a.Film("pictures", "growth", "growth", "it grows", film); err != nil || len(a.Figures["pictures"]) != 4 {
		t.Errorf("a film that has no room is carried: %d figures, %v", len(a.Figures["pictures"]), err)
	}
	if len(files[Folder+"/growth.gif"]) != len(film) {
		t.Error("a film that has no room is not beside the page")
	}
}

func TestFiguresHaveTheirFiles(t *testing.T) {
	files := shelf{}
	a := NewAlbum(files.put)
	var formats []paper.Format
	small := image.NewPaletted(image.Rect(0, 0, 8, 4), color.Palette{color.White, color.Black})
	draw := func(w io.Writer, f paper.Format) (string, error) {
		formats = append(formats, f)
		return fmt.Sprintf("drawn %d times", len(formats)), png.Encode(w, small)
	}
	if err := a.Add(Plot{"window", "window", "The window", draw}); err != nil {
		t.Fatal(err)
	}
	var film bytes.Buffer
	if err := gif.Encode(&film, small, nil); err != nil {
		t.Fatal(err)
	}
	if err := a.Film("pictures", "growth", "The growth", "it grows", film.Bytes()); err != nil {
		t.Fatal(err)
	}
	f, m := a.Figures["window"][0], a.Figures["pictures"][0]
	if !slices.Equal(formats, []paper.Format{paper.PNG, paper.SVG}) || f.Alt != "drawn 1 times" || f.Moves ||
		f.Width != 4 || f.Height != 2 || !slices.Equal(f.Files, []string{Folder + "/window.png", Folder + "/window.svg"}) {
		t.Errorf("formats %v, figure %+v", formats, f)
	}
	if !m.Moves || m.Kind != "image/gif" || m.Alt != "it grows" || !bytes.Equal(m.Image, film.Bytes()) {
		t.Errorf("film %+v", m)
	}
	full := errors.New("no space left")
	a = NewAlbum(func(string, func(io.Writer) error) error { return full })
	if err := a.Add(Plot{"window", "window", "The window", draw}); !errors.Is(err, full) || len(a.Figures) > 0 {
		t.Errorf("%v, %d figures", err, len(a.Figures))
	}
}
