package geometry

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// hitTwin sums the other way: slice by slice across the timber, with the exact
// chance along it for each slice.
func hitTwin(h Vec, frame Cov, r float64, t *Timber) float64 {
	angle := math.Atan2(t.B.V-t.A.V, t.B.U-t.A.U)
	p, c := h.minus(t.A).turned(-angle), turned(frame, -angle)
	length, half := t.A.distance(t.B), t.Width/2
	yy := c.VV + t.Sigma*t.Sigma
	s := math.Sqrt(c.UU - c.UV*c.UV/yy)
	slice := func(y, end float64) float64 {
		m := p.U + c.UV/yy*(y-p.V)
		k := (y - p.V) / math.Sqrt(yy)
		return math.Exp(-0.5*k*k) / math.Sqrt(2*math.Pi*yy) * normalBetween((-end-m)/s, (length+end-m)/s)
	}
	const n = 4000 // places, two to a slice
	sum := 0.0
	for i := range n {
		x := (float64(i/2*2) + 1 + float64(i%2*2-1)/math.Sqrt(3)) / n
		sum += slice(half*(2*x-1), r) * 2 * half / n
		sin, cos := math.Sincos(x * math.Pi / 2)
		w := r * cos * math.Pi / 2 / n
		sum += (slice(half+r*sin, r*cos) + slice(-half-r*sin, r*cos)) * w
	}
	return sum
}

// scene is one hole and one timber; half of the holes are near an end.
type scene struct {
	h     Vec
	frame Cov
	r     float64
	t     Timber
}

func drawScene(t *rapid.T) scene {
	a := Vec{rapid.Float64Range(-2000, 2000).Draw(t, "au"), rapid.Float64Range(-2000, 2000).Draw(t, "av")}
	along := Vec{1, 0}.turned(rapid.OneOf(rapid.Float64Range(-4, 4), rapid.SampledFrom([]float64{0, math.Pi / 2})).Draw(t,
		"lie"))
	length := rapid.OneOf(rapid.Float64Range(30, 600), rapid.Just(3600.0)).Draw(t, "length")
	s := scene{
		frame: turnedCov(rapid.Float64Range(1, 15).Draw(t, "major"), rapid.Float64Range(0.05, 8).Draw(t, "minor"),
			rapid.Float64Range(-4, 4).Draw(t, "frame angle")),
		r: rapid.Float64Range(5, 90).Draw(t, "radius"),
		t: Timber{A: a, B: a.along(along, length),
			Width: rapid.Float64Range(20, 100).Draw(t, "width"), Sigma: rapid.Float64Range(1, 15).Draw(t, "timber sigma")},
	}
	x := rapid.OneOf(rapid.Float64Range(-150, 150), rapid.Float64Range(0, length)).Draw(t, "x")
	y := rapid.Float64Range(-200, 200).Draw(t, "y")
	s.h = a.along(along, x).along(along.left(), y)
	return s
}

func TestHitAgainstTwin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawScene(t)
		got, want := hit(s.h, s.frame, s.r, &s.t), hitTwin(s.h, s.frame, s.r, &s.t)
		if math.Abs(got-want) > 1e-8 {
			t.Fatalf("got %.12f, twin %.12f, off by %.2g", got, want, got-want)
		}
	})
}

// Drawn holes against drawn timbers, edge to edge: what the words say.
func TestHitAgainstDraws(t *testing.T) {
	const seed, n = 20260614, 200_000
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 1))
	for _, s := range []scene{
		{Vec{1250, 700}, Cov{40, 10, 60}, 38, Timber{Vec{1200, 0}, Vec{1200, 2400}, 47, 5}},
		{Vec{1230, 2420}, Cov{60, -30, 50}, 38, Timber{Vec{1200, 0}, Vec{1200, 2400}, 47, 5}},
		{Vec{-30, 40}, Cov{90, 80, 100}, 25, Timber{Vec{0, 0}, Vec{350, 60}, 47, 8}},
		{Vec{20, -30}, Cov{25, 0, 25}, 10, Timber{Vec{0, 0}, Vec{30, 0}, 20, 5}},
	} {
		across := s.t.B.minus(s.t.A).unit().left()
		met := 0
		for range n {
			a, b, c := rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()
			l := math.Sqrt(s.frame.UU)
			h := s.h.plus(Vec{l * a, s.frame.UV/l*a + math.Sqrt(s.frame.VV-s.frame.UV*s.frame.UV/s.frame.UU)*b})
			moved := s.t
			moved.A, moved.B = moved.A.along(across, c*moved.Sigma), moved.B.along(across, c*moved.Sigma)
			if gap(h, s.r, &moved) < 0 {
				met++
			}
		}
		p := hit(s.h, s.frame, s.r, &s.t)
		z := (float64(met) - n*p) / math.Sqrt(n*p*(1-p))
		if math.Abs(z) > 4 {
			t.Errorf("%+v: hit %.5f, drawn %.5f (%.1f sigma)", s, p, float64(met)/n, z)
		}
	}
}

// Worked by hand: far from the ends only the way across counts. A 76 mm hole
// 85 mm off a 47 mm joist has 23.5 mm to spare, 2.35 sigma.
func TestHitFarFromEnds(t *testing.T) {
	joist := Timber{Vec{1200, 0}, Vec{1200, 2400}, 47, 8}
	near(t, "hit", hit(Vec{1285, 1200}, Cov{36, 0, 36}, 38, &joist), normalAbove(2.35), 1e-9)
	near(t, "gap", gap(Vec{1285, 1200}, 38, &joist), 23.5, 1e-12)
	near(t, "gap on the line", gap(Vec{1200, 1200}, 38, &joist), -61.5, 1e-12)
	near(t, "gap past the end", gap(Vec{1200, 2500}, 38, &joist), 62, 1e-12)
	near(t, "gap off the corner", gap(Vec{1253.5, 2440}, 38, &joist), 12, 1e-12)
	if got := hit(Vec{1285, 1200}, Cov{}, 38, &Timber{Vec{1200, 0}, Vec{1200, 2400}, 47, 1e-9}); got != 0 {
		t.Errorf("everything known: hit %v, want 0", got)
	}
	if got := hit(Vec{1260, 2410}, Cov{}, 38, &Timber{Vec{1200, 0}, Vec{1200, 2400}, 47, 1e-9}); got != 1 {
		t.Errorf("everything known, over the corner: hit %v, want 1", got)
	}
}

func TestHitLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawScene(t)
		p := hit(s.h, s.frame, s.r, &s.t)
		if p < 0 || p > 1+1e-12 {
			t.Fatalf("not a chance: %v", p)
		}
		same := func(what string, q float64) {
			if math.Abs(p-q) > 1e-10 {
				t.Fatalf("%s: %.14f, was %.14f", what, q, p)
			}
		}
		back := Timber{s.t.B, s.t.A, s.t.Width, s.t.Sigma}
		same("ends the other way round", hit(s.h, s.frame, s.r, &back))
		angle := rapid.Float64Range(-4, 4).Draw(t, "turn")
		by := Vec{rapid.Float64Range(-5000, 5000).Draw(t, "shift u"), rapid.Float64Range(-5000, 5000).Draw(t, "shift v")}
		put := func(v Vec) Vec { return v.turned(angle).plus(by) }
		there := Timber{put(s.t.A), put(s.t.B), s.t.Width, s.t.Sigma}
		same("turned and shifted", hit(put(s.h), turned(s.frame, angle), s.r, &there))
		b := newBar(&s.t)
		x, y := b.local(s.h)
		mirrored := b.end.plus(b.frame(b.length-x, -y)) // half a turn about the timber's middle
		same("half a turn about the middle", hit(mirrored, s.frame, s.r, &s.t))
		more := s.r * (1 + rapid.Float64Range(0, 0.5).Draw(t, "growth"))
		if q := hit(s.h, s.frame, more, &s.t); q < p-1e-10 {
			t.Fatalf("a larger hole hits less: %v then %v", p, q)
		}
	})
}

// The slope is what a step of a hundredth of a millimetre shows.
func TestHitSlope(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawScene(t)
		b := newBar(&s.t)
		z := b.zone(s.frame, s.r)
		_, slope := z.at(s.h)
		const step = 0.001
		for _, d := range []Vec{{step, 0}, {0, step}} {
			hi, _ := z.at(s.h.plus(d))
			lo, _ := z.at(s.h.minus(d))
			if got := slope.dot(d); math.Abs(got-(hi-lo)/2) > 1e-5*step {
				t.Fatalf("slope along %v: %g, steps show %g", d, got/step, (hi-lo)/2/step)
			}
		}
	})
}

func BenchmarkHit(b *testing.B) {
	joist := Timber{Vec{1200, 0}, Vec{1200, 2400}, 47, 5}
	frame := Cov{30, 5, 40}
	for name, h := range map[string]Vec{"far": {900, 1200}, "beside": {1260, 1200}, "end": {1260, 2380}} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				hit(h, frame, 38, &joist)
			}
		})
	}
}
