package deed

import (
	"math"
	"strconv"
	"strings"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// readAddTimbers reads one timber, or a run at even spacing along a face.
func readAddTimbers(s *Sent) (Deed, error) {
	on, err := ByID(s.Standing.Record.Surface, s.One)
	if err != nil {
		return nil, err
	}
	t := room.Timber{Surface: on.ID, Name: s.Named("name", "the timber has no name", "Call it J1, or what it is"),
		Width: s.Needed("width", "width"), Depth: s.Number("depth")}
	if s.Get("shape") != "single" {
		return AddTimbers{s.run(on, t)}, nil
	}
	t.ID = NewID[id.Timber](s.Form, 0)
	t.A, t.B = s.Ends("from", "to", "the centre line has not both its ends", "Give both in mm: 1200 0")
	return AddTimbers{[]room.Timber{t}}, nil
}

// run reads timbers along a face, their centres counted from it; they run from
// one side of the surface to the other.
func (s *Sent) run(on *room.Surface, like room.Timber) []room.Timber {
	d, err := ByID(s.Standing.Record.Datum, s.Get("face"))
	if err != nil || d.Surface != on.ID || d.Kind != words.Face {
		s.Bad("face", "it does not say what they are counted from", "Choose the face that they run along")
		return nil
	}
	first, spacing := s.Needed("first", "first centre"), s.Needed("spacing", "spacing")
	most := 200
	if s.Get("count") != "" {
		most = s.Count("count", "timbers")
	}
	if first < 0 || spacing < 50 || like.Width >= spacing {
		s.Bad("spacing", "the spacing is under 50 mm, or under the timbers' width", "Give the distance from centre to centre")
	}
	if len(s.Wrong) > 0 {
		return nil
	}
	prefix, number := counted(like.Name)
	var out []room.Timber
	for i := range most {
		a, b, ok := chord(on.Outline, d, first+float64(i)*spacing)
		if !ok {
			break
		}
		t := like
		t.ID, t.Name, t.A, t.B = NewID[id.Timber](s.Form, i), prefix+strconv.Itoa(number+i), a, b
		out = append(out, t)
	}
	if len(out) == 0 {
		s.Bad("first", "the first centre is outside the surface", "Count from the bare face")
	}
	return out
}

// counted takes a name apart: "J3" is "J" and 3; a name without a number
// counts from 1.
func counted(name string) (prefix string, number int) {
	prefix = strings.TrimRight(name, "0123456789")
	number, err := strconv.Atoi(name[len(prefix):])
	if err != nil {
		return prefix, 1
	}
	return prefix, number
}

// chord is the line at an offset from a face, from where it comes into the
// outline to where it leaves it for good; false where it misses it.
func chord(outline []roomsheet.Point, d *room.Datum, offset float64) (a, b roomsheet.Point, ok bool) {
	length := math.Hypot(d.B[0]-d.A[0], d.B[1]-d.A[1])
	du, dv := (d.B[0]-d.A[0])/length, (d.B[1]-d.A[1])/length
	from := roomsheet.Point{d.A[0] - dv*offset, d.A[1] + du*offset}
	least, most := math.Inf(1), math.Inf(-1)
	for i, p := range outline {
		q := outline[(i+1)%len(outline)]
		side := func(r roomsheet.Point) float64 { return (r[0]-from[0])*-dv + (r[1]-from[1])*du }
		sp, sq := side(p), side(q)
		if (sp > 0) == (sq > 0) {
			continue
		}
		t := sp / (sp - sq)
		at := roomsheet.Point{p[0] + (q[0]-p[0])*t, p[1] + (q[1]-p[1])*t}
		along := (at[0]-from[0])*du + (at[1]-from[1])*dv
		least, most = math.Min(least, along), math.Max(most, along)
	}
	if most-least < 1 {
		return a, b, false
	}
	at := func(along float64) roomsheet.Point {
		return roomsheet.Point{whole(from[0] + du*along), whole(from[1] + dv*along)}
	}
	return at(least), at(most), true
}
