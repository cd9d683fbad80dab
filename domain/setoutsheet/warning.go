package setoutsheet

import (
	"fmt"
	"math"
	"slices"

	"lathmark/domain/geometry"
	"lathmark/domain/words"
)

// warnings returns the surface's warnings, the most urgent first.
func (v *view) warnings() []string {
	return slices.Concat(v.unrecorded(), v.adrift(), v.suspects(), v.buildUps(), v.misfit(), v.unchecked(), v.hits())
}

func (v *view) unrecorded() []string {
	var out []string
	for i := range v.Answer.Measurements {
		if !v.Answer.Measurements[i].Unrecorded {
			continue
		}
		m := &v.Surface.Measurements[i]
		what := m.From
		if m.Kind == "span" {
			what = "a wall at one end"
		}
		out = append(out, fmt.Sprintf(
			"%s (%s) does not say what %s had on it when it was taped, so it is left out. Ask who taped it, or measure again.",
			m.ID, reading(m), what))
	}
	return out
}

// adrift warns of the positions that cannot be set out, with what each needs.
func (v *view) adrift() []string {
	var out []string
	for i := range v.Answer.Positions {
		if a := &v.Answer.Positions[i]; !a.Determinate {
			if len(a.Ambiguous) == 2 {
				out = append(out, v.twoPlaces(i))
			} else {
				out = append(out, v.needs(i))
			}
		}
	}
	return out
}

// needs returns what would fix a position that is not determinate.
func (v *view) needs(i int) string {
	id := v.Surface.Positions[i].ID
	var from []string
	other := false
	for k := range v.Surface.Measurements {
		m := &v.Surface.Measurements[k]
		switch {
		case v.Answer.Measurements[k].Unrecorded:
		case m.Kind == "offset" && m.Of == id:
			if !slices.Contains(from, m.From) {
				from = append(from, m.From)
			}
		case m.Kind == "distance" && (m.Of == id || m.To == id):
			other = true
		}
	}
	switch {
	case len(from) == 0 && !other:
		return id + " has no measurement that counts. Measure it from two walls that meet."
	case len(from) == 0:
		return id + " is measured from other positions only, and that does not fix it. Measure it from two walls that meet."
	case len(from) == 1:
		return id + " is measured from " + from[0] + " only. Measure it from a second wall, one that meets the first."
	}
	return id + " is measured from " + words.List(from) +
		", which run too much the same way. Measure it from a wall that crosses them."
}

// twoPlaces describes the two places that a position fits by the datum that
// distinguishes them best.
func (v *view) twoPlaces(i int) string {
	a, b := v.Answer.Positions[i].Ambiguous[0], v.Answer.Positions[i].Ambiguous[1]
	best, apart := -1, 0.0
	for k := range v.Geometry.Datums {
		if d := &v.Geometry.Datums[k]; d.Kind != geometry.FixedPoint {
			if x := math.Abs(dot(normal(d), geometry.Vec{U: a.U - b.U, V: a.V - b.V})); x > apart+0.5 {
				best, apart = k, x
			}
		}
	}
	id := v.Surface.Positions[i].ID
	if best < 0 {
		return id + " fits two places. Measure it once more, from a wall."
	}
	x, y := v.roughly(best, a), v.roughly(best, b)
	return fmt.Sprintf("%s fits two places: about %.0f or about %.0f from %s. Measure it from %s.",
		id, min(x, y), max(x, y), v.Surface.Datums[best].ID, v.Surface.Datums[best].ID)
}

// roughly returns a place's offset from a datum in today's states, to 10 mm:
// good enough to distinguish two places, not to mark from.
func (v *view) roughly(k int, at geometry.Vec) float64 {
	d := &v.Geometry.Datums[k]
	x := dot(normal(d), geometry.Vec{U: at.U - d.A.U, V: at.V - d.A.V})
	for l := range d.Now {
		x -= v.Answer.Layers[k][l].Thickness
	}
	return 10 * math.Round(x/10)
}

// suspects warns of the measurements that do not fit. One bad reading pulls
// others off: a reading that shares its position with a worse one is named, but
// not blamed.
func (v *view) suspects() []string {
	var out, others []string
	for i := range v.Answer.Measurements {
		if !v.Answer.Measurements[i].Suspect {
			continue
		}
		if m := &v.Surface.Measurements[i]; v.pulled(i) {
			others = append(others, m.ID)
		} else {
			out = append(out, v.suspect(i))
		}
	}
	if len(others) > 0 {
		verb := "do"
		if len(others) == 1 {
			verb = "does"
		}
		out = append(out, words.List(others)+" "+verb+
			" not fit either, most likely because of the above. Look again once that is put right.")
	}
	return out
}

func (v *view) suspect(i int) string {
	m, a := &v.Surface.Measurements[i], &v.Answer.Measurements[i]
	if as := v.ReadsAs(i); as != "" {
		return fmt.Sprintf("%s (%s) is noted with %s %s, but fits with it %s. Ask who taped it, or measure again.",
			m.ID, reading(m), m.From, today(m.State), words.StateOf(as))
	}
	says := m.Value
	if a.Redundancy > 0 {
		says += a.Residual / a.Redundancy
	}
	return fmt.Sprintf("%s (%s) does not fit: taped %s, the rest says about %s. Measure it again.",
		m.ID, reading(m), words.MM(m.Value), words.MM(says))
}

// unchecked warns of the positions where a misread tape would not show.
func (v *view) unchecked() []string {
	var out []string
	for i := range v.Answer.Positions {
		if a := &v.Answer.Positions[i]; !a.Determinate || a.Checked {
			continue
		}
		id := v.Surface.Positions[i].ID
		var loose []string
		from := map[int]bool{} // the faces of loose offsets
		for k := range v.Answer.Measurements {
			m, a := &v.Surface.Measurements[k], &v.Answer.Measurements[k]
			if slices.Contains(touches(m), thing{false, id}) && !a.Unrecorded && !a.Unused &&
				a.Redundancy < geometry.CheckedRedundancy {
				loose = append(loose, m.ID)
				if m.Kind == "offset" {
					from[v.Geometry.Measurements[k].From] = true
				}
			}
		}
		out = append(out, fmt.Sprintf("%s is not checked: a slip in %s would not show. %s.", id, words.List(loose),
			v.check(from)))
	}
	return out
}

// check returns what would check a position: if it was measured from two faces
// that look at each other, their distance from each other.
func (v *view) check(from map[int]bool) string {
	var spans []string
	for a := range v.Geometry.Datums {
		for b := range a {
			d, e := &v.Geometry.Datums[a], &v.Geometry.Datums[b]
			if from[a] && from[b] && d.Kind == geometry.Face && e.Kind == geometry.Face && dot(normal(d), normal(e)) < facing {
				spans = append(spans, v.Surface.Datums[b].ID+" to "+v.Surface.Datums[a].ID)
			}
		}
	}
	if len(spans) == 0 {
		return "Measure it a second way"
	}
	return "Measure the span from " + words.List(spans)
}

// facing is the cosine of the normals of two faces that a span may join: 175
// degrees apart.
const facing = -0.9962

// hits warns of the holes that would meet timber where the tail was taped.
// Those that meet the same timber and move the same way share a warning.
func (v *view) hits() []string {
	type group struct {
		ids      []string
		odds     string
		instead  string
		timber   int
		shortage float64 // chance that the tail is missed from the moved hole
	}
	var groups []group
	for i := range v.Answer.Positions {
		worst := v.worstTimber(i)
		if worst < 0 {
			continue
		}
		a := &v.Answer.Positions[i]
		g := group{timber: worst, odds: words.Odds(a.Timbers[worst].Hit), shortage: 1 - a.Plan.Find}
		if a.Plan.Clears {
			g.instead = v.moved(i)
		}
		at := slices.IndexFunc(groups, func(o group) bool {
			return o.timber == g.timber && o.odds == g.odds && o.instead == g.instead
		})
		if at < 0 {
			at = len(groups)
			groups = append(groups, g)
		}
		groups[at].ids = append(groups[at].ids, v.Surface.Positions[i].ID)
		groups[at].shortage = max(groups[at].shortage, g.shortage)
	}
	var out []string
	for _, g := range groups {
		said := fmt.Sprintf("A hole over the tail of %s would meet timber %s (%s)", words.List(g.ids),
			v.Surface.Timbers[g.timber].ID, g.odds)
		if g.instead == "" {
			out = append(out, said+", and no move within half the joist spacing clears. Do not open it. Choose another place "+
				"with the foreman.")
			continue
		}
		said += ". Moved " + g.instead + "."
		if g.shortage > often {
			said += " From there the tail is missed " + words.Odds(g.shortage) + ": have a hook ready."
		}
		out = append(out, said)
	}
	return out
}

// worstTimber returns the timber that a hole over its tail would most likely
// meet, or -1 if none is likely enough to matter.
func (v *view) worstTimber(i int) int {
	a := &v.Answer.Positions[i]
	worst := -1
	for k := range a.Timbers {
		if a.Timbers[k].Hit > geometry.HitLimit && (worst < 0 || a.Timbers[k].Hit > a.Timbers[worst].Hit) {
			worst = k
		}
	}
	return worst
}
