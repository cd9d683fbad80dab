package deed

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// outline is what a person typed about a room's outline.
type outline struct {
	f      *Form
	walls  []string // what each wall is called, one per corner
	called []string // what it was called by the person, "" where by nothing
}

// paced reads walls, one a line: "3600 left south". A wall without a name is
// called by the side it lies on.
func (o *outline) paced(field string) []roomsheet.Point {
	var walls []room.Wall
	var called []string
	for n, line := range o.f.Lines(field) {
		words := slices.DeleteFunc(strings.Fields(line), func(w string) bool { return w == "mm" })
		length, ok := Number(words[0])
		if !ok || length <= 0 {
			o.f.Bad(field, fmt.Sprintf("line %d has no length", n), "Begin with it: 3600 left south")
			continue
		}
		if !o.f.sense(field, fmt.Sprintf("line %d: %s", n, words[0]), length, room.AWall) {
			continue
		}
		w, name := room.Wall{Length: length, Turn: 90}, ""
		if len(words) > 1 {
			if w.Turn, ok = turn(words[1]); !ok {
				o.f.Bad(field, fmt.Sprintf("line %d: %q is no turn", n, words[1]), "Write left, right, or degrees to the left")
				continue
			}
			name = strings.Join(words[2:], " ")
		}
		walls, called = append(walls, w), append(called, name)
	}
	if len(o.f.Wrong) > 0 {
		return nil
	}
	corners, err := room.Corners(walls)
	if bad := (*fault.Error)(nil); errors.As(err, &bad) {
		o.f.Wrong = append(o.f.Wrong, bad.Fields...)
		return nil
	}
	o.walls, o.called = room.Sides(corners), called
	for i, name := range called {
		if name != "" {
			o.walls[i] = name
		}
	}
	return corners
}

// sense notes where a length makes no sense for what it is of; typed is what was typed.
func (f *Form) sense(name, typed string, mm float64, of room.Sensible) bool {
	wrong, mend := of.Check(typed, mm)
	if wrong != "" {
		f.Bad(name, wrong, mend)
	}
	return wrong == ""
}

// sensed reads a length that must be there and make sense.
func (f *Form) sensed(name, what string, of room.Sensible) float64 {
	wrong := len(f.Wrong)
	mm := f.Needed(name, what)
	if len(f.Wrong) == wrong {
		f.sense(name, f.Get(name), mm, of)
	}
	return mm
}

// rectangle reads a length along the bottom of the sheet and a width up it.
func (o *outline) rectangle() []roomsheet.Point {
	long, wide := o.f.sensed("length", "length", room.AWall), o.f.sensed("width", "width", room.AWall)
	out := room.Rectangle(long, wide)
	o.walls, o.called = room.Sides(out), make([]string, len(out))
	return out
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
	return Number(word)
}

// corners reads corners, one a line: "3600 0". An empty text has none.
func (o *outline) corners(field string) []roomsheet.Point {
	var out []roomsheet.Point
	for n, line := range o.f.Lines(field) {
		p, ok := ParsePoint(line)
		if !ok {
			o.f.Bad(field, fmt.Sprintf("line %d is no corner", n), "Write two lengths in mm: 3600 0")
			continue
		}
		out = append(out, p)
	}
	if turned, err := room.CheckOutline(out); err == nil {
		out = turned // anticlockwise, so that the room is on the left of each wall
	}
	o.walls, o.called = room.Sides(out), make([]string, len(out))
	for i, a := range out {
		b := out[(i+1)%len(out)]
		length := math.Hypot(b[0]-a[0], b[1]-a[1])
		if !o.f.sense(field, fmt.Sprintf("wall %d", i+1), whole(length), room.AWall) {
			break
		}
	}
	return out
}

// breasts puts chimney breasts into an outline, one a line: the wall, from its
// start, how wide, how deep.
func (o *outline) breasts(outline []roomsheet.Point, field string) []roomsheet.Point {
	for n, line := range o.f.Lines(field) {
		wall, figures, ok := o.wallAndFigures(line, 3)
		if !ok {
			o.f.Bad(field, fmt.Sprintf("line %d is no chimney breast", n),
				"Write the wall, from its start, how wide, how deep: north 1100 1200 350")
			continue
		}
		a, b := outline[wall], outline[(wall+1)%len(outline)]
		from, wide, deep := figures[0], figures[1], figures[2]
		length := math.Hypot(b[0]-a[0], b[1]-a[1])
		if from <= 0 || wide <= 0 || deep <= 0 || from+wide >= length {
			o.f.Bad(field, fmt.Sprintf("line %d does not fit on a wall of %.0f", n, length),
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

// slopes reads slopes of a room of a height, one a line: the low wall, the pitch,
// the height of that wall.
func (o *outline) slopes(field string, height float64) []room.SurfaceDraft {
	var out []room.SurfaceDraft
	for n, line := range o.f.Lines(field) {
		wall, figures, ok := o.wallAndFigures(line, 2)
		if !ok {
			o.f.Bad(field, fmt.Sprintf("line %d is no slope", n),
				"Write the low wall, the pitch in degrees, the height of the low wall: south 35 900")
			continue
		}
		out = append(out, room.SurfaceDraft{ID: NewID[id.Surface](o.f, len(out)+1), Kind: "slope",
			Name: "slope over " + o.walls[wall], Wall: wall + 1, Pitch: figures[0],
			Length: (height - figures[1]) / math.Sin(figures[0]*math.Pi/180)})
	}
	if len(out) == 1 {
		out[0].Name = "slope"
	}
	return out
}

// wallAndFigures reads a wall's name or number, and n figures after it.
func (o *outline) wallAndFigures(line string, n int) (wall int, figures []float64, ok bool) {
	words := strings.Fields(line)
	if len(words) <= n {
		return 0, nil, false
	}
	for _, word := range words[len(words)-n:] {
		x, ok := Number(word)
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

// whole takes off what the sine of a right angle leaves behind.
func whole(x float64) float64 { return math.Round(x*1000) / 1000 }

// wet reads baths and showers, one a line: the word, then the corners.
func (f *Form) wet(field string) []room.Wet {
	var out []room.Wet
	for n, line := range f.Lines(field) {
		words := strings.Fields(line)
		w, ok := room.Wet{Kind: strings.ToLower(words[0])}, len(words)%2 == 1 && len(words) >= 7
		for i := 1; ok && i < len(words); i += 2 {
			p, isPoint := ParsePoint(words[i] + " " + words[i+1])
			w.Outline, ok = append(w.Outline, p), isPoint
		}
		if !ok || w.Kind != "bath" && w.Kind != "shower" {
			f.Bad(field, fmt.Sprintf("line %d is no bath or shower", n),
				"Write it by its corners in the room: bath 0 0 1700 0 1700 700 0 700")
			continue
		}
		out = append(out, w)
	}
	return out
}

// Room reads the form of a room. Faults: BadInput, with all that is wrong with
// it.
func (f *Form) Room(of id.Job) (room.Draft, error) {
	d := room.Draft{ID: NewID[id.Room](f, 0), Job: of, Height: f.sensed("height", "height", room.AHeight),
		Use:  words.Use(f.Get("use")),
		Name: f.Named("name", "the room has no name", "Call it as you do on site")}
	o := &outline{f: f}
	switch f.Get("shape") {
	case "corners":
		d.Outline = o.corners("corners")
	case "rectangle":
		d.Outline = o.rectangle()
	default:
		d.Outline = o.paced("walls")
	}
	if err := f.Err(); err != nil {
		return d, err
	}
	d.Outline = o.breasts(d.Outline, "breasts")
	d.Called = o.called
	d.Surfaces, d.Wet = o.slopes("slopes", d.Height), f.wet("wet")
	if len(d.Surfaces) == 0 {
		d.Surfaces = []room.SurfaceDraft{{ID: NewID[id.Surface](f, 1), Name: "ceiling", Kind: "ceiling"}}
	}
	return d, f.Err()
}
