package server_test

import (
	"image"
	"image/color"
	"testing"

	"lathmark/domain/photo"
	"lathmark/server/picture"
)

// developed is a picture of w by h px, brighter to the right.
func developed(t testing.TB, w, h int) *photo.Developed {
	t.Helper()
	made, err := picture.Make(ramp(w, h), 1)
	if err != nil {
		t.Fatal(err)
	}
	return made
}

func ramp(w, h int) image.Image {
	out := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			out.SetGray(x, y, color.Gray{uint8(255 * x / w)})
		}
	}
	return out
}
