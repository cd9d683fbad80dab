package geometry

import (
	"math"
	"slices"
)

// Solve adjusts a surface and reads everything off the result that the room
// sheet's contract asks for. The surface must be sound: indices and states in
// range, sigmas above 0, lines of some length, spans between faces that look at
// each other (what roomsheet.Check checks). It is not changed.
func Solve(s *Surface) *Answer {
	m := newModel(s)
	d, a := settleAll(m)
	r := newReading(a)
	answer := &Answer{
		Positions:    make([]PositionAnswer, len(s.Positions)),
		Measurements: r.measurements(),
		Layers:       r.layers(),
		Fit:          r.fit(),
		First:        -1,
	}
	setOut := make([]SetOut, len(s.Positions)*len(s.Datums))
	for i := range s.Positions {
		r.position(i, setOut[i*len(s.Datums):(i+1)*len(s.Datums):(i+1)*len(s.Datums)], &answer.Positions[i])
		answer.Positions[i].Ambiguous = d.ambiguous[i]
	}
	r.check(answer)
	r.teach(answer)
	judge(s, m.normal, answer)
	answer.First = r.first(answer)
	return answer
}

// settleAll finds the determinate positions and adjusts them, and takes back
// those of which the answer shows that their directions do not cross well
// enough. What rests on one taken back is then looked at again.
func settleAll(m *model) (*determination, *adjustment) {
	barred := make([]bool, len(m.s.Positions))
	for {
		d := determine(m, barred)
		a := adjust(m, d.start)
		bad := d.unsound(a)
		if len(bad) == 0 {
			return d, a
		}
		for _, i := range bad {
			barred[i] = true
		}
	}
}

// reading is an adjustment with the images from which every covariance is read.
type reading struct {
	*adjustment
	u, v   []image // by position; empty if it takes no part
	covers []image // by datum: of what covers it today (zero for points)
	// states are the images of what covers a face in each of its states and
	// the surface's own, worked out when first asked for.
	states  [][]image
	work    image   // of one measurement
	nothing image   // of a function that is always the same
	offsets []image // of one position, by datum
}

func newReading(a *adjustment) *reading {
	n := len(a.s.Positions)
	r := &reading{
		adjustment: a, u: make([]image, n), v: make([]image, n),
		covers: make([]image, len(a.s.Datums)), states: make([][]image, len(a.s.Datums)),
		offsets: make([]image, len(a.s.Datums)), nothing: image{shared: make([]float64, len(a.prior))},
	}
	images := a.fac.nodeImages()
	for i, node := range a.node {
		if node >= 0 {
			r.u[i], r.v[i] = images[2*node], images[2*node+1]
		}
	}
	for k := range a.s.Datums {
		r.states[k] = make([]image, (len(a.s.Datums[k].Layers)+1)*(len(a.s.Layers)+1))
		if a.s.Datums[k].Kind != FixedPoint {
			r.covers[k] = r.coverImage(k, a.s.Datums[k].Now, a.s.Now)
		}
	}
	return r
}

// coverImage returns the image of what lies over a face or line in these states, taken
// away from n·p: the offset's image is n·p's less this.
func (r *reading) coverImage(datum, state, surfaceState int) image {
	y := &r.states[datum][state*(len(r.s.Layers)+1)+surfaceState]
	if y.shared == nil {
		terms := r.cover(nil, datum, state, surfaceState)
		for k := range terms {
			terms[k].coef = -terms[k].coef
		}
		*y = r.fac.sharedImage(terms)
	}
	return *y
}

// along sets *into to the image of position i's place along d, less that of
// what covers a datum.
func (r *reading) along(into *image, i int, d Vec, cover image) {
	into.combine(d.U, r.u[i], d.V, r.v[i], cover)
}

func (r *reading) layers() [][]LayerAnswer {
	list := make([][]LayerAnswer, len(r.s.Datums))
	for k := range r.s.Datums {
		for l := range r.s.Datums[k].Layers {
			at := r.layer(k, l)
			l := LayerAnswer{Thickness: r.x.shared[at], Sigma: r.fac.sharedImage([]term{{at, 1}}).length()}
			if learned := 1 - l.Sigma*l.Sigma/(r.sigma[at]*r.sigma[at]); learned > noRedundancy {
				l.W = (l.Thickness - r.prior[at]) / (r.sigma[at] * math.Sqrt(learned))
				l.Suspect = math.Abs(l.W) > SuspectW
			}
			list[k] = append(list[k], l)
		}
	}
	return list
}

func (r *reading) fit() Fit {
	f := Fit{Sum: r.sum(), DOF: len(r.used) - 2*len(r.x.nodes), P: 1}
	if f.DOF > 0 {
		f.P = chi2Survival(f.Sum, f.DOF)
	}
	return f
}

// check marks the positions that are checked: those of which every measurement
// that takes part is. The slip that would have shown is the worst of theirs.
func (r *reading) check(answer *Answer) {
	for i := range answer.Positions {
		answer.Positions[i].Checked = answer.Positions[i].Determinate
	}
	for _, k := range r.used {
		z, a := &r.s.Measurements[k], &answer.Measurements[k]
		if z.Kind == Offset || z.Kind == Distance {
			answer.Positions[z.Of].checkedBy(a)
		}
		if z.Kind == Distance {
			answer.Positions[z.To].checkedBy(a)
		}
	}
}

// checkedBy takes account of one of the position's own measurements.
func (p *PositionAnswer) checkedBy(a *MeasurementAnswer) {
	p.Checked = p.Checked && a.Redundancy >= CheckedRedundancy
	if p.Slip = max(p.Slip, a.MDB); !p.Checked {
		p.Slip = 0
	}
}

// otherStates returns the states of a datum other than one.
func (d *Datum) otherStates(state int) []int {
	var list []int
	for s := range len(d.Layers) + 1 {
		list = append(list, s)
	}
	return slices.Delete(list, state, state+1)
}
