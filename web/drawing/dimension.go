package drawing

import (
	"math"
	"sort"

	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// reading is one offset to be shown: a position, its datum and the datum's
// state.
type reading struct {
	spot  int // index into sheet.spots
	datum int // index into Surface.Datums
	state string
	value float64
}

// dimString is one string of dimensions from one datum in one state.
type dimString struct {
	datum int
	state string
	items []reading
}

// perSide returns how many strings one side of the sheet takes; the rest is in the
// tables only. A record has the more figures the oftener a position was measured;
// what is to be marked stands on few strings and is what the drawing is for.
func (m Mode) perSide() int {
	if m == SetOut {
		return 3
	}
	return 2
}

// strings groups the offsets and decides which strings go below the plan and
// which to its left. Offsets from slanted faces and from points go beside their
// positions; how many found no string is counted.
func (s *sheet) strings() {
	for _, g := range s.groups() {
		n := s.normal(g.datum)
		switch {
		case !s.isSquare(g.datum):
		case math.Abs(n.x) > 0.5 && len(s.below) < s.Mode.perSide():
			s.below = append(s.below, row{dimString: g, levels: 1})
		case math.Abs(n.y) > 0.5 && len(s.left) < s.Mode.perSide():
			s.left = append(s.left, row{dimString: g, levels: 1})
		default:
			s.lost += len(g.items)
		}
	}
}

// isSquare reports whether a datum is a line along a side of the sheet.
func (s *sheet) isSquare(datum int) bool {
	n := s.normal(datum)
	return s.Surface.Datums[datum].Line != nil && (math.Abs(n.x) > 0.996 || math.Abs(n.y) > 0.996)
}

// groups returns the strings, the fullest first.
func (s *sheet) groups() []dimString {
	var groups []dimString
	for _, r := range s.readings() {
		k := 0
		for k < len(groups) && (groups[k].datum != r.datum || groups[k].state != r.state) {
			k++
		}
		if k == len(groups) {
			groups = append(groups, dimString{datum: r.datum, state: r.state})
		}
		groups[k].items = append(groups[k].items, r)
	}
	sort.SliceStable(groups, func(i, j int) bool { return len(groups[i].items) > len(groups[j].items) })
	return groups
}

// readings returns the offsets of the mode. Those from a fixed line lose their
// sign: the drawing shows the side.
func (s *sheet) readings() []reading {
	switch s.Mode {
	case SetOut:
		return s.marks()
	case Planning:
		return nil
	}
	var all []reading
	for _, m := range s.Surface.Measurements {
		sp, d := s.spotOf(m.Of), s.datumOf(m.From)
		if m.Kind != "offset" || sp < 0 || d < 0 {
			continue
		}
		all = append(all, reading{sp, d, readState(s.Surface.Datums[d], m.State), math.Abs(m.Value)})
	}
	return all
}

// marks returns the offsets to mark today, without those that a set-out line
// covers.
func (s *sheet) marks() []reading {
	var all []reading
	for i, sp := range s.spots {
		if sp.answer == nil || sp.answer.Mark == nil {
			continue
		}
		for k, d := range sp.answer.Mark.From {
			if s.onLine(sp.index, d) {
				continue
			}
			all = append(all, reading{i, d, readState(s.Surface.Datums[d], s.Surface.Datums[d].Now),
				math.Abs(sp.answer.Plan.Offsets[k])})
		}
	}
	return all
}

func (s *sheet) onLine(position, datum int) bool {
	for _, l := range s.Answer.Lines {
		for _, p := range l.Positions {
			if l.Datum == datum && p == position && (l.Clears || l.Shift == 0) {
				return true
			}
		}
	}
	return false
}

// readState returns a state in words; what no layer covers has none, and a face
// with layers and no state has an unrecorded one.
func readState(d roomsheet.Datum, state string) string {
	switch {
	case d.Kind != "face":
		return ""
	case state == "" && len(d.Layers) > 0:
		return "state not recorded"
	}
	return words.StateOf(state)
}

func (s *sheet) spotOf(id string) int {
	for i, sp := range s.spots {
		if sp.pos.ID == id {
			return i
		}
	}
	return -1
}

func (s *sheet) datumOf(id string) int {
	for i, d := range s.Surface.Datums {
		if d.ID == id {
			return i
		}
	}
	return -1
}

// normal returns the direction into the room of a datum's line, on the sheet.
func (s *sheet) normal(datum int) spotXY {
	d := s.Surface.Datums[datum]
	if d.Line == nil {
		return spotXY{}
	}
	l := through(s.at(vec(d.Line[0])), s.at(vec(d.Line[1])))
	return spotXY{l.dy, -l.dx}
}

// foot returns where an offset starts: on the datum, moved out by the layers of
// the state it was read in.
func (s *sheet) foot(r reading) spotXY {
	d := s.Surface.Datums[r.datum]
	p := s.at(s.spots[r.spot].at)
	if d.Line == nil {
		return s.at(vec(*d.Point))
	}
	t := 0.0
	for _, l := range d.Layers {
		if r.state != words.StateOf(l.ID) {
			t += l.Thickness
			continue
		}
		t += l.Thickness
		return project(p, through(s.at(vec(d.Line[0])), s.at(vec(d.Line[1]))).out(-t*s.scale))
	}
	return project(p, through(s.at(vec(d.Line[0])), s.at(vec(d.Line[1]))))
}

func (s *sheet) title(d dimString) string {
	t := "from " + s.name(s.Surface.Datums[d.datum].ID)
	if d.state != "" {
		t += ", " + d.state
	}
	return t
}

// tick is one figure of a string: its place and its value. Readings that fall
// within a few units of each other share a tick.
type tick struct {
	at     float64
	lo, hi float64
	from   spotXY // the position nearest the string
}

const tickGap = 1.5 // units: closer readings share a tick

func ticksOf(s *sheet, d dimString, along func(spotXY) float64, nearer func(a, b spotXY) bool) []tick {
	var ticks []tick
	for _, r := range d.items {
		p := s.at(s.spots[r.spot].at)
		k := 0
		for k < len(ticks) && math.Abs(ticks[k].at-along(p)) > tickGap {
			k++
		}
		if k == len(ticks) {
			ticks = append(ticks, tick{at: along(p), lo: r.value, hi: r.value, from: p})
			continue
		}
		ticks[k].lo, ticks[k].hi = math.Min(ticks[k].lo, r.value), math.Max(ticks[k].hi, r.value)
		if nearer(p, ticks[k].from) {
			ticks[k].from = p
		}
	}
	sort.Slice(ticks, func(i, j int) bool { return ticks[i].at < ticks[j].at })
	return ticks
}

func (t tick) figure() string {
	lo, hi := whole(t.lo), whole(t.hi)
	if lo == hi {
		return lo
	}
	return lo + "–" + hi
}

// whole returns a length in whole millimetres.
func whole(mm float64) string { return num(math.Round(mm)) }
