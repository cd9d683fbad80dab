package geometry

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// circleTolerance is what inCircle promises.
const circleTolerance = 1e-10

func checkCircle(t *testing.T, what string, c Cov, offset Vec, radius, want float64) {
	t.Helper()
	// Turned by any angle it must be the same.
	for _, turn := range []float64{0, 0.3, math.Pi / 2, 2.5} {
		got := inCircle(turned(c, turn), offset.turned(turn), radius)
		if !(math.Abs(got-want) <= circleTolerance) {
			t.Errorf("%s turned %v: got %.15f, want %.15f, off by %.2g", what, turn, got, want, got-want)
		}
	}
}

// Sources: testdata/reference/SOURCES.md.
func TestCircleCentredReference(t *testing.T) {
	r := readReference(t)
	n := 0
	for k, p := range r.centredCircular {
		checkCircle(t, "circular "+k, Cov{4, 0, 4}, Vec{}, 2*number(t, k), p)
		n++
	}
	for p, k := range r.kCircular {
		checkCircle(t, "circular K at "+p, Cov{4, 0, 4}, Vec{}, 2*k, number(t, p))
		n++
	}
	for p, row := range r.ellipticK {
		for c, k := range row {
			checkCircle(t, "elliptic K at "+p+","+c, turnedCov(1, number(t, c), 0), Vec{}, k, number(t, p))
			n++
		}
	}
	for k, row := range r.ellipticP {
		for c, p := range row {
			checkCircle(t, "elliptic P at "+k+","+c, turnedCov(1, number(t, c), 0), Vec{}, number(t, k), p)
			n++
		}
	}
	if n != 9+7+44+42 {
		t.Errorf("%d values read, want 102", n)
	}
}

func TestCircleOffsetReference(t *testing.T) {
	r := readReference(t)
	pair := func(key string) (float64, float64) {
		a, b, _ := strings.Cut(key, ",")
		return number(t, a), number(t, b)
	}
	for key, p := range r.offsetCircular {
		radius, away := pair(key)
		checkCircle(t, "offset "+key, Cov{25, 0, 25}, Vec{3 * away, 4 * away}, 5*radius, p)
	}
	for key, q := range r.marcumQ {
		a, b := pair(key)
		checkCircle(t, "Marcum Q "+key, Cov{1, 0, 1}, Vec{a, 0}, b, 1-q)
	}
	for _, g := range r.general {
		c := Cov{g.SX * g.SX, g.Rho * g.SX * g.SY, g.SY * g.SY}
		checkCircle(t, fmt.Sprintf("%+v", g), c, Vec{g.OX, g.OY}, g.R, g.P)
	}
	if n := len(r.offsetCircular) + len(r.marcumQ) + len(r.general); n != 51 {
		t.Errorf("%d values read, want 51", n)
	}
}

func TestCircleThinCases(t *testing.T) {
	line := turnedCov(3, 0, 0)
	for _, c := range []struct {
		what         string
		cov          Cov
		offset       Vec
		radius, want float64
	}{
		{"no spread, inside", Cov{}, Vec{3, 4}, 5.001, 1},
		{"no spread, on the rim", Cov{}, Vec{3, 4}, 5, 1},
		{"no spread, outside", Cov{}, Vec{3, 4}, 4.999, 0},
		{"a line through the middle", line, Vec{}, 3, normalBetween(-1, 1)},
		{"a line off the middle", line, Vec{1, 4}, 5, normalBetween(-4.0/3, 2.0/3)},
		{"a line that misses", line, Vec{0, 6}, 5, 0},
		{"nearly a line", turnedCov(3, 1e-7, 0), Vec{1, 4}, 5, normalBetween(-4.0/3, 2.0/3)},
		{"no radius", Cov{1, 0, 1}, Vec{}, 0, 0},
		{"far outside", Cov{1, 0, 1}, Vec{100, 0}, 50, 0},
		{"far inside", Cov{1, 0, 1}, Vec{10, 0}, 50, 1},
	} {
		checkCircle(t, c.what, c.cov, c.offset, c.radius, c.want)
	}
}

// polarSlices are the directions in which polarTwin looks.
var polarSlices = func() (all [480]Vec) {
	for i := range all {
		all[i] = Vec{1, 0}.turned(2 * math.Pi * float64(i) / float64(len(all)))
	}
	return all
}()

// polarTwin sums the chance ring by ring and slice by slice in polar
// coordinates about the circle's middle, and so shares no method with inCircle.
func polarTwin(c Cov, offset Vec, radius float64) float64 {
	det := c.UU*c.VV - c.UV*c.UV
	const rings, slices = 100, float64(len(polarSlices))
	sum := 0.0
	for i := range rings {
		for _, g := range []struct{ x, w float64 }{{0.5 - math.Sqrt(0.15), 5. / 18}, {0.5, 8. / 18},
			{0.5 + math.Sqrt(0.15), 5. / 18}} {
			r := radius * (float64(i) + g.x) / rings
			for _, dir := range polarSlices {
				u, v := r*dir.U-offset.U, r*dir.V-offset.V
				q := (c.VV*u*u - 2*c.UV*u*v + c.UU*v*v) / det
				sum += g.w * r * math.Exp(-0.5*q)
			}
		}
	}
	return sum * radius / rings / slices / math.Sqrt(det)
}

func TestCircleAgainstPolarTwin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		minor := rapid.Float64Range(2, 15).Draw(t, "minor sigma")
		c := turnedCov(minor*rapid.Float64Range(1, 4).Draw(t, "ratio"), minor, rapid.Float64Range(-4, 4).Draw(t, "angle"))
		radius := minor * rapid.Float64Range(0.1, 12).Draw(t, "radius")
		offset := Vec{rapid.Float64Range(-60, 60).Draw(t, "u"), rapid.Float64Range(-60, 60).Draw(t, "v")}
		if rapid.Bool().Draw(t, "centred") {
			offset = Vec{}
		}
		got, want := inCircle(c, offset, radius), polarTwin(c, offset, radius)
		if math.Abs(got-want) > circleTolerance {
			t.Fatalf("got %.14f, twin %.14f, off by %.2g", got, want, got-want)
		}
	})
}

func drawOffset(t *rapid.T) Vec {
	away := rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(0, 120)).Draw(t, "offset")
	return Vec{away, 0}.turned(rapid.Float64Range(-4, 4).Draw(t, "offset angle"))
}

func TestCircleTurningChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, offset := drawCov(t), drawOffset(t)
		radius := rapid.Float64Range(0, 150).Draw(t, "radius")
		turn := rapid.Float64Range(-4, 4).Draw(t, "turn")
		a, b := inCircle(c, offset, radius), inCircle(turned(c, turn), offset.turned(turn), radius)
		// A singular covariance turned is singular to rounding only: sqrt(1e-16)
		// of its major sigma across, which counts only at the very rim.
		if _, minor, _ := c.principal(); minor > 1e-3 && math.Abs(a-b) > circleTolerance {
			t.Fatalf("%.15f, turned %.15f", a, b)
		}
		if a < 0 || a > 1 || math.IsNaN(b) {
			t.Fatalf("not a chance: %v, %v", a, b)
		}
	})
}

func TestCircleLargerIsNeverLessLikely(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, offset := drawCov(t), drawOffset(t)
		radius := rapid.Float64Range(0, 150).Draw(t, "radius")
		more := radius * (1 + math.Pow(10, rapid.Float64Range(-12, 0).Draw(t, "log growth")))
		if a, b := inCircle(c, offset, radius), inCircle(c, offset, more); b < a-circleTolerance {
			t.Fatalf("radius %v: %.15f, radius %v: %.15f", radius, a, more, b)
		}
	})
}

func TestCircleFastPathIsTheGeneralPath(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		major := rapid.Float64Range(0.1, 50).Draw(t, "major")
		minor := major * rapid.Float64Range(roundest, 1).Draw(t, "ratio")
		radius := major * rapid.Float64Range(0.01, certain).Draw(t, "radius")
		a, b := inCentred(major, minor, radius), inOffset(major, minor, 0, 0, radius)
		if math.Abs(a-b) > circleTolerance/10 {
			t.Fatalf("fast %.15f, general %.15f, off by %.2g", a, b, a-b)
		}
	})
}

// turned turns the plane anticlockwise by an angle in radians.
func turned(c Cov, angle float64) Cov {
	s, k := math.Sincos(angle)
	return Cov{
		k*k*c.UU - 2*s*k*c.UV + s*s*c.VV,
		s*k*(c.UU-c.VV) + (k*k-s*s)*c.UV,
		s*s*c.UU + 2*s*k*c.UV + k*k*c.VV,
	}
}

func BenchmarkInCircle(b *testing.B) {
	c := Cov{110, 3, 130}
	b.Run("centred", func(b *testing.B) {
		for b.Loop() {
			inCircle(c, Vec{}, 34)
		}
	})
	b.Run("moved", func(b *testing.B) {
		for b.Loop() {
			inCircle(c, Vec{20, 25}, 34)
		}
	})
}
