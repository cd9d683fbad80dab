package geometry

import (
	"math"
	"testing"
)

// TestOnePositionTwoOffsets: no redundancy at all.
func TestOnePositionTwoOffsets(t *testing.T) {
	s := square()
	s.Positions = []Position{{Cutout: 76, Reach: 78, TailSigma: 10}}
	s.Measurements = []Measurement{offset(0, south, 628), offset(0, west, 900)}
	a := Solve(s)
	p := a.Positions[0]
	within(t, "u", p.At.U, 900, 1e-9)
	within(t, "v", p.At.V, 628, 1e-9)
	within(t, "variance", p.Cov.UU, 10*10+2*2, 1e-9)
	within(t, "set-out from the face it was measured from", p.SetOut[south].Sigma, 2, 1e-9)
	within(t, "set-out from the face opposite", p.SetOut[north].Sigma, math.Sqrt(10*10+10*10+2*2), 1e-9)
	for k, m := range a.Measurements {
		if m.Redundancy != 0 || m.W != 0 || m.Suspect || !math.IsInf(m.MDB, 1) {
			t.Errorf("measurement %d: %+v", k, m)
		}
	}
	if p.Checked {
		t.Error("checked without a second measurement")
	}
	if a.Fit.DOF != 0 || a.Fit.P != 1 || a.First != 0 {
		t.Errorf("%+v, first %d", a.Fit, a.First)
	}
	if p.Mark.From != [2]int{south, west} {
		t.Errorf("marked from %v", p.Mark.From)
	}
}

// TestChecked: a position needs a second measurement in both directions. One
// from the face opposite is none as long as nobody knows how far the faces are
// apart (their priors are five times as wide as a tape's error); a span makes
// it one.
func TestChecked(t *testing.T) {
	s := square()
	s.Positions = make([]Position, 1)
	s.Measurements = []Measurement{offset(0, south, 628), offset(0, west, 900), offset(0, south, 627)}
	if Solve(s).Positions[0].Checked {
		t.Error("checked with one measurement east-west")
	}
	s.Measurements = append(s.Measurements, offset(0, east, 3100))
	if Solve(s).Positions[0].Checked {
		t.Error("checked from a face whose distance nobody knows")
	}
	s.Measurements = append(s.Measurements, Measurement{Kind: Span, From: west, To: east, Value: 4000, Sigma: 2})
	if !Solve(s).Positions[0].Checked {
		t.Error("not checked with two measurements each way")
	}
}

// TestLean: a ceiling that rises at 35° from a low wall. Layers of the wall
// reach further along the slope, layers of the slope come back along it.
func TestLean(t *testing.T) {
	const lean = 35.0
	cos, tan := math.Cos(lean*math.Pi/180), math.Tan(lean*math.Pi/180)
	s := square()
	s.Datums[south].Lean = lean
	s.Datums[south].Layers = []Layer{{28, 1}}
	s.Datums[south].Now = 1
	s.Layers, s.Now = []Layer{{12.5, 0.5}}, 1
	s.Positions = make([]Position, 1)
	s.Measurements = []Measurement{offset(0, south, 700), offset(0, west, 900)}
	p := Solve(s).Positions[0]
	within(t, "v", p.At.V, 700, 1e-9)
	within(t, "offset today", p.SetOut[south].Value, 700-28/cos+12.5*tan, 1e-9)
}

// TestEveryMeasurementOfAFaceSuspect: one face's readings contradict all the
// others; each is reported, and the rest of the answer is there.
func TestEveryMeasurementOfAFaceSuspect(t *testing.T) {
	s := square()
	s.Datums[north].Sigma = 0.5
	s.Datums[south].Sigma = 0.5
	s.Positions = make([]Position, 3)
	for i := range 3 {
		u, v := 800+700*float64(i), 900+500*float64(i)
		s.Measurements = append(s.Measurements, offset(i, west, u), offset(i, east, 4000-u),
			offset(i, south, v), offset(i, north, 3000-v+60))
	}
	a := Solve(s)
	for k, m := range a.Measurements {
		if north := s.Measurements[k].From == north; north && !m.Suspect {
			t.Errorf("measurement %d is off by 60 mm and not suspect: %+v", k, m)
		}
	}
	for i := range a.Positions {
		if !a.Positions[i].Determinate || a.Positions[i].Mark == nil {
			t.Errorf("position %d: %+v", i, a.Positions[i])
		}
	}
	if a.Fit.P > 1e-6 {
		t.Errorf("so bad a fit has a chance of %g", a.Fit.P)
	}
}

// TestTwoPositionsOnTheSameSpot: also with a distance of zero between them,
// whose direction is not defined.
func TestTwoPositionsOnTheSameSpot(t *testing.T) {
	s := square()
	s.Positions = []Position{{Cutout: 76, Reach: 78, TailSigma: 10}, {Cutout: 76, Reach: 78, TailSigma: 10}}
	for i := range 2 {
		s.Measurements = append(s.Measurements, offset(i, south, 628), offset(i, west, 900))
	}
	s.Measurements = append(s.Measurements, distance(0, 1, 0))
	a := Solve(s)
	for i, p := range a.Positions {
		within(t, "u", p.At.U, 900, 1e-6)
		within(t, "variance", p.Cov.UU, 104, 1e-6)
		if !p.Determinate || math.IsNaN(p.Find) {
			t.Errorf("position %d: %+v", i, p)
		}
	}
	within(t, "residual", a.Measurements[4].Residual, 0, 1e-6)
}

// TestNothingToDo: an empty surface, and one whose only position is not
// measured.
func TestNothingToDo(t *testing.T) {
	if a := Solve(&Surface{}); a.First != -1 || a.Fit.DOF != 0 {
		t.Errorf("%+v", a)
	}
	s := square()
	s.Positions = make([]Position, 1)
	if a := Solve(s); a.First != -1 || a.Positions[0].Determinate {
		t.Errorf("%+v", a)
	}
}

// TestGUMH2 carries a covariance through functions of the unknowns: JCGM
// 100:2008 (GUM), H.2, resistance R = V/I cos φ, reactance X = V/I sin φ and
// impedance Z = V/I from five sets of simultaneous readings. Inputs as printed
// in its table H.2; results as printed there, from memory (u(X) is printed as
// 0.295, and is 0.2956).
func TestGUMH2(t *testing.T) {
	readings := [3][5]float64{
		{5.007, 4.994, 5.005, 4.990, 4.999},                     // V
		{19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3}, // A
		{1.0456, 1.0438, 1.0468, 1.0428, 1.0433},                // rad
	}
	mean, chol := meanAndFactor(readings)
	// The correlated means as three whitened equations: L⁻¹ x = L⁻¹ mean.
	var equations []equation
	for r := range 3 {
		e := equation{a: -1, b: -1}
		row := lowerInverseRow(chol, r)
		for c := range 3 {
			e.shared = append(e.shared, term{c, row[c]})
			e.rhs += row[c] * mean[c]
		}
		equations = append(equations, e)
	}
	fac := newFactor(newForest(0, nil), 3, equations, new(slab))
	x := fac.solve().shared
	v, i, phi := x[0], x[1], x[2]
	sin, cos := math.Sincos(phi)
	R, X, Z := v/i*cos, v/i*sin, v/i
	yR := fac.sharedImage([]term{{0, cos / i}, {1, -R / i}, {2, -X}})
	yX := fac.sharedImage([]term{{0, sin / i}, {1, -X / i}, {2, R}})
	yZ := fac.sharedImage([]term{{0, 1 / i}, {1, -Z / i}})
	within(t, "R", R, 127.732, 0.0005)
	within(t, "X", X, 219.847, 0.0005)
	within(t, "Z", Z, 254.260, 0.0005)
	within(t, "u(R)", yR.length(), 0.071, 0.0005)
	within(t, "u(X)", yX.length(), 0.2956, 0.0005)
	within(t, "u(Z)", yZ.length(), 0.236, 0.0005)
	within(t, "r(R,X)", yR.dot(yX)/yR.length()/yX.length(), -0.588, 0.0006)
	within(t, "r(R,Z)", yR.dot(yZ)/yR.length()/yZ.length(), -0.485, 0.0006)
	within(t, "r(X,Z)", yX.dot(yZ)/yX.length()/yZ.length(), 0.993, 0.0006)
}

// meanAndFactor returns the means and the Cholesky factor of their covariance.
func meanAndFactor(readings [3][5]float64) (mean [3]float64, l [3][3]float64) {
	var cov [3][3]float64
	for a := range 3 {
		for _, v := range readings[a] {
			mean[a] += v / 5
		}
	}
	for a := range 3 {
		for b := range 3 {
			for k := range 5 {
				cov[a][b] += (readings[a][k] - mean[a]) * (readings[b][k] - mean[b]) / 20
			}
		}
	}
	for a := range 3 {
		for b := range a + 1 {
			s := cov[a][b]
			for k := range b {
				s -= l[a][k] * l[b][k]
			}
			if a == b {
				l[a][a] = math.Sqrt(s)
			} else {
				l[a][b] = s / l[b][b]
			}
		}
	}
	return mean, l
}

// lowerInverseRow returns row r of L⁻¹.
func lowerInverseRow(l [3][3]float64, r int) [3]float64 {
	var row [3]float64
	row[r] = 1 / l[r][r]
	for c := r - 1; c >= 0; c-- {
		for k := c + 1; k <= r; k++ {
			row[c] -= row[k] * l[k][c]
		}
		row[c] /= l[c][c]
	}
	return row
}

// TestARightAngleButForRounding: a wall drawn with a coordinate that is zero
// but for rounding has normals, and so coefficients, near the smallest number
// there is. Dividing by one of those must not spoil the rest.
func TestARightAngleButForRounding(t *testing.T) {
	s := square()
	s.Datums[south].B.V = 6e-298
	s.Datums[south].Sigma, s.Datums[steel].Sigma = 1, 100_000
	s.Positions = make([]Position, 3)
	at := func(of, from int, value, sigma float64) {
		s.Measurements = append(s.Measurements, Measurement{Kind: Offset, Of: of, From: from, Value: value, Sigma: sigma})
	}
	at(0, south, 720, 0.001)
	at(0, west, 0, 2)
	at(1, south, 720, 0.001)
	at(1, west, 720, 0.001)
	at(2, south, 0, 0.001)
	at(2, west, 0, 2)
	s.Measurements = append(s.Measurements, distance(1, 0, 100), distance(2, 0, 100))
	for i, p := range Solve(s).Positions {
		if !p.Determinate || math.IsNaN(p.At.U) || math.IsNaN(p.Cov.Trace()) {
			t.Errorf("position %d: %+v", i, p)
		}
	}
}
