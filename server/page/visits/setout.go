package visits

import (
	"math"
	"strings"

	"lathmark/domain/advice"
	"lathmark/domain/caution"
	"lathmark/domain/gate"
	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"
	"lathmark/web/drawing"
)

// setOut is the setting-out sheet of the room, in today's states.
func (s *scene) setOut() web.SetOutView {
	v := web.SetOutView{Cautions: kit.AllShown(caution.Everywhere()), Learned: s.learned(), Lost: s.lost(),
		MayOpen: s.mayOpen()}
	for i := range s.J.Record.Surfaces {
		if on := s.setOutSurface(i); len(on.First)+len(on.Holes)+len(on.NotYet) > 0 {
			v.Surfaces = append(v.Surfaces, on)
		}
	}
	s.sayNext()
	v.Sheet = s.Sheet
	return v
}

// mayOpen reports whether second fix is in progress, so that outcomes can be
// recorded.
func (s *scene) mayOpen() bool {
	second := s.J.Gate.Gates[words.SecondFix].State
	return !s.Closed() && (second == words.InHand || second == words.Offered)
}

// sayNext says which hole is cut next, of the trade of whoever looks, if it has one.
func (s *scene) sayNext() {
	if len(s.J.Holes) == 0 {
		return
	}
	if !s.mayOpen() {
		s.Say("This is where the holes would be today. " + s.J.Holes[0].Lines[0].Says)
		return
	}
	var next *standing.ToOpen
	own := kit.TradeOf(s.By)
	for i := range s.J.Holes {
		h := &s.J.Holes[i]
		if h.MayCut && (next == nil || next.Trade != own && h.Trade == own) {
			next = h
		}
	}
	if next == nil {
		s.Say("None of the holes may be cut as they stand. Each says why.")
		return
	}
	sentence := "Cut the others. Each hole corrects the ones after it."
	if next.First {
		sentence = next.Lines[0].Says
	}
	s.Sheet.Next = web.Next{Sentence: sentence, Action: "Record " + next.Position.Name,
		Href: s.At.Outcome(next.Position.ID.String())}
}

// lost says what is to be done about each hole that was lost, as the gate does.
func (s *scene) lost() (out []string) {
	for _, o := range s.J.Obstacles(words.SecondFix) {
		if o.Code == gate.CodeLostHole {
			out = append(out, words.Capital(o.Wrong)+". "+o.Mend+".")
		}
	}
	return out
}

// setOutSurface is surface i with its holes.
func (s *scene) setOutSurface(i int) web.SetOutSurface {
	on := s.J.Record.Surfaces[i]
	own := s.J.Record.LayersOf(on.ID, id.Datum{})
	v := web.SetOutSurface{ID: on.ID.String(), Name: words.Capital(on.Name), State: words.StateOf(s.J.Record.Now(own)),
		Plan: s.Drawn(i, drawing.SetOut)}
	toOpen := map[string]bool{}
	var cut []caution.Hole
	for k := range s.J.Holes {
		h := &s.J.Holes[k]
		if h.Position.Surface != on.ID {
			continue
		}
		toOpen[h.Position.Name] = true
		cut = append(cut, s.CautionHole(&h.Position, h.Answer))
		if row := s.hole(&h.Position); h.First {
			v.First = append(v.First, row)
		} else {
			v.Holes = append(v.Holes, row)
		}
	}
	v.Cautions = kit.AllShown(caution.ByPlace(cut))
	for k := range s.J.Record.Positions {
		q := &s.J.Record.Positions[k]
		if said := s.J.Hole(q.ID); q.Surface == on.ID && !said.Open {
			if s.Opening(q.ID) != nil && len(said.Marks) == 2 {
				v.Holes = append(v.Holes, s.hole(q))
				continue
			}
			v.NotYet = append(v.NotYet, web.NotYetRow{Name: q.Name, Why: said.Why})
		}
	}
	for _, l := range s.J.Solved[i].Answer.Lines {
		if row := s.line(i, l, toOpen); len(row.Serves) > 1 {
			v.Lines = append(v.Lines, row)
		}
	}
	return v
}

// line is one line to snap with the holes still to cut that it serves, timbers
// allowed for.
func (s *scene) line(i int, l geometry.SetOutLine, toOpen map[string]bool) web.LineRow {
	on := advice.Look(&s.J.Solved[i])
	row := web.LineRow{Mark: on.Mark(l.Datum, l.Offset+l.Shift), Says: advice.LineSays(&l)}
	for _, name := range on.OnLine(&l) {
		if toOpen[name] {
			row.Serves = append(row.Serves, name)
		}
	}
	return row
}

// hole is one hole to mark, as it is to be cut; the position can be marked.
func (s *scene) hole(q *room.Position) web.HoleRow {
	row := web.HoleRow{Position: q, Advice: s.J.Hole(q.ID), Opening: s.Opening(q.ID)}
	a, _ := s.J.Position(q.ID)
	row.Cautions = kit.AllShown(s.CautionHole(q, a).Own())
	return row
}

// onSurface is a datum's name, with its surface where the room has several.
func (s *scene) onSurface(d *room.Datum, on *room.Surface) string {
	switch {
	case len(s.J.Record.Surfaces) == 1:
		return d.Called()
	case strings.ContainsAny(on.Name, "0123456789"):
		return d.Called() + " of " + on.Name
	}
	return d.Called() + " of the " + on.Name
}

// learned says what the holes that were cut so far taught: the faces whose
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
				out = append(out, "the build-up of "+s.onSurface(d, on)+" is "+words.Tenth(now)+", not "+words.Tenth(planned))
			}
		}
	}
	head := words.Count(found, "hole") + " cut. "
	if len(out) == 0 {
		return head + "They agree with the plan, so the rest are more certain."
	}
	return head + words.Capital(strings.Join(out, "; ")) + ". The rest are corrected."
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
