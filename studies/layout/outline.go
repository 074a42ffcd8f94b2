package layout

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"image/png"

	"onegrain/sim/body"
)

// mostPixels is more than any screen or scanner has use for.
const mostPixels = 1 << 26

// Outline reads the picture of a mask, a PNG: a pixel belongs to the body where it is darker than
// half grey and not transparent. How large a pixel is the study says.
func Outline(data []byte) (*body.Picture, error) {
	config, err := png.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return nil, fmt.Errorf("not a PNG picture")
	}
	if config.Width*config.Height > mostPixels {
		return nil, fmt.Errorf("%d × %d pixels are too many; at most 67 million", config.Width, config.Height)
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, fmt.Errorf("a damaged PNG picture: %v", err)
	}
	p := &body.Picture{Columns: config.Width, Rows: config.Height, Body: make([]bool, config.Width*config.Height)}
	any, first := false, img.Bounds().Min
	for i := range p.Body {
		r, g, b, a := img.At(first.X+i%p.Columns, first.Y+i/p.Columns).RGBA()
		p.Body[i] = a >= 0x8000 && r+g+b < 3*0x8000
		any = any || p.Body[i]
	}
	if !any {
		return nil, fmt.Errorf("no pixel is dark, so there is no body in the picture")
	}
	return p, nil
}

// Hash is the SHA-256 of an outline: of its pixels, its width and its height.
func Hash(p *body.Picture) [32]byte {
	data := append(make([]byte, len(p.Body)), fmt.Sprint(p.Columns, p.Rows)...)
	for i, b := range p.Body {
		if b {
			data[i] = 1
		}
	}
	return sha256.Sum256(data)
}
