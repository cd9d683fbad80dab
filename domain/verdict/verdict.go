// Package verdict puts into words what a reading gave, at once after it was
// taken: where its position is now and how surely, what is still owed, and the
// question where it lies far from what the rest says. The server's page and the
// phone without signal say the same, because both ask here.
package verdict

import (
	"math"
	"strings"

	"lathmark/domain/gate"
	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// Verdict is what a reading gave.
type Verdict struct {
	// Position is the name of the position that was measured; of a span or a
	// thickness its kind, "Span".
	Position string `json:"position"`
	// Reading is the reading as people say it: "628 from south wall, bare, by
	// tape."
	Reading string `json:"reading"`
	// Placed: the position has a place now. From, PlusMinus and Checked count
	// only then.
	Placed bool `json:"placed"`
	// From is the place from the two datums that it would be marked from
	// today.
	From []Mark `json:"from,omitempty"`
	// PlusMinus is how far from there the tail may be, mm, 19 times in 20.
	PlusMinus float64 `json:"plusMinus,omitempty"`
	// Checked: a misread tape would have shown.
	Checked bool `json:"checked,omitempty"`
	// Owed says what the position still needs; empty where nothing is.
	Owed string `json:"owed,omitempty"`
	// Question asks about a reading that lies far from what the rest says;
	// empty where there is nothing to ask. The reading stands all the same.
	Question string `json:"question,omitempty"`
	// Doubt says why the reading takes no part; empty where it does.
	Doubt string `json:"doubt,omitempty"`
}

// Mark is an offset to mark today, in mm, and from where: "from south wall,
// skimmed", "from steel towards the north wall".
type Mark struct {
	Value float64 `json:"value"`
	Says  string  `json:"says"`
}

// Of is the verdict on a reading of a room; on one that was struck out it says
// only what was read.
func Of(j *standing.Standing, m *room.Measurement) *Verdict {
	v := &Verdict{Position: words.Capital(string(m.Kind)), Reading: said(j.Record, m) + ", by " + m.By + ".",
		Question: question(j, m)}
	if a := j.Measurement(m.ID); a != nil && a.Unrecorded {
		v.Doubt = "Not counted until you say whether the wall was bare, boarded or skimmed."
	}
	q, err := j.Record.Position(m.Of)
	if err != nil {
		return v
	}
	v.Position = q.Name
	a, solved := j.Position(q.ID)
	if v.Placed = a.Determinate; v.Placed {
		v.From, v.PlusMinus, v.Checked = Place(j.Record, q, a, solved), PlusMinus(a), a.Checked
	}
	v.Owed = owed(j, m, v.Question != "")
	return v
}

// said is a reading without its instrument.
func said(r *room.Record, m *room.Measurement) string {
	if to, err := r.Position(m.ToPosition); err == nil {
		return words.MM(m.Value) + " to " + to.Name
	}
	if m.Kind == words.Thickness {
		return words.MM(m.Value) + " on " + r.DatumWords(m.From, m.State)
	}
	if !m.To.IsZero() {
		return words.MM(m.Value) + " from " + r.DatumWords(m.From, m.State) + " to " + r.DatumWords(m.To, m.ToState)
	}
	length, side := r.Said(m.From, m.Value)
	says := words.MM(length) + " from " + r.DatumWords(m.From, m.State)
	if side != "" {
		says += ", " + side
	}
	return says
}

// owed says what the position of a reading still needs. Where the reading was
// asked about, that it does not fit is said already.
func owed(j *standing.Standing, m *room.Measurement, asked bool) string {
	var out []string
	for _, o := range j.Obstacles(words.FirstFix) {
		own := o.About.ID == m.ID.String()
		if own && asked && (o.Code == gate.CodeSuspect || o.Code == gate.CodeDisagree) ||
			!own && o.About.ID != m.Of.String() {
			continue
		}
		out = append(out, words.Capital(o.Wrong)+". "+o.Mend+".")
	}
	return strings.Join(out, " ")
}

// Place says where a determinate position is, by the two datums that it would
// be marked from today; where no two cross well, by the surface's own frame.
func Place(r *room.Record, q *room.Position, a *geometry.PositionAnswer, solved *roomsheet.Solved) []Mark {
	if a.Mark == nil {
		return []Mark{{a.At.U, "along the sheet"}, {a.At.V, "up the sheet"}}
	}
	from := a.Mark.From
	return marks(r, q, a, solved, [2]float64{a.SetOut[from[0]].Value, a.SetOut[from[1]].Value})
}

// Planned says where the hole of a position that can be marked is to be opened,
// moved off the timbers where that is planned.
func Planned(r *room.Record, q *room.Position, a *geometry.PositionAnswer, solved *roomsheet.Solved) []Mark {
	return marks(r, q, a, solved, a.Plan.Offsets)
}

func marks(r *room.Record, q *room.Position, a *geometry.PositionAnswer, solved *roomsheet.Solved,
	offsets [2]float64) []Mark {
	var out []Mark
	for n, k := range a.Mark.From {
		out = append(out, markFrom(r, q.Surface, &solved.Surface.Datums[k], offsets[n]))
	}
	return out
}

// markFrom is an offset from a datum of a surface in today's state, with the
// side of what has two, and of a face where it lies behind it.
func markFrom(r *room.Record, on id.Surface, d *roomsheet.Datum, value float64) Mark {
	m := Mark{math.Abs(value), "from " + d.ID}
	for i := range r.Datums {
		if known := &r.Datums[i]; known.Surface == on && known.Name == d.ID {
			m.Says = "from " + known.Called()
			if known.Kind == words.Face {
				m.Says += ", " + words.StateOf(r.Now(r.LayersOf(on, known.ID)))
			}
		}
	}
	if d.Kind != "face" || value < 0 {
		m.Says += " " + r.SideWords(on, d.Line[0], d.Line[1], room.SideOf(value))
	}
	return m
}

// PlusMinus is the half-length, mm, within which a tail lies 19 times in 20 of
// where it would be marked from the best two datums (else of its place on the
// drawing, which is less sure because the walls are drawn to a centimetre):
// the longer half-axis of its 95 % ellipse.
func PlusMinus(a *geometry.PositionAnswer) float64 {
	if a.Mark != nil {
		return a.Mark.Ellipse.A
	}
	return a.Cov.Ellipse95().A
}
