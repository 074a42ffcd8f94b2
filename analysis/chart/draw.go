package chart

import (
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
)

// Grains draws which cells belong to which grain.
func Grains(w io.Writer, c *Cells, s Sheet) error {
	if err := c.check(); err != nil {
		return err
	}
	p := views(c, 1e30)[0]
	img := image.NewRGBA(image.Rect(0, 0, p.nu, p.nv))
	for v := range p.nv {
		for u := range p.nu {
			img.Set(u, p.nv-1-v, color.Gray{Y: uint8(200 + 20*p.grain(u, v)%56)})
		}
	}
	if err := png.Encode(w, img); err != nil {
		return fmt.Errorf("chart: writing the picture: %w", err)
	}
	return nil
}
