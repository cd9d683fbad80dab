package web

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"testing"
)

// icons lists the icons: the mark of mark.svg as phones need it, in square
// bitmaps. They are drawn here and kept as files; -update draws them again.
var icons = []struct {
	name string
	size int
	// share of the square that the mark takes. A phone may cut a full one to any
	// shape within a circle of 40 % about its middle (W3C, Web Application
	// Manifest, "maskable").
	share float64
}{
	{"icon-192.png", 192, 1},
	{"icon-512.png", 512, 1},
	{"icon-full.png", 512, 0.72},
}

var (
	iconPaper = color.RGBA{0xfa, 0xf6, 0xea, 0xff}
	iconChalk = color.RGBA{0x1f, 0x5c, 0x99, 0xff}
	iconInk   = color.RGBA{0x2c, 0x2e, 0x30, 0xff}
)

// stroke is a line of the mark on its sheet of 32 by 32, or, with r, a circle
// about the first point.
type stroke struct {
	x1, y1, x2, y2, r, width float64
	ink                      color.RGBA
}

// markStrokes are those of mark.svg: two chalk lines, and a luminaire (IEC
// 60617) where they send one.
var markStrokes = []stroke{
	{2, 24, 30, 24, 0, 1.6, iconChalk},
	{8, 30, 8, 2, 0, 1.6, iconChalk},
	{19, 13, 0, 0, 7, 1.8, iconInk},
	{14, 8, 24, 18, 0, 1.8, iconInk},
	{14, 18, 24, 8, 0, 1.8, iconInk},
}

// covers reports whether a point of the sheet is under the stroke, whose ends
// are square.
func (s stroke) covers(x, y float64) bool {
	if s.r > 0 {
		return math.Abs(math.Hypot(x-s.x1, y-s.y1)-s.r) <= s.width/2
	}
	dx, dy := s.x2-s.x1, s.y2-s.y1
	length := math.Hypot(dx, dy)
	along := ((x-s.x1)*dx + (y-s.y1)*dy) / length
	across := math.Abs((x-s.x1)*dy-(y-s.y1)*dx) / length
	return along >= 0 && along <= length && across <= s.width/2
}

// strokesNear returns the strokes that may cover part of a square of the sheet:
// those whose own square, with what is to spare, meets it.
func strokesNear(x1, y1, x2, y2 float64) (near []stroke) {
	for _, s := range markStrokes {
		spare := s.r + s.width
		x3, x4, y3, y4 := s.x1, s.x1, s.y1, s.y1
		if s.r == 0 {
			x3, x4, y3, y4 = min(x3, s.x2), max(x4, s.x2), min(y3, s.y2), max(y4, s.y2)
		}
		if x1 <= x4+spare && x2 >= x3-spare && y1 <= y4+spare && y2 >= y3-spare {
			near = append(near, s)
		}
	}
	return near
}

// drawIcon draws the mark. Every pixel is the mean of 8 by 8 points.
func drawIcon(size int, share float64) *image.RGBA {
	const fine = 8
	img := image.NewRGBA(image.Rect(0, 0, size, size))
	for py := range size {
		for px := range size {
			var sum [3]int
			at := func(p int, k float64) float64 {
				return ((float64(p)+(k+0.5)/fine)/float64(size)-0.5)/share*32 + 16
			}
			near := strokesNear(at(px, -0.5), at(py, -0.5), at(px, fine-0.5), at(py, fine-0.5))
			for i := range fine * fine {
				ink := iconPaper
				for _, s := range near {
					if s.covers(at(px, float64(i%fine)), at(py, float64(i/fine))) {
						ink = s.ink
					}
				}
				sum[0], sum[1], sum[2] = sum[0]+int(ink.R), sum[1]+int(ink.G), sum[2]+int(ink.B)
			}
			mean := func(n int) uint8 { return uint8((n + fine*fine/2) / (fine * fine)) }
			img.SetRGBA(px, py, color.RGBA{mean(sum[0]), mean(sum[1]), mean(sum[2]), 0xff})
		}
	}
	return img
}

// TestIconsAreTheMark: the files are the drawing, pixel by pixel.
func TestIconsAreTheMark(t *testing.T) {
	for _, c := range icons {
		want := drawIcon(c.size, c.share)
		if *update {
			var b bytes.Buffer
			if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&b, want); err != nil {
				t.Fatal(err)
			}
			writeFile(t, "static/"+c.name, b.Bytes())
		}
		data, err := os.ReadFile("static/" + c.name)
		if err != nil {
			t.Fatalf("%v (run go test ./web -update)", err)
		}
		got, err := png.Decode(bytes.NewReader(data))
		if err != nil || got.Bounds() != want.Bounds() {
			t.Fatalf("%s: %v, %v", c.name, got.Bounds(), err)
		}
		for y := range c.size {
			for x := range c.size {
				if color.RGBAModel.Convert(got.At(x, y)) != color.Color(want.RGBAAt(x, y)) {
					t.Fatalf("%s differs at %d, %d", c.name, x, y)
				}
			}
		}
	}
}

// TestTheFullIconMayBeCut: outside the circle that is safe there is only paper.
func TestTheFullIconMayBeCut(t *testing.T) {
	img := drawIcon(512, icons[2].share)
	for y := range 512 {
		for x := range 512 {
			if math.Hypot(float64(x)-255.5, float64(y)-255.5) > 0.4*512 && img.RGBAAt(x, y) != iconPaper {
				t.Fatalf("the mark reaches %d, %d", x, y)
			}
		}
	}
}
