package setoutsheet

import (
	"fmt"
	"math"
	"slices"

	"lathmark/domain/advice"
	"lathmark/domain/geometry"
	"lathmark/domain/words"
)

// warnings returns the surface's warnings, the most urgent first.
func (v *view) warnings() []string {
	return slices.Concat(v.unrecorded(), v.adrift(), v.suspects(), v.buildUps(), v.misfit(), v.unchecked(), v.stops())
}

func (v *view) unrecorded() []string {
	var out []string
	for i := range v.Answer.Measurements {
		if !v.Answer.Measurements[i].Unrecorded {
			continue
		}
		m := &v.Surface.Surface.Measurements[i]
		what := m.From
		if m.Kind == "span" {
			what = "a wall at one end"
		}
		out = append(out, fmt.Sprintf(
			"%s (%s) does not say what %s had on it when it was taped, so it is left out. Ask who taped it, or measure again.",
			m.ID, advice.Reading(m), what))
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
	id := v.Surface.Surface.Positions[i].ID
	var from []string
	other := false
	for k := range v.Surface.Surface.Measurements {
		m := &v.Surface.Surface.Measurements[k]
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
			if x := math.Abs(advice.Dot(advice.Normal(d), geometry.Vec{U: a.U - b.U, V: a.V - b.V})); x > apart+0.5 {
				best, apart = k, x
			}
		}
	}
	id := v.Surface.Surface.Positions[i].ID
	if best < 0 {
		return id + " fits two places. Measure it once more, from a wall."
	}
	x, y := v.roughly(best, a), v.roughly(best, b)
	return fmt.Sprintf("%s fits two places: about %.0f or about %.0f from %s. Measure it from %s.",
		id, min(x, y), max(x, y), v.Surface.Surface.Datums[best].ID, v.Surface.Surface.Datums[best].ID)
}

// roughly returns a place's offset from a datum in today's states, to 10 mm:
// good enough to distinguish two places, not to mark from.
func (v *view) roughly(k int, at geometry.Vec) float64 {
	d := &v.Geometry.Datums[k]
	x := advice.Dot(advice.Normal(d), geometry.Vec{U: at.U - d.A.U, V: at.V - d.A.V})
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
		if m := &v.Surface.Surface.Measurements[i]; v.Pulled(i) {
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
	m, a := &v.Surface.Surface.Measurements[i], &v.Answer.Measurements[i]
	if as := v.ReadsAs(i); as != "" {
		return fmt.Sprintf("%s (%s) is noted with %s %s, but fits with it %s. Ask who taped it, or measure again.",
			m.ID, advice.Reading(m), m.From, today(m.State), words.StateOf(as))
	}
	says := m.Value
	if a.Redundancy > 0 {
		says += a.Residual / a.Redundancy
	}
	return fmt.Sprintf("%s (%s) does not fit: taped %s, the rest says about %s. Measure it again.",
		m.ID, advice.Reading(m), words.Tenth(m.Value), words.MM(says))
}

// unchecked warns of the positions where a misread tape would not show.
func (v *view) unchecked() []string {
	var out []string
	for i := range v.Answer.Positions {
		if a := &v.Answer.Positions[i]; !a.Determinate || a.Checked {
			continue
		}
		id := v.Surface.Surface.Positions[i].ID
		var loose []string
		from := map[int]bool{} // the faces of loose offsets
		for k := range v.Answer.Measurements {
			m, a := &v.Surface.Surface.Measurements[k], &v.Answer.Measurements[k]
			if slices.Contains(advice.Touches(m), advice.Thing{ID: id}) && !a.Unrecorded && !a.Unused &&
				a.Redundancy < geometry.CheckedRedundancy {
				loose = append(loose, m.ID)
				if m.Kind == "offset" {
					from[v.Geometry.Measurements[k].From] = true
				}
			}
		}
		out = append(out, fmt.Sprintf("%s is %s. It rests on %s. %s.", id, words.Checked(0), words.List(loose),
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
			if from[a] && from[b] && d.Kind == geometry.Face && e.Kind == geometry.Face && advice.Dot(advice.Normal(d),
				advice.Normal(e)) < facing {
				spans = append(spans, v.Surface.Surface.Datums[b].ID+" to "+v.Surface.Surface.Datums[a].ID)
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

// stops are the holes that are not to be cut, in the sentences that stand beside
// them; those of which the same is said share a warning.
func (v *view) stops() []string {
	var says []string
	names := map[string][]string{}
	for i := range v.holes {
		h := &v.holes[i]
		if h.MayCut || !h.Open {
			continue
		}
		if names[h.Why] == nil {
			says = append(says, h.Why)
		}
		names[h.Why] = append(names[h.Why], h.Name)
	}
	for i, s := range says {
		says[i] = words.List(names[s]) + ": " + s
	}
	return says
}
