package visits

import (
	"math"
	"strings"

	"lathmark/domain/caution"
	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"
	"lathmark/web/drawing"
)

// setOut is the set-out sheet of the room, in today's states.
func (s *scene) setOut() web.SetOutView {
	v := web.SetOutView{Cautions: kit.AllShown(caution.Everywhere()), Learned: s.learned()}
	holes := s.J.Holes
	for i := range s.J.Record.Surfaces {
		if on := s.setOutSurface(i, holes); on.First != nil || len(on.Holes) > 0 || len(on.NotYet) > 0 {
			v.Surfaces = append(v.Surfaces, on)
		}
	}
	switch {
	case s.J.Gate.Gates[words.SecondFix].State == words.Waiting:
		s.Say("This is where the holes would be today. Nothing is cut before plaster is signed off.")
	case len(holes) > 0 && holes[0].First:
		s.Sheet.Next = web.Next{Sentence: "Open " + holes[0].Position.Name + " first: it proves the set-out for the others.",
			Action: holes[0].Position.Name + " is open", Href: s.At.Outcome(holes[0].Position.ID.String())}
	case len(holes) > 0:
		s.Sheet.Next = web.Next{Sentence: "Open the others. Each hole corrects those that follow.",
			Action: holes[0].Position.Name + " is open", Href: s.At.Outcome(holes[0].Position.ID.String())}
	}
	v.Sheet = s.Sheet
	return v
}

// setOutSurface is surface i with its holes.
func (s *scene) setOutSurface(i int, holes []standing.ToOpen) web.SetOutSurface {
	on := s.J.Record.Surfaces[i]
	own := s.J.Record.LayersOf(on.ID, id.Datum{})
	v := web.SetOutSurface{ID: on.ID.String(), Name: words.Capital(on.Name), State: words.StateOf(s.J.Record.Now(own)),
		Plan: s.Drawn(i, drawing.SetOut)}
	listed, toOpen := map[id.Position]bool{}, map[string]bool{}
	var cut []caution.Hole
	for _, h := range holes {
		if h.Position.Surface != on.ID {
			continue
		}
		listed[h.Position.ID], toOpen[h.Position.Name] = true, true
		cut = append(cut, s.CautionHole(&h.Position, h.Answer))
		row := s.hole(&h.Position)
		if h.First {
			v.First = &row
		} else {
			v.Holes = append(v.Holes, row)
		}
	}
	v.Cautions = kit.AllShown(caution.ByPlace(cut))
	for k := range s.J.Record.Positions {
		q := &s.J.Record.Positions[k]
		if q.Surface != on.ID || listed[q.ID] {
			continue
		}
		if a, _ := s.J.Position(q.ID); a.Determinate && a.Mark != nil && s.Opening(q.ID) != nil {
			v.Holes = append(v.Holes, s.hole(q))
			continue
		}
		v.NotYet = append(v.NotYet, web.NotYetRow{Name: q.Name, Why: s.whyNot(q)})
	}
	for _, l := range s.J.Solved[i].Answer.Lines {
		if row := s.line(on.ID, i, l, toOpen); len(row.Serves) > 1 {
			v.Lines = append(v.Lines, row)
		}
	}
	return v
}

// whyNot says why no hole is listed for a position.
func (s *scene) whyNot(q *room.Position) string {
	a, _ := s.J.Position(q.ID)
	switch {
	case !q.OmittedAt.IsZero():
		return "the client gave it up: " + q.OmitWhy
	case q.Held:
		return "held: " + q.HeldWhy
	case s.Opening(q.ID) != nil:
		return "opened: " + s.Opening(q.ID).Outcome.String()
	case len(a.Ambiguous) > 0:
		return "two places fit what was measured"
	case a.Determinate:
		return "no two datums cross well enough to mark it from"
	}
	return "its record does not say where it is"
}

// line is one laser line with the holes still to open that it serves, timbers
// allowed for.
func (s *scene) line(surface id.Surface, i int, l geometry.SetOutLine, toOpen map[string]bool) web.LineRow {
	sheet := s.J.Solved[i].Surface
	row := web.LineRow{MarkOffset: s.mark(surface, &sheet.Datums[l.Datum], l.Offset+l.Shift), Shifted: math.Abs(l.Shift)}
	for _, k := range l.Positions {
		if toOpen[sheet.Positions[k].ID] {
			row.Serves = append(row.Serves, sheet.Positions[k].ID)
		}
	}
	return row
}

// hole is one hole to mark, as it is to be opened; the position can be marked.
func (s *scene) hole(q *room.Position) web.HoleRow {
	a, solved := s.J.Position(q.ID)
	at := func(k int) web.MarkOffset {
		return s.mark(q.Surface, &solved.Surface.Datums[a.Mark.From[k]], a.Plan.Offsets[k])
	}
	row := web.HoleRow{Position: q, Plan: &a.Plan, PlusMinus: a.Mark.Ellipse.A, A: at(0), B: at(1),
		Opening: s.Opening(q.ID), Cautions: kit.AllShown(s.CautionHole(q, a).Own())}
	if len(a.Timbers) > 0 {
		s.nearest(&row, a, solved)
	}
	if d := math.Hypot(a.Plan.Move.U, a.Plan.Move.V); d >= 0.5 {
		from := roomsheet.Point{a.At.U, a.At.V}
		to := roomsheet.Point{from[0] + a.Plan.Move.U, from[1] + a.Plan.Move.V}
		row.Moved = words.MM(d) + " " + s.J.Record.Towards(q.Surface, from, to) + " to clear a timber"
	}
	return row
}

// nearest tells which timber the hole, where it is to be cut, comes nearest to.
func (s *scene) nearest(row *web.HoleRow, a *geometry.PositionAnswer, solved *roomsheet.Solved) {
	at := roomsheet.Point{a.At.U + a.Plan.Move.U, a.At.V + a.Plan.Move.V}
	row.Gap = math.Inf(1)
	for _, t := range solved.Surface.Timbers {
		if gap := room.ToLine(at, t.Line[0], t.Line[1]) - t.Width/2 - row.Cutout/2; gap < row.Gap {
			row.Gap, row.Timber = gap, t.ID
		}
	}
}

// mark is an offset from a datum of a surface as people say it: with the state
// of a face today, and the side of what has two.
func (s *scene) mark(of id.Surface, d *roomsheet.Datum, value float64) web.MarkOffset {
	name, state := s.datumToday(of, d.ID)
	return web.MarkOffset{Value: math.Abs(value), From: name, State: state, Side: s.side(of, d, value)}
}

// side says on which side of a datum an offset lies, by the face there: always
// of a fixed line, which has two, and of a face only where it lies behind it.
func (s *scene) side(of id.Surface, d *roomsheet.Datum, value float64) string {
	if d.Kind == "face" && value >= 0 {
		return ""
	}
	return s.J.Record.SideWords(of, d.Line[0], d.Line[1], room.SideOf(value))
}

// onSurface is a datum's name, with its surface where the room has several.
func (s *scene) onSurface(d *room.Datum, on *room.Surface) string {
	switch {
	case len(s.J.Record.Surfaces) == 1:
		return d.Name
	case strings.ContainsAny(on.Name, "0123456789"):
		return d.Name + " of " + on.Name
	}
	return d.Name + " of the " + on.Name
}

// learned says what the holes that were opened so far taught: the faces whose
// build-up is known better now than it was planned.
func (s *scene) learned() string {
	found := 0
	for _, o := range s.J.Record.Openings {
		if !o.Outcome.Lost() {
			found++
		}
	}
	if found == 0 {
		return ""
	}
	var out []string
	for i := range s.J.Record.Surfaces {
		on := &s.J.Record.Surfaces[i]
		for k := range s.J.Record.Datums {
			d := &s.J.Record.Datums[k]
			if planned, now := s.carries(d); d.Surface == on.ID && math.Abs(now-planned) >= 1 {
				out = append(out, s.onSurface(d, on)+" carries "+words.MM(now)+", not "+words.MM(planned))
			}
		}
	}
	head := words.Count(found, "hole") + " opened. "
	if len(out) == 0 {
		return head + "They agree with the plan; the others below are surer for it."
	}
	return head + words.Capital(strings.Join(out, "; ")) + ". The others below are corrected."
}

// carries returns what is put on a face, as planned and as known now, mm.
func (s *scene) carries(d *room.Datum) (planned, now float64) {
	for _, l := range s.J.Record.LayersOf(d.Surface, d.ID) {
		if s.J.Record.BuiltOf(l.ID) != nil {
			built, _ := s.J.Built(l.ID)
			planned, now = planned+l.Thickness, now+built
		}
	}
	return planned, now
}
