package picture

import (
	"image"

	"golang.org/x/image/draw"

	"lathmark/domain/photo"
)

// scaled returns the picture in a size, turned upright, on white where it is transparent.
// Each pixel is the mean of those that it covers, weighed by how much of them it covers.
// They are read row by row, so it needs no memory besides the result, and pauses at each.
func scaled(raw image.Image, size photo.Size, orientation int, pause func() error) (*image.RGBA, error) {
	from := raw.Bounds()
	w, h := size.Fit(from.Dx(), from.Dy())
	out, at := upright(w, h, orientation)
	row := image.NewRGBA(image.Rect(0, 0, from.Dx(), 1))
	line, sums := make([]uint32, 3*w), make([]uint64, 3*w)
	area := uint64(from.Dx()) * uint64(from.Dy())
	y, open := 0, from.Dy() // the row that is filled, and how much of it is left, in parts of h
	for from.Min.Y < from.Max.Y {
		if err := pause(); err != nil {
			return nil, err
		}
		draw.Draw(row, row.Rect, image.White, image.Point{}, draw.Src)
		draw.Draw(row, row.Rect, raw, from.Min, draw.Over)
		from.Min.Y++
		across(line, row.Pix)
		part := min(h, open)
		add(sums, line, part)
		if open -= part; open > 0 {
			continue
		}
		for x := range w {
			to := out.Pix[at(x, y):]
			for c := range 3 {
				to[c] = uint8((sums[3*x+c] + area/2) / area)
			}
			to[3] = 0xff
		}
		clear(sums)
		add(sums, line, h-part)
		y, open = y+1, raw.Bounds().Dy()-(h-part)
	}
	return out, nil
}

// across sums up a row of pixels into fewer, or as many: each is split at the borders in
// whole parts.
func across(to []uint32, row []uint8) {
	clear(to)
	n, m := len(row)/4, len(to)/3
	x, open := 0, n
	for i := range n {
		part := min(m, open)
		for c := range 3 {
			to[3*x+c] += uint32(row[4*i+c]) * uint32(part)
		}
		if open -= part; open > 0 {
			continue
		}
		x, open = x+1, n-(m-part)
		for c := 0; part < m && c < 3; c++ {
			to[3*x+c] += uint32(row[4*i+c]) * uint32(m-part)
		}
	}
}

func add(to []uint64, line []uint32, times int) {
	for i, v := range line {
		to[i] += uint64(v) * uint64(times)
	}
}

// upright returns an empty picture for one of w by h px that is stored in an orientation,
// and where in it a pixel belongs. The orientation says where the first row and the first
// column belong: 1 top and left, 2 top and right, 3 bottom and right, 4 bottom and left,
// 5 left and top, 6 right and top, 7 right and bottom, 8 left and bottom (Exif 2.3, 4.6.4).
func upright(w, h, orientation int) (out *image.RGBA, at func(x, y int) int) {
	swapped := orientation >= 5
	if swapped {
		w, h = h, w
	}
	out = image.NewRGBA(image.Rect(0, 0, w, h))
	return out, func(x, y int) int {
		if swapped {
			x, y = y, x
		}
		if orientation/2%2 == 1 { // 2, 3, 6, 7
			x = w - 1 - x
		}
		if (orientation-1)/2%2 == 1 { // 3, 4, 7, 8
			y = h - 1 - y
		}
		return out.PixOffset(x, y)
	}
}
