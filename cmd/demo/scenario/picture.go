package scenario

import (
	"image"
	"image/color"
	"math"

	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
)

// The colours of an open ceiling, as a phone sees it in a shell of a house.
var (
	wool  = color.RGBA{196, 178, 128, 255}
	deal  = color.RGBA{164, 122, 76, 255}
	grain = color.RGBA{142, 101, 60, 255}
	cable = color.RGBA{72, 74, 78, 255}
	tape  = color.RGBA{226, 203, 62, 255}
)

// wide is the width of a drawn picture, px.
const wide = 1280

// scene draws a surface as it looks while it is open: wool, timbers with their
// grain, and a coiled tail with a flag of tape at each of some places.
func scene(s *room.Surface, timbers []room.Timber, tails []roomsheet.Point) image.Image {
	low, high := s.Outline[0], s.Outline[0]
	for _, p := range s.Outline {
		low = roomsheet.Point{math.Min(low[0], p[0]), math.Min(low[1], p[1])}
		high = roomsheet.Point{math.Max(high[0], p[0]), math.Max(high[1], p[1])}
	}
	scale := wide / math.Max(high[0]-low[0], high[1]-low[1]) // px per mm
	out := image.NewRGBA(image.Rect(0, 0, int((high[0]-low[0])*scale), int((high[1]-low[1])*scale)))
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			at := roomsheet.Point{low[0] + float64(x)/scale, high[1] - float64(y)/scale}
			out.Set(x, y, seenAt(at, timbers, tails))
		}
	}
	return out
}

// seenAt returns the colour at a place of the surface.
func seenAt(at roomsheet.Point, timbers []room.Timber, tails []roomsheet.Point) color.RGBA {
	for _, t := range tails {
		switch r := math.Hypot(at[0]-t[0], at[1]-t[1]); {
		case math.Abs(at[0]-t[0]-55) < 40 && math.Abs(at[1]-t[1]-45) < 11:
			return tape
		case r < 12, r > 26 && r < 34, r > 44 && r < 50 && at[1] < t[1]:
			return cable
		}
	}
	for _, t := range timbers {
		along, across := onto(at, t.A, t.B)
		if along < 0 || along > 1 || math.Abs(across) > t.Width/2 {
			continue
		}
		if math.Mod(math.Abs(across)+3*math.Sin(along*40), 11) < 2 {
			return grain
		}
		return deal
	}
	// Wool is never of one colour.
	shade := uint8(10 * (1 + math.Sin(at[0]/17+3*math.Sin(at[1]/29))))
	return color.RGBA{wool.R - shade, wool.G - shade, wool.B - shade, 255}
}

// onto returns how far along a line from a (0) to b (1) a place lies, and how far
// beside it in mm.
func onto(at, a, b roomsheet.Point) (along, across float64) {
	du, dv := b[0]-a[0], b[1]-a[1]
	length := math.Hypot(du, dv)
	u, v := at[0]-a[0], at[1]-a[1]
	return (u*du + v*dv) / (length * length), (u*dv - v*du) / length
}
