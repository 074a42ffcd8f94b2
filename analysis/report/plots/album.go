package plots

import (
	"bytes"
	"fmt"
	"image"
	_ "image/gif" // sizes of figures
	"image/png"
	"io"

	"golang.org/x/image/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/report"
)

// Folder of the files of an [Album], beside the page.
const Folder = "report-figures"

// mostCarried bytes of pictures make a page of less than 5 MB, a third more being added where they
// are written as text; mostFilm is the most of a film.
const (
	mostCarried = 3 << 20
	mostFilm    = 3 << 19
)

// Album draws the figures of a page: as PNG for the page itself, as PNG and SVG beside it.
type Album struct {
	Figures map[string][]report.Figure // by section of the page, in the order in which they were drawn
	put     func(name string, content func(io.Writer) error) error
	carried int // bytes in the page so far
}

// NewAlbum is an empty album. It writes its files with put, whose names begin with [Folder].
func NewAlbum(put func(name string, content func(io.Writer) error) error) *Album {
	return &Album{Figures: map[string][]report.Figure{}, put: put}
}

// Add draws a figure in both formats; the error is that of its Draw or of a file.
func (a *Album) Add(p Plot) error {
	f := report.Figure{Caption: p.Caption, Kind: "image/png"}
	for i, ending := range []string{".png", ".svg"} {
		var b bytes.Buffer
		alt, err := p.Draw(&b, [2]paper.Format{paper.PNG, paper.SVG}[i])
		if err != nil {
			return fmt.Errorf("figure %s: %w", p.Name, err)
		}
		if i == 0 {
			f.Alt, f.Image = alt, b.Bytes()
		}
		if err := a.save(&f, p.Name+ending, b.Bytes()); err != nil {
			return err
		}
	}
	return a.carry(p.Section, f)
}

// Film takes a GIF, with its text alternative; the error is that of its file.
func (a *Album) Film(section, name, caption, alt string, film []byte) error {
	f := report.Figure{Caption: caption, Alt: alt, Kind: "image/gif", Image: film, Moves: true}
	if err := a.save(&f, name+".gif", film); err != nil || len(film) > mostFilm || a.carried+len(film) > mostCarried {
		return err
	}
	return a.carry(section, f)
}

// save writes a file beside the page and notes it.
func (a *Album) save(f *report.Figure, name string, content []byte) error {
	f.Files = append(f.Files, Folder+"/"+name)
	return a.put(Folder+"/"+name, func(w io.Writer) error {
		_, err := w.Write(content)
		return err
	})
}

// carry puts a figure into the page.
func (a *Album) carry(section string, f report.Figure) error {
	size, _, err := image.DecodeConfig(bytes.NewReader(f.Image))
	if err != nil {
		return err
	}
	f.Width, f.Height = size.Width/paper.DotsPerPoint, size.Height/paper.DotsPerPoint
	if a.carried+len(f.Image) > mostCarried {
		if f.Image, err = halved(f.Image); err != nil {
			return err
		}
	}
	a.carried += len(f.Image)
	a.Figures[section] = append(a.Figures[section], f)
	return nil
}

// halved is a PNG at half its resolution.
func halved(picture []byte) ([]byte, error) {
	whole, err := png.Decode(bytes.NewReader(picture))
	if err != nil {
		return nil, err
	}
	r := whole.Bounds()
	half := image.NewRGBA(image.Rect(0, 0, (r.Dx()+1)/2, (r.Dy()+1)/2))
	draw.BiLinear.Scale(half, half.Bounds(), whole, r, draw.Src, nil)
	var b bytes.Buffer
	err = png.Encode(&b, half)
	return b.Bytes(), err
}
