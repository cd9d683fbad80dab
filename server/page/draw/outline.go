package draw

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/server/page/kit"
)

// outlineForm is what a person typed about a room's outline.
type outlineForm struct {
	f      *kit.Form
	walls  []string // what each wall is called, one per corner
	called []string // what it was called by the person, "" where by nothing
}

// wallsOf reads walls, one a line: "3600 left south". A wall without a name is
// called by the side it lies on.
func (o *outlineForm) wallsOf(text string) []roomsheet.Point {
	var walls []room.Wall
	var called []string
	for n, line := range kit.Lines(text) {
		words := slices.DeleteFunc(strings.Fields(line), func(w string) bool { return w == "mm" })
		if len(words) == 0 {
			continue
		}
		length, ok := deed.Number(words[0])
		if !ok || length <= 0 {
			o.f.Bad("walls", fmt.Sprintf("line %d has no length", n+1), "Begin with it: 3600 left south")
			continue
		}
		w, name := room.Wall{Length: length, Turn: 90}, ""
		if len(words) > 1 {
			if w.Turn, ok = turn(words[1]); !ok {
				o.f.Bad("walls", fmt.Sprintf("line %d: %q is no turn", n+1, words[1]), "Write left, right, or degrees to the left")
				continue
			}
			name = strings.Join(words[2:], " ")
		}
		walls, called = append(walls, w), append(called, name)
	}
	if len(o.f.Wrong) > 0 {
		return nil
	}
	outline, err := room.Corners(walls)
	if fields, bad := kit.Mendable(err); bad {
		o.f.Wrong = append(o.f.Wrong, fields...)
		return nil
	}
	o.walls, o.called = sides(outline), called
	for i, name := range called {
		if name != "" {
			o.walls[i] = name
		}
	}
	return outline
}

func turn(word string) (degrees float64, ok bool) {
	switch strings.ToLower(word) {
	case "left":
		return 90, true
	case "right":
		return -90, true
	case "straight":
		return 0, true
	}
	return deed.Number(word)
}

// cornersOf reads corners, one a line: "3600 0". An empty text has none.
func (o *outlineForm) cornersOf(field, text string) []roomsheet.Point {
	var out []roomsheet.Point
	for n, line := range kit.Lines(text) {
		if strings.TrimSpace(line) == "" {
			continue
		}
		p, ok := deed.ParsePoint(line)
		if !ok {
			o.f.Bad(field, fmt.Sprintf("line %d is no corner", n+1), "Write two lengths in mm: 3600 0")
			continue
		}
		out = append(out, p)
	}
	if turned, err := room.CheckOutline(out); err == nil {
		out = turned // anticlockwise, so that the room is on the left of each wall
	}
	o.walls, o.called = sides(out), make([]string, len(out))
	return out
}

// breasts puts chimney breasts into an outline, one a line: the wall, from its
// start, how wide, how deep.
func (o *outlineForm) breasts(outline []roomsheet.Point, text string) []roomsheet.Point {
	for n, line := range kit.Lines(text) {
		wall, figures, ok := o.wallAndFigures(line, 3)
		if !ok {
			if strings.TrimSpace(line) != "" {
				o.f.Bad("breasts", fmt.Sprintf("line %d is no chimney breast", n+1),
					"Write the wall, from its start, how wide, how deep: north 1100 1200 350")
			}
			continue
		}
		a, b := outline[wall], outline[(wall+1)%len(outline)]
		from, wide, deep := figures[0], figures[1], figures[2]
		length := math.Hypot(b[0]-a[0], b[1]-a[1])
		if from <= 0 || wide <= 0 || deep <= 0 || from+wide >= length {
			o.f.Bad("breasts", fmt.Sprintf("line %d does not fit on a wall of %.0f", n+1, length),
				"Measure from where the wall begins")
			continue
		}
		du, dv := (b[0]-a[0])/length, (b[1]-a[1])/length
		at := func(along, in float64) roomsheet.Point {
			return roomsheet.Point{whole(a[0] + du*along - dv*in), whole(a[1] + dv*along + du*in)}
		}
		around := []roomsheet.Point{at(from, 0), at(from, deep), at(from+wide, deep), at(from+wide, 0)}
		outline = append(outline[:wall+1:wall+1], append(around, outline[wall+1:]...)...)
		name := o.walls[wall]
		beyond := name + " after the breast"
		o.walls = slices.Insert(o.walls, wall+1, "", "", "", beyond)
		if o.called[wall] == "" {
			beyond = ""
		}
		o.called = slices.Insert(o.called, wall+1, "", "", "", beyond)
	}
	return outline
}

// slope is one line about a slope.
type slope struct {
	wall  int // of the outline, from 1
	pitch float64
	knee  float64 // height of the low wall
}

// slopes reads slopes, one a line: the low wall, the pitch, its height.
func (o *outlineForm) slopes(text string) []slope {
	var out []slope
	for n, line := range kit.Lines(text) {
		if strings.TrimSpace(line) == "" {
			continue
		}
		wall, figures, ok := o.wallAndFigures(line, 2)
		if !ok {
			o.f.Bad("slopes", fmt.Sprintf("line %d is no slope", n+1),
				"Write the low wall, the pitch in degrees, the height of the low wall: south 35 900")
			continue
		}
		out = append(out, slope{wall + 1, figures[0], figures[1]})
	}
	return out
}

// length is how long a slope is, measured up it, in a room of a height.
func (s slope) length(height float64) float64 {
	return (height - s.knee) / math.Sin(s.pitch*math.Pi/180)
}

// wallAndFigures reads a wall's name or number, and n figures after it.
func (o *outlineForm) wallAndFigures(line string, n int) (wall int, figures []float64, ok bool) {
	words := strings.Fields(line)
	if len(words) <= n {
		return 0, nil, false
	}
	for _, word := range words[len(words)-n:] {
		x, ok := deed.Number(word)
		if !ok {
			return 0, nil, false
		}
		figures = append(figures, x)
	}
	name := strings.ToLower(strings.TrimSuffix(strings.Join(words[:len(words)-n], " "), " wall"))
	for i, w := range o.walls {
		if strings.ToLower(strings.TrimSuffix(w, " wall")) == name || name == strconv.Itoa(i+1) {
			return i, figures, true
		}
	}
	return 0, nil, false
}

// sides names walls for where they lie on the sheet; a second one on a side has
// a number: the same names that the faces of a room get.
func sides(outline []roomsheet.Point) []string {
	out := make([]string, len(outline))
	seen := map[string]int{}
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		degrees := math.Mod(math.Atan2(b[1]-a[1], b[0]-a[0])*180/math.Pi+360+45, 360)
		out[i] = [...]string{"south", "east", "north", "west"}[int(degrees/90)%4]
		if seen[out[i]]++; seen[out[i]] > 1 {
			out[i] += " " + strconv.Itoa(seen[out[i]])
		}
	}
	return out
}

// whole takes off what the sine of a right angle leaves behind.
func whole(x float64) float64 { return math.Round(x*1000) / 1000 }

// wetOf reads baths and showers, one a line: the word, then the corners.
func wetOf(f *kit.Form, field string) []room.Wet {
	var out []room.Wet
	for n, line := range kit.Lines(f.Get(field)) {
		words := strings.Fields(line)
		if len(words) == 0 {
			continue
		}
		w, ok := room.Wet{Kind: strings.ToLower(words[0])}, len(words)%2 == 1 && len(words) >= 7
		for i := 1; ok && i < len(words); i += 2 {
			p, isPoint := deed.ParsePoint(words[i] + " " + words[i+1])
			w.Outline, ok = append(w.Outline, p), isPoint
		}
		if !ok || w.Kind != "bath" && w.Kind != "shower" {
			f.Bad(field, fmt.Sprintf("line %d is no bath or shower", n+1),
				"Write it by its corners in the room: bath 0 0 1700 0 1700 700 0 700")
			continue
		}
		out = append(out, w)
	}
	return out
}
