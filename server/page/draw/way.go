package draw

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"lathmark/domain/caution"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"
)

// cables are the ways through the timbers of a surface, as the timbers' page
// shows them.
func cables(r *room.Record, on *room.Surface) web.WaysView {
	v := web.WaysView{Cautions: []web.Caution{kit.Shown(caution.Webbed)}}
	for _, w := range r.Through(on.ID) {
		v.Rows = append(v.Rows, wayRow(w))
	}
	for _, l := range r.JoistLimits(on.ID) {
		v.Limits = append(v.Limits, limitRow(l))
	}
	return v
}

func wayRow(w room.WayThrough) web.WayRow {
	row := web.WayRow{ID: w.ID.String(), Name: w.Name,
		Run: room.FromTo(w.A, w.B), Cautions: kit.AllShown(w.Cautions)}
	switch {
	case w.Kind == room.NotchWay:
		row.Cut = "notch " + words.MM(w.Size) + " deep"
	case w.Height > 0:
		row.Cut = "hole of " + words.MM(w.Size) + ", its centre " + words.MM(w.Height) + " above the bottom"
	default:
		row.Cut = "hole of " + words.MM(w.Size) + ", how high is not noted"
	}
	for _, c := range w.Crossings {
		x := web.CrossingRow{Timbers: c.Timber.Name, Cautions: kit.AllShown(c.Cautions),
			Where: fmt.Sprintf("%s from the nearer end, %.0f %% of its length on the drawing", words.MM(c.At), 100*c.Share())}
		switch {
		case c.NeedsDepth:
			x.Says = "How deep the joist is, nobody recorded. Measure it, take the joist off above and add it again with its " +
				"depth."
		case w.Kind == room.HoleWay && w.Height == 0 && c.Timber.Depth > 0:
			x.Says = "Judged as drilled on the centre line."
		}
		if !c.NeedsDepth && len(c.Cautions) == 0 {
			x.Says = strings.TrimSpace(x.Says + " Inside all the limits above.")
		}
		row.Crossings = together(row.Crossings, x)
	}
	return row
}

// together adds a crossing to the one that says the same of another timber, or
// after the others.
func together(rows []web.CrossingRow, x web.CrossingRow) []web.CrossingRow {
	for i := range rows {
		if rows[i].Where == x.Where && rows[i].Says == x.Says && slices.Equal(rows[i].Cautions, x.Cautions) {
			rows[i].Timbers += ", " + x.Timbers
			return rows
		}
	}
	return append(rows, x)
}

// limitRow rounds towards the safe side, so that what is marked is inside.
func limitRow(l room.JoistLimits) web.LimitRow {
	names := l.Timbers[0].Name
	switch n := len(l.Timbers); {
	case n == 2:
		names += ", " + l.Timbers[1].Name
	case n > 2:
		names += " to " + l.Timbers[n-1].Name + ", " + strconv.Itoa(n) + " of them"
	}
	row := web.LimitRow{Timbers: names, Size: words.MM(l.Depth) + " deep, " + words.MM(l.Span) + " long",
		Rule: l.Rule.Source.String()}
	if l.Rule.MaxDepth > 0 && l.Depth > l.Rule.MaxDepth {
		row.Hole, row.Notch = "none", "none"
		row.HoleWhere = "Deeper than " + words.MM(l.Rule.MaxDepth) + ": ask an engineer."
		row.NotchWhere = row.HoleWhere
		return row
	}
	row.Hole, row.HoleWhere = most(l.MaxHole), between(l.HoleFrom, l.HoleTo)
	if l.Rule.HoleEdge > 0 {
		row.HoleWhere += ", " + least(l.Rule.HoleEdge) + " of timber above and below it"
	} else {
		row.HoleWhere += ", on the centre line"
	}
	row.Notch, row.NotchWhere = most(l.MaxNotch), between(l.NotchFrom, l.NotchTo)
	if l.MaxNotchLength > 0 {
		row.NotchWhere += ", at most " + most(l.MaxNotchLength) + " long"
	}
	return row
}

func between(from, to float64) string {
	if to == 0 {
		return "anywhere along it"
	}
	return least(from) + " to " + most(to)
}

// most and least are whole millimetres that keep inside a limit; a whole one
// that arithmetic left a hair off is itself.
func most(x float64) string { return words.MM(math.Floor(x + 1e-6)) }

func least(x float64) string { return words.MM(math.Ceil(x - 1e-6)) }
