package layout

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"testing"
)

func picture(t *testing.T, w, h int, body func(x, y int) bool) []byte {
	t.Helper()
	img := image.NewNRGBA(image.Rect(3, 5, 3+w, 5+h)) // bounds need not start at 0
	for y := range h {
		for x := range w {
			c := color.NRGBA{255, 255, 255, 255}
			if body(x, y) {
				c = color.NRGBA{20, 30, 40, 255}
			} else if (x+y)%2 == 0 {
				c = color.NRGBA{0, 0, 0, 0} // transparent is not body
			}
			img.SetNRGBA(3+x, 5+y, c)
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// A dark pixel is body, a transparent one is not; the hash tells pictures apart by shape and
// pixels.
func TestOutline(t *testing.T) {
	body := func(x, y int) bool { return x >= 20 || y < 10 }
	o, err := Outline(picture(t, 40, 20, body))
	if err != nil || o.Columns != 40 || o.Rows != 20 {
		t.Fatal(o, err)
	}
	for i, b := range o.Body {
		if b != (i%40 >= 20 || i/40 < 10) {
			t.Fatalf("pixel %d is %v", i, b)
		}
	}
	hashes := map[[32]byte]bool{Hash(o): true}
	for _, other := range [][]byte{picture(t, 20, 40, body), picture(t, 40, 20, func(x, y int) bool {
		return body(x, y) ||
			x == 0
	})} {
		p, err := Outline(other)
		if err != nil || hashes[Hash(p)] {
			t.Errorf("another picture has the same hash (%v)", err)
		}
		hashes[Hash(p)] = true
	}
	if _, err := Outline(picture(t, 4, 4, func(x, y int) bool { return false })); err == nil {
		t.Error("a picture without a body is taken")
	}
}
