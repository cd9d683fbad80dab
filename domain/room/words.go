package room

import (
	"fmt"
	"math"

	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// Called is a datum as people say it: a face that is named for the side it
// lies on is a wall.
func (d *Datum) Called() string {
	if d.Kind == words.Face {
		return words.Wall(d.Name)
	}
	return d.Name
}

// StateWords is a datum's state as people say it; empty for what no layer
// covers.
func (r *Record) StateWords(d *Datum, state string) string {
	switch {
	case d.Kind != words.Face || state == "" && len(r.LayersOf(d.Surface, d.ID)) == 0:
		return ""
	case state == "":
		return "state not recorded"
	}
	return words.StateOf(state)
}

// DatumWords is a datum with its state, "south wall, bare"; empty for one that
// is not there.
func (r *Record) DatumWords(of id.Datum, state string) string {
	d, err := r.Datum(of)
	if err != nil {
		return ""
	}
	if said := r.StateWords(d, state); said != "" {
		return d.Called() + ", " + said
	}
	return d.Called()
}

// A fixed line has two sides, and an offset from it a sign: above 0 on its
// left. On site nobody says minus; people say towards which wall. These are the
// two, as a form sends them in the place of a state.
const (
	LeftSide  = "+"
	RightSide = "-"
)

// SideOf is the side of an offset.
func SideOf(value float64) string {
	if value < 0 {
		return RightSide
	}
	return LeftSide
}

// IsSide tells a side from a state.
func IsSide(state string) bool { return state == LeftSide || state == RightSide }

// WithSide is an offset as typed, with the sign of the side that was chosen; a
// sign that was typed stays.
func WithSide(value float64, side string) float64 {
	if side == RightSide {
		return -math.Abs(value)
	}
	return value
}

// SideWords are a side of a fixed line from a to b on a surface as people say
// it: "towards the south wall".
func (r *Record) SideWords(on id.Surface, a, b roomsheet.Point, side string) string {
	step := 100 / math.Hypot(b[0]-a[0], b[1]-a[1]) // 100 mm off the line
	if side == RightSide {
		step = -step
	}
	middle := roomsheet.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}
	return r.Towards(on, middle, roomsheet.Point{middle[0] - step*(b[1]-a[1]), middle[1] + step*(b[0]-a[0])})
}

// Said is an offset from a datum as people say it: the length, and in the place
// of a sign the side.
func (r *Record) Said(of id.Datum, value float64) (length float64, side string) {
	d, err := r.Datum(of)
	if err != nil || d.Kind != words.Line {
		return value, ""
	}
	return math.Abs(value), r.SideWords(d.Surface, d.A, d.B, SideOf(value))
}

// Towards names the face of a surface that a move goes to: the one that it
// comes nearer to by most.
func (r *Record) Towards(on id.Surface, from, to roomsheet.Point) string {
	best, name := 0.0, ""
	for i := range r.Datums {
		d := &r.Datums[i]
		if d.Surface != on || d.Kind != words.Face {
			continue
		}
		if nearer := ToLine(from, d.A, d.B) - ToLine(to, d.A, d.B); nearer > best+0.5 {
			best, name = nearer, d.Called()
		}
	}
	if name == "" {
		return "clear of it"
	}
	return "towards the " + name
}

// ToLine is the distance from p to the line from a to b, which ends, in mm.
func ToLine(p, a, b roomsheet.Point) float64 {
	du, dv := b[0]-a[0], b[1]-a[1]
	along := ((p[0]-a[0])*du + (p[1]-a[1])*dv) / (du*du + dv*dv)
	along = math.Min(math.Max(along, 0), 1)
	return math.Hypot(p[0]-a[0]-along*du, p[1]-a[1]-along*dv)
}

// Says puts a measurement into a sentence: "D5: 607 mm from the steel, towards the
// north wall; tape."
func (r *Record) Says(m *Measurement) string {
	what := words.Capital(string(m.Kind))
	if p, err := r.Position(m.Of); err == nil {
		what = p.Name
	}
	length, side := r.Said(m.From, m.Value)
	says := fmt.Sprintf("%s: %g mm", what, length) + r.end(" from ", m.From, m.State)
	if side != "" {
		says += ", " + side
	}
	if to := r.end(" to ", m.To, m.ToState); to != "" {
		says += "," + to
	}
	if p, err := r.Position(m.ToPosition); err == nil {
		says += " to " + p.Name
	}
	return says + "; " + m.By + "."
}

// end is a datum of a reading with its state; empty for one that is not there.
func (r *Record) end(before string, of id.Datum, state string) string {
	d, err := r.Datum(of)
	if err != nil {
		return ""
	}
	if said := r.StateWords(d, state); said != "" {
		return before + words.InWords(d.Called()) + ", " + said
	}
	return before + words.InWords(d.Called())
}

// Runs says where a timber runs: "1200 mm along the sheet, running up it".
func (t Timber) Runs() string {
	switch {
	case math.Abs(t.B[0]-t.A[0]) < 1:
		return words.MM(t.A[0]) + " along the sheet, running up it"
	case math.Abs(t.B[1]-t.A[1]) < 1:
		return words.MM(t.A[1]) + " up the sheet, running along it"
	}
	return FromTo(t.A, t.B)
}

// FromTo says where a line runs: "from 900, 0 to 900, 2000".
func FromTo(a, b roomsheet.Point) string {
	return fmt.Sprintf("from %s, %s to %s, %s", words.MM(a[0]), words.MM(a[1]), words.MM(b[0]), words.MM(b[1]))
}
