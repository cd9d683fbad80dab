package room

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/roomsheet"
)

// Wall is one wall as people pace a room out: its length, and how far one
// turns at its end, in degrees, to the left: 90 at an ordinary corner, -90
// where a chimney breast comes into the room. One walks with the room on the
// left.
type Wall struct {
	Length float64 `json:"length" exclusiveMinimum:"0"` // mm
	Turn   float64 `json:"turn" doc:"Degrees to the left; -90 where a chimney breast comes into the room."`
}

// What walls may miss by and still close: tapes, and corners that are not
// quite square. Common practice, no source.
const closes = 60.0 // mm

// Corners turns walls into corners, starting at the origin along u. What the
// walls miss by is spread over them by length, as in a compass traverse
// (Bowditch's rule). Faults: BadInput where they miss by more than 60 mm.
func Corners(walls []Wall) ([]roomsheet.Point, error) {
	var out []roomsheet.Point
	at, heading, whole := roomsheet.Point{}, 0.0, 0.0
	for _, w := range walls {
		out = append(out, at)
		sin, cos := math.Sincos(heading * math.Pi / 180)
		at[0] += w.Length * cos
		at[1] += w.Length * sin
		heading += w.Turn
		whole += math.Abs(w.Length)
	}
	if miss := math.Hypot(at[0], at[1]); miss > closes || math.IsNaN(miss) {
		return nil, badOutline("walls", fmt.Sprintf("the walls end %.0f mm from where they began", miss),
			"Go round once more: the last wall ends where the first begins")
	}
	gone := 0.0
	for i := range out {
		if whole > 0 {
			out[i][0] = round(out[i][0] - at[0]*gone/whole)
			out[i][1] = round(out[i][1] - at[1]*gone/whole)
		}
		gone += math.Abs(walls[i].Length)
	}
	return out, nil
}

// round takes off what the sine of a right angle leaves behind.
func round(x float64) float64 { return math.Round(x*1000) / 1000 }

// CheckOutline returns corners anticlockwise with the first wall kept first, or
// says what is wrong with them: fewer than 3 or more than 100, a wall under
// 1 mm, walls that cross.
func CheckOutline(corners []roomsheet.Point) ([]roomsheet.Point, error) {
	n := len(corners)
	if n < 3 || n > 100 {
		return nil, badOutline("outline", fmt.Sprintf("the outline has %d corners", n),
			"Give 3 to 100, in order round the room")
	}
	for i, a := range corners {
		b := corners[(i+1)%n]
		if !(math.Abs(a[0]) <= 100_000 && math.Abs(a[1]) <= 100_000) {
			return nil, badOutline("outline", fmt.Sprintf("corner %d is over 100 m away", i+1), "Give it in millimetres")
		}
		if math.Hypot(b[0]-a[0], b[1]-a[1]) < 1 {
			return nil, badOutline("outline", fmt.Sprintf("wall %d has no length", i+1), "Give two corners that are apart")
		}
		for k := i + 2; k < n; k++ {
			if (k+1)%n != i && crosses(a, b, corners[k], corners[(k+1)%n]) {
				return nil, badOutline("outline", fmt.Sprintf("wall %d crosses wall %d", i+1, k+1),
					"Give the corners in order round the room")
			}
		}
	}
	if area(corners) >= 0 {
		return corners, nil
	}
	// The other way round: the first wall stays the first, its ends swapped.
	turned := slices.Clone(corners)
	slices.Reverse(turned)
	return append(turned[n-2:], turned[:n-2]...), nil
}

// area is twice the signed area, positive for anticlockwise.
func area(corners []roomsheet.Point) float64 {
	sum := 0.0
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		sum += a[0]*b[1] - b[0]*a[1]
	}
	return sum
}

// crosses reports whether two walls that share no corner touch. Walls in one line,
// as on both sides of a chimney breast, touch only where they overlap.
func crosses(a, b, c, d roomsheet.Point) bool {
	side := func(p, q, r roomsheet.Point) float64 {
		return (q[0]-p[0])*(r[1]-p[1]) - (q[1]-p[1])*(r[0]-p[0])
	}
	if side(a, b, c) == 0 && side(a, b, d) == 0 {
		return overlap(a[0], b[0], c[0], d[0]) && overlap(a[1], b[1], c[1], d[1])
	}
	return side(a, b, c)*side(a, b, d) <= 0 && side(c, d, a)*side(c, d, b) <= 0
}

// overlap reports whether the stretches between a and b and between c and d touch.
func overlap(a, b, c, d float64) bool {
	return max(min(a, b), min(c, d)) <= min(max(a, b), max(c, d))
}

// faces are the faces along an outline, called what they were called, or named
// for where they lie on the sheet: the south wall at the bottom, and so round; a
// second one of a name is "south wall 2".
func faces(outline []roomsheet.Point, called []string) []Datum {
	var out []Datum
	seen := map[string]int{}
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		name := side(a, b)
		if i < len(called) && strings.TrimSpace(called[i]) != "" {
			name = strings.TrimSpace(called[i])
		}
		if seen[name]++; seen[name] > 1 {
			name = fmt.Sprintf("%s %d", name, seen[name])
		}
		out = append(out, Datum{Name: name, Kind: "face", Place: i + 1, A: a, B: b})
	}
	return out
}

// Sides names walls for where they lie on the sheet: south, east, north, west; a
// second one on a side has a number.
func Sides(outline []roomsheet.Point) []string {
	var out []string
	for _, f := range faces(outline, nil) {
		out = append(out, strings.Replace(f.Name, " wall", "", 1))
	}
	return out
}

// side names the side that a wall with the room on its left lies on.
func side(a, b roomsheet.Point) string {
	turn := math.Mod(math.Atan2(b[1]-a[1], b[0]-a[0])*180/math.Pi+360+45, 360)
	return [...]string{"south wall", "east wall", "north wall", "west wall"}[int(turn/90)%4]
}

func badOutline(path, wrong, mend string) error {
	return &fault.Error{Kind: fault.BadInput, Msg: "This outline is not one of a room: " + wrong + ".",
		Fields: []fault.Field{{Path: path, Wrong: wrong, Mend: mend}}}
}
