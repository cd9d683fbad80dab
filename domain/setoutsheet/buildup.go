package setoutsheet

import (
	"fmt"
	"math"
	"slices"

	"lathmark/domain/advice"
	"lathmark/domain/geometry"
	"lathmark/domain/words"
)

// badFit is the chance of so bad a fit below which the sheet mentions it: the
// test of a single measurement has the same 0.1 %.
const badFit = 0.001

// mostNamed is how many readings one warning names.
const mostNamed = 5

// buildUps warns of the build-ups that come out unlike the planned ones.
// Several readings noted in the same wrong state agree with each other, so none
// of them is suspect by itself; the build-up that results is.
func (v *view) buildUps() []string {
	var out []string
	for d, layers := range v.Answer.Layers {
		worst := -1
		for l, a := range layers {
			if a.Suspect && (worst < 0 || math.Abs(a.W) > math.Abs(layers[worst].W)) {
				worst = l
			}
		}
		if _, suspect := v.Worst[advice.Thing{Face: true, ID: v.Surface.Surface.Datums[d].ID}]; worst >= 0 && !suspect {
			out = append(out, v.buildUp(d, worst))
		}
	}
	return out
}

func (v *view) buildUp(d, l int) string {
	datum, a := &v.Surface.Surface.Datums[d], v.Answer.Layers[d][l]
	said := fmt.Sprintf("The readings make the %s on %s %s thick, planned %s.", datum.Layers[l].ID, datum.ID,
		words.Tenth(a.Thickness), words.Tenth(datum.Layers[l].Thickness))
	if ids := v.oddOnes(d, l); len(ids) > 0 {
		return said + " " + some(ids) + " may be noted in a wrong state. Ask who taped, or measure the build-up."
	}
	return said + " Measure the build-up."
}

// oddOnes returns the offsets from a face that decide how thick a layer of it
// comes out: of those noted with the layer on and those noted before it, the
// smaller group, or both if they are equal.
func (v *view) oddOnes(d, l int) []string {
	var before, after []string
	for i := range v.Geometry.Measurements {
		m, a := &v.Geometry.Measurements[i], &v.Answer.Measurements[i]
		if m.Kind != geometry.Offset || m.From != d || a.Unrecorded || a.Unused {
			continue
		}
		if m.State > l {
			after = append(after, v.Surface.Surface.Measurements[i].ID)
		} else {
			before = append(before, v.Surface.Surface.Measurements[i].ID)
		}
	}
	if len(after) < len(before) {
		return after
	}
	if len(before) < len(after) {
		return before
	}
	return slices.Concat(before, after)
}

// some names the first few of many.
func some(ids []string) string {
	if len(ids) <= mostNamed {
		return words.List(ids)
	}
	return words.List(append(slices.Clone(ids[:mostNamed]), fmt.Sprintf("%d more", len(ids)-mostNamed)))
}

// misfit warns of readings that contradict each other although none of them and
// no build-up stands out.
func (v *view) misfit() []string {
	if v.Answer.Fit.P >= badFit || len(v.suspects()) > 0 || len(v.buildUps()) > 0 {
		return nil
	}
	return []string{"The readings do not go together, and none stands out. Look for a state noted wrong all along one " +
		"wall, or a wall drawn in the wrong place."}
}
