package web

import (
	"slices"
	"strconv"
	"strings"

	"lathmark/domain/words"
)

// How long a room's page gets: so many lines of positions are shown at once, a plan counts as so many, and so many
// readings in doubt have a line of their own on each surface. The rest is one touch away, so that the page of any room
// ends after four screens of a phone.
const (
	roomLines  = 18
	planLines  = 10
	doubtLines = 5
)

// Fold shares out the page's lines to the surfaces: the first is shown, and the others as far as they fit.
func (v *RoomView) Fold() {
	left := roomLines
	for i := range v.Surfaces {
		s := &v.Surfaces[i]
		cost := len(s.Positions)
		if i > 0 {
			cost += planLines
		}
		s.Open, s.Lines = i == 0 || cost <= left, left
		if s.Open {
			left = max(0, left-cost)
		}
	}
}

// roomPart is a surface of a room's page, with some of its positions.
type roomPart struct {
	View    RoomView
	Surface SurfaceView
	First   bool
	Rows    []PositionRow
}

func newRoomPart(v RoomView, s SurfaceView, rows []PositionRow) roomPart {
	return roomPart{v, s, s.ID == v.Surfaces[0].ID, rows}
}

// Group is the positions whose record is in the same state.
type Group struct {
	Record string
	Owed   bool
	Open   bool // its lines are shown
	Rows   []PositionRow
}

// Groups are the positions by the state of their record, those with something left to do first. The first are shown
// line by line, as far as they fit.
func (s SurfaceView) Groups() (out []Group) {
	for _, p := range s.Positions {
		at := slices.IndexFunc(out, func(g Group) bool { return g.Record == p.Record && g.Owed == p.Owed })
		if at < 0 {
			at = len(out)
			out = append(out, Group{Record: p.Record, Owed: p.Owed})
		}
		out[at].Rows = append(out[at].Rows, p)
	}
	slices.SortStableFunc(out, func(a, b Group) int {
		switch {
		case a.Owed == b.Owed:
			return 0
		case a.Owed:
			return -1
		}
		return 1
	})
	left := s.Lines
	for i := range out {
		if out[i].Open = len(out[i].Rows) <= left; out[i].Open {
			left -= len(out[i].Rows)
		}
	}
	return out
}

// Names are the names of its positions: "D1 to D7 and F1".
func (g Group) Names() string {
	var names []string
	for _, p := range g.Rows {
		names = append(names, p.Name)
	}
	return words.Runs(names)
}

// States counts what became of its positions: "2 found, 1 held".
func (g Group) States() string { return states(g.Rows) }

// States is the same of all positions of the surface.
func (s SurfaceView) States() string { return states(s.Positions) }

func states(rows []PositionRow) string {
	var out []string
	count := map[string]int{}
	for _, p := range rows {
		if p.State != "" && count[p.State] == 0 {
			out = append(out, p.State)
		}
		count[p.State]++
	}
	for i, s := range out {
		out[i] = strconv.Itoa(count[s]) + " " + s
	}
	return strings.Join(out, ", ")
}

// Owed counts the positions with something left to do.
func (s SurfaceView) Owed() (n int) {
	for _, p := range s.Positions {
		if p.Owed {
			n++
		}
	}
	return n
}

// Doubts are the readings of the surface with which something is wrong, those that have a line of their own.
func (s SurfaceView) Doubts() []MeasurementRow {
	all := s.doubts()
	return all[:min(len(all), doubtLines)]
}

// MoreDoubts are the others, in one line each no more: "1802, D4 from steel".
func (s SurfaceView) MoreDoubts() (out []string) {
	for _, m := range s.doubts()[len(s.Doubts()):] {
		out = append(out, words.MM(m.Value)+", "+m.What)
	}
	return out
}

func (s SurfaceView) doubts() (out []MeasurementRow) {
	for _, p := range s.Positions {
		out = append(out, p.Doubts()...)
	}
	return append(out, doubts(s.Others)...)
}

func doubts(all []MeasurementRow) (out []MeasurementRow) {
	for _, m := range all {
		if m.Doubt != "" && m.Struck == "" {
			out = append(out, m)
		}
	}
	return out
}
