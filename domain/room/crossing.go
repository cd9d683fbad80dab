package room

import (
	"math"
	"slices"

	"lathmark/domain/caution"
	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
)

// Crossing is where a cable run goes through a timber. The span is taken as
// the timber's length on the drawing: nobody records its supports.
type Crossing struct {
	Timber Timber  `json:"timber"`
	Span   float64 `json:"span" doc:"The timber's length on the drawing, taken for its span."`
	At     float64 `json:"at" doc:"From the nearer end of the timber."` // mm
	// Cautions are of every published rule, each with its source; none where
	// the cut keeps to all of them, or where the depth is not known.
	Cautions   []caution.Caution `json:"cautions"`
	NeedsDepth bool              `json:"needs_depth" doc:"Nothing can be said before the joist's depth is recorded."`
}

// Share is At as a share of the span, 0 to 0.5.
func (c Crossing) Share() float64 { return c.At / c.Span }

// WayThrough is a way with what it crosses, in the order the cable runs, and the
// cautions of its run as such: of one in a wall, outside of the safe zones.
type WayThrough struct {
	Way
	Crossings []Crossing
	Cautions  []caution.Caution
}

// wayCut is the cut that a way makes in one timber.
type wayCut struct {
	way *Way
	cut caution.Cut
}

// Through returns the ways of a surface with the timbers that each crosses, where
// along them, and the cautions there. Cuts in one timber are judged together.
// The published limits are for joists: on a slope or a wall every cut carries
// caution.NotAJoist in their place.
func (r *Record) Through(surface id.Surface) []WayThrough {
	on, err := r.Surface(surface)
	if err != nil {
		return nil
	}
	var out []WayThrough
	runs := map[id.Way][]float64{} // how far along the way each crossing is
	for _, w := range r.Ways {
		if w.Surface == surface {
			out = append(out, WayThrough{Way: w, Cautions: r.route(on, &w)})
		}
	}
	for _, t := range r.Timbers {
		if t.Surface != surface {
			continue
		}
		cuts, at := cutsIn(t, out)
		for i, c := range cuts {
			of := slices.IndexFunc(out, func(w WayThrough) bool { return w.ID == c.way.ID })
			span := t.length()
			x := Crossing{Timber: t, Span: span, At: math.Min(c.cut.At, span-c.cut.At)}
			switch {
			case !hasJoists(on):
				x.Cautions = []caution.Caution{caution.NotAJoist}
			case t.Depth == 0:
				x.NeedsDepth = true
			default:
				x.Cautions = cautionsAt(caution.Joist{Depth: t.Depth, Span: span, Width: t.Width}, cuts, i)
			}
			if hasJoists(on) && nearEdge(c, t.Depth) {
				x.Cautions = append(x.Cautions, caution.NearEdge)
			}
			n, _ := slices.BinarySearch(runs[c.way.ID], at[i])
			runs[c.way.ID] = slices.Insert(runs[c.way.ID], n, at[i])
			out[of].Crossings = slices.Insert(out[of].Crossings, n, x)
		}
	}
	return out
}

// route is the caution of a way in a wall that is not where cables are expected.
func (r *Record) route(on *Surface, w *Way) []caution.Caution {
	if on.Kind != "wall" {
		return nil
	}
	c, ok := r.cableWall(on, id.Position{}).Route(caution.Point{X: w.A[0], Y: w.A[1]}, caution.Point{X: w.B[0], Y: w.B[1]})
	if !ok {
		return nil
	}
	return []caution.Caution{c}
}

// hasJoists reports whether timbers of a surface are joists, which the published
// limits are for.
func hasJoists(s *Surface) bool { return s.Kind == "ceiling" || s.Kind == "floor" }

// nearEdge reports whether a cable in a cut of a joist of a depth lies nearer to an
// edge than caution.JoistCover: in a notch by how deep it is, in a hole where its
// height is known.
func nearEdge(c wayCut, depth float64) bool {
	switch w := c.way; {
	case w.Kind == NotchWay:
		return w.Size < caution.JoistCover
	case w.Height > 0 && depth > 0:
		return math.Min(w.Height, depth-w.Height)-w.Size/2 < caution.JoistCover
	}
	return false
}

// cutsIn are the cuts that ways make in a timber, and how far along its way
// each is, as a share of the way.
func cutsIn(t Timber, ways []WayThrough) (cuts []wayCut, at []float64) {
	for i := range ways {
		w := &ways[i].Way
		along, run, ok := meet(t, w.A, w.B)
		if !ok {
			continue
		}
		c := caution.Cut{Notch: w.Kind == NotchWay, At: along, Size: w.Size}
		if w.Height > 0 && t.Depth > 0 {
			c.Off = w.Height - t.Depth/2
		}
		cuts, at = append(cuts, wayCut{w, c}), append(at, run)
	}
	return cuts, at
}

// cautionsAt are the cautions of all rules for cut i, with those about what is
// too near it.
func cautionsAt(j caution.Joist, cuts []wayCut, i int) (out []caution.Caution) {
	for _, rule := range caution.JoistRules {
		out = append(out, rule.Judge(j, []caution.Cut{cuts[i].cut})...)
		for k := range cuts {
			if k == i {
				continue
			}
			for _, c := range rule.Judge(j, []caution.Cut{cuts[i].cut, cuts[k].cut}) {
				if c.Code == "joist/apart" {
					c.Text += " The other is of the way " + cuts[k].way.Name + "."
					out = append(out, c)
				}
			}
		}
	}
	return out
}

func (t *Timber) length() float64 { return math.Hypot(t.B[0]-t.A[0], t.B[1]-t.A[1]) }

// meet is where the run from a to b crosses a timber's centre line: mm from the
// timber's end A, and as a share of the run. False where it does not, or runs
// along it.
func meet(t Timber, a, b roomsheet.Point) (along, run float64, ok bool) {
	du, dv := t.B[0]-t.A[0], t.B[1]-t.A[1]
	wu, wv := b[0]-a[0], b[1]-a[1]
	det := du*wv - dv*wu
	if math.Abs(det) < 1e-9*t.length()*math.Hypot(wu, wv) {
		return 0, 0, false
	}
	pu, pv := a[0]-t.A[0], a[1]-t.A[1]
	s := (pu*wv - pv*wu) / det
	run = (pu*dv - pv*du) / det
	const little = 1e-9
	if s < -little || s > 1+little || run < -little || run > 1+little {
		return 0, 0, false
	}
	return math.Min(math.Max(s, 0), 1) * t.length(), run, true
}

// JoistLimits are one published rule's limits for timbers of one depth and span.
type JoistLimits struct {
	Timbers []Timber // in the order of the record
	Depth   float64  // mm
	Span    float64  // mm, the length on the drawing
	Rule    caution.JoistRule
	caution.Limits
}

// JoistLimits returns what may be cut, and where, in the timbers of a surface
// whose depth is known: every published rule for each depth and span. None on a
// slope or a wall.
func (r *Record) JoistLimits(surface id.Surface) (out []JoistLimits) {
	on, err := r.Surface(surface)
	if err != nil || !hasJoists(on) {
		return nil
	}
	for _, t := range r.Timbers {
		if t.Surface != surface || t.Depth == 0 {
			continue
		}
		depth, span := t.Depth, math.Round(t.length())
		same := slices.IndexFunc(out, func(l JoistLimits) bool { return l.Depth == depth && l.Span == span })
		for k, rule := range caution.JoistRules {
			if same < 0 {
				out = append(out, JoistLimits{Timbers: []Timber{t}, Depth: depth, Span: span, Rule: rule,
					Limits: rule.Limits(caution.Joist{Depth: depth, Span: span, Width: t.Width})})
			} else {
				out[same+k].Timbers = append(out[same+k].Timbers, t)
			}
		}
	}
	return out
}
