package advice

import (
	"math"
	"slices"

	"lathmark/domain/geometry"
	"lathmark/domain/words"
)

// NotBefore says why nothing is cut yet.
const NotBefore = "Nothing is cut before plaster is signed off."

// often is a chance of missing the tail that calls for a hook to fetch it with.
const often = 1 - geometry.FindGood

// figures fills in what is figures.
func (v *Surface) figures(h *Hole, k *Known) {
	at, a := &v.Surface.Positions[h.Position], &v.Answer.Positions[h.Position]
	h.Name, h.Trade, h.Saw = at.ID, k.Trade, words.Saw(at.Cutout)
	if h.Slip = a.Slip; a.Mark == nil {
		return
	}
	for n, d := range a.Mark.From {
		h.Marks = append(h.Marks, v.Mark(d, a.Plan.Offsets[n]))
	}
	h.PlusMinus, h.Find, h.Hit = a.Mark.Ellipse.A, a.Plan.Find, a.Plan.Hit
	if a.Plan.Move != (geometry.Vec{}) {
		h.Moved = v.moved(h.Position)
	}
}

// stops says what stops the hole.
func (v *Surface) stops(h *Hole, k *Known) {
	a := &v.Answer.Positions[h.Position]
	stop := func(says string) { h.Lines = append(h.Lines, Line{Stop, says}) }
	h.Open = k.Gone == "" && a.Mark != nil
	if k.Gone != "" {
		stop(words.Capital(words.NoStop(k.Gone)) + ".")
	} else if a.Mark == nil {
		stop("Stop: " + v.NoPlace(h.Position) + ".")
	} else {
		if !a.Plan.Clears {
			stop(v.behind(h.Position))
		} else if a.Plan.Stop() {
			stop("Stop: the tail is more likely missed than found from here (" + words.Odds(1-a.Plan.Find) +
				" missed). Measure " + h.Name + " again, a second way.")
		}
		if h.Doubt = v.doubtOf(h.Name); h.Doubt != "" {
			stop(h.Doubt + " Do not cut yet.")
		}
		if len(h.Lines) > 0 {
			h.Barred = h.Lines[0].Says
		}
		if k.Shut != "" {
			stop(k.Shut)
		}
	}
	if h.MayCut = len(h.Lines) == 0; !h.MayCut {
		h.Why = h.Lines[0].Says
	}
}

// NoPlace says why a position cannot be marked, in words without a full stop.
func (v *Surface) NoPlace(i int) string {
	switch a := &v.Answer.Positions[i]; {
	case len(a.Ambiguous) > 0:
		return "two places fit what was measured"
	case a.Determinate:
		return "no two walls cross well enough to mark it from"
	}
	return "its record does not say where it is"
}

// behind says that a timber is in the way and nothing within reach clears.
func (v *Surface) behind(i int) string {
	id := "a timber"
	if k := v.worst(i); k >= 0 {
		id = "timber " + v.Surface.Timbers[k].ID
	}
	return "Stop: the tail is behind " + id +
		" or too close to it, and no hole within the tail's reach clears. Move the " +
		"tail while the ceiling is open, choose another position, or ask an engineer before any timber is cut."
}

// doubtOf says which readings of a position do not fit.
func (v *Surface) doubtOf(name string) string {
	var bad []string
	for _, i := range v.doubt[name] {
		m := &v.Surface.Measurements[i]
		bad = append(bad, m.ID+" ("+Reading(m)+")")
	}
	switch len(bad) {
	case 0:
		return ""
	case 1:
		return "Not sure until " + bad[0] + " is corrected: it does not fit."
	}
	return "Not sure until " + words.List(bad) + " are corrected: they do not fit."
}

// tells says the rest of it.
func (v *Surface) tells(h *Hole) {
	a := &v.Answer.Positions[h.Position]
	if !h.Open {
		return
	}
	say := func(g Grade, says string) { h.Lines = append(h.Lines, Line{g, says}) }
	if h.First {
		say(Warn, v.first(h))
	}
	sure := h.Doubt == "" && a.Plan.Clears // chances assume that the readings are right
	miss := "Chance of missing the tail: " + words.Miss(h.Find) + "."
	if 1-h.Find > often && sure {
		say(Warn, miss+" Have a hook ready.")
	}
	if h.Moved != "" {
		say(Warn, h.Moved)
	}
	if !a.Plan.Clears {
		say(Warn, "Chance of hitting timber there: "+words.Odds(h.Hit)+".")
	}
	if !a.Checked {
		say(Warn, words.Capital(words.Checked(0))+".")
	}
	if 1-h.Find <= often && sure {
		say(Tell, miss)
	}
	if a.Plan.Clears {
		say(Tell, v.clear(h))
	}
	if a.Checked {
		say(Tell, words.Capital(words.Checked(h.Slip))+".")
	}
}

func (v *Surface) first(h *Hole) string {
	says := "Cut " + h.Name + " first: it proves the set-out for the others."
	if 1-h.Find > often || h.Moved != "" {
		says = "Cut " + h.Name + " first: no hole is sure to be found, and this one is the likeliest."
	}
	return says
}

// clear says how far a hole keeps off the timbers.
func (v *Surface) clear(h *Hole) string {
	k, gap := v.nearest(h.Position)
	switch {
	case v.Surface.Positions[h.Position].Cutout <= 0:
		return "Its size is not given, so that timbers are not looked at. Feel for timber before you drill."
	case k < 0:
		return "No timber is recorded here. Feel for timber before you cut."
	}
	hit := ""
	if h.Doubt == "" {
		hit = " Chance of hitting it: " + words.Odds(h.Hit) + "."
	}
	if id := v.Surface.Timbers[k].ID; gap < 0 { // hardly any risk all the same: a timber's end, or a well-known one grazed
		return "Overlaps " + id + " by " + words.MM(math.Ceil(-gap)) + "." + hit
	} else {
		return "Clear of " + id + " by " + words.MM(math.Floor(gap)) + "." + hit
	}
}

// moved says how far and which way a hole is moved off its tail, and what moves
// with it.
func (v *Surface) moved(i int) string {
	a := &v.Answer.Positions[i]
	says := "Moved " + words.MM(math.Max(1, math.Hypot(a.Plan.Move.U, a.Plan.Move.V)))
	if way := v.Towards(a.At, v.Hole(i)); way != "" {
		says += " " + way
	}
	off := "timber"
	if k := v.worst(i); k >= 0 {
		off = v.Surface.Timbers[k].ID
	}
	with, stays := "", false
	for l := range v.Answer.Lines {
		line := &v.Answer.Lines[l]
		switch {
		case !slices.Contains(line.Positions, i):
		case line.Shift != 0:
			with = ", its whole line with it (" + words.List(v.OnLine(line)) + ")"
		case !line.Clears:
			stays = true
		}
	}
	if with == "" && stays {
		with = ", alone: its line cannot move without spoiling another hole"
	}
	return says + " to clear " + off + with + "."
}

// OnLine names the positions of a line.
func (v *Surface) OnLine(l *geometry.SetOutLine) []string {
	var out []string
	for _, k := range l.Positions {
		out = append(out, v.Surface.Positions[k].ID)
	}
	return out
}

// LineSays says what became of a set-out line that timber is in the way of; "" for
// one that stands as it was measured.
func LineSays(l *geometry.SetOutLine) string {
	switch {
	case l.Shift != 0:
		return "Moved " + words.MM(math.Max(1, math.Abs(l.Shift))) + " to clear timber."
	case !l.Clears:
		return "It cannot move without spoiling a hole: mark each hole by its own offsets."
	}
	return ""
}
