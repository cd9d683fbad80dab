package geometry

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// reference is testdata/reference/circle_reference.json; SOURCES.md beside it
// says where its figures come from.
type reference struct {
	centredCircular map[string]float64            // by K
	kCircular       map[string]float64            // by P
	ellipticK       map[string]map[string]float64 // by P, by axis ratio
	ellipticP       map[string]map[string]float64 // by K, by axis ratio
	offsetCircular  map[string]float64            // by "R/s,r/s"
	marcumQ         map[string]float64            // by "a,b"
	general         []struct{ R, SX, SY, OX, OY, Rho, P float64 }
	chi2Quantiles   map[string]map[string]float64 // by "df1", by P
	normalTwoSided  map[string]float64            // by alpha
	baardaDelta0    map[string]float64            // by "alpha0.001,power0.8"
}

func readReference(t testing.TB) reference {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/reference/circle_reference.json")
	if err != nil {
		t.Fatal(err)
	}
	var parts map[string]json.RawMessage
	if err := json.Unmarshal(raw, &parts); err != nil {
		t.Fatal(err)
	}
	var r reference
	for name, into := range map[string]any{
		"centred_circular": &r.centredCircular, "K_circular": &r.kCircular,
		"elliptic_K(P,c)": &r.ellipticK, "elliptic_P(K,c)": &r.ellipticP,
		"offset_circular_P(R/s,r/s)": &r.offsetCircular, "marcumQ1(a,b)": &r.marcumQ,
		"general": &r.general, "chi2_quantiles": &r.chi2Quantiles,
		"normal_two_sided": &r.normalTwoSided, "baarda_delta0": &r.baardaDelta0,
	} {
		if err := json.Unmarshal(parts[name], into); err != nil {
			t.Fatal(name, err)
		}
	}
	return r
}

// number reads a figure that the file uses as a key.
func number(t testing.TB, s string) float64 {
	t.Helper()
	f, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// complainer is what *testing.T and *rapid.T share.
type complainer interface {
	Helper()
	Errorf(format string, args ...any)
}

// near fails unless got is within tol of want, relative to want.
func near(t complainer, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol*math.Abs(want)) {
		t.Errorf("%s: got %.17g, want %.17g", what, got, want)
	}
}

func TestNormalCriticalValues(t *testing.T) {
	r := readReference(t)
	if len(r.normalTwoSided) != 6 {
		t.Fatalf("%d critical values read, want 6", len(r.normalTwoSided))
	}
	for p, x := range r.normalTwoSided {
		alpha := number(t, p)
		near(t, "two-sided chance beyond "+p, 2*normalAbove(x), alpha, 1e-13)
		near(t, "quantile for "+p, -normalQuantile(alpha/2), x, 1e-13)
	}
}

// From Abramowitz and Stegun (1964), table 26.2: the upper tail, as -log10.
func TestNormalFarTails(t *testing.T) {
	for x, q := range map[float64]float64{5: 6.54265, 10: 23.11805, 20: 88.56010, 30: 197.30921} {
		for _, got := range []float64{normalAbove(x), normalBelow(-x)} {
			if d := -math.Log10(got) - q; math.Abs(d) > 5.1e-6 {
				t.Errorf("-log10 Q(%v) = %.7f, want %.5f", x, -math.Log10(got), q)
			}
		}
	}
}

// The constants of the tests are Baarda's, cut to two decimals.
func TestBaardaConstants(t *testing.T) {
	r := readReference(t)
	if len(r.baardaDelta0) != 9 {
		t.Fatalf("%d values read, want 9", len(r.baardaDelta0))
	}
	cut := func(x float64) float64 { return math.Trunc(x*100) / 100 }
	if got := cut(-normalQuantile(0.0005)); got != SuspectW {
		t.Errorf("critical value %v, SuspectW %v", got, SuspectW)
	}
	for key, want := range r.baardaDelta0 {
		var alpha, power float64
		if _, err := fmt.Sscanf(key, "alpha%g,power%g", &alpha, &power); err != nil {
			t.Fatal(key, err)
		}
		near(t, key, normalQuantile(1-alpha/2)+normalQuantile(power), want, 1e-12)
	}
	if got := cut(-normalQuantile(0.0005) - normalQuantile(0.2)); got != Detectable {
		t.Errorf("non-centrality %v, Detectable %v", got, Detectable)
	}
	near(t, "5 % two-sided", -normalQuantile(0.025), ReadsAsW, 2e-5)
}

func TestChiSquareQuantiles(t *testing.T) {
	table := readReference(t).chi2Quantiles
	if len(table) != 9 || len(table["df1"]) != 12 {
		t.Fatalf("%d rows read, want 9 of 12", len(table))
	}
	for df, row := range table {
		dof := int(number(t, df[2:]))
		for p, x := range row {
			near(t, df+" at "+p, chi2Survival(x, dof), 1-number(t, p), 1e-12)
		}
	}
	if chi2Survival(3, 0) != 1 || chi2Survival(0, 4) != 1 {
		t.Error("with nothing to misfit the chance of a worse fit is 1")
	}
	near(t, "95 % quantile", chi2Survival(chi2At95, 2), 0.05, 1e-14)
}

// The twin sums the density over 2000 slices, three-point Gauss-Legendre each.
func TestNormalBetweenKeepsItsDigits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(-12, 12).Draw(t, "a")
		w := math.Pow(10, rapid.Float64Range(-9, 0.6).Draw(t, "log width"))
		b := a + w
		w = b - a
		const n = 2000
		sum := 0.0
		for i := range n {
			m := a + w*(float64(i)+0.5)/n
			h := 0.5 * w / n
			g := h * math.Sqrt(0.6)
			sum += h / 9 * (5*normalDensity(m-g) + 8*normalDensity(m) + 5*normalDensity(m+g))
		}
		near(t, "between", normalBetween(a, b), sum, 1e-12)
		if normalBetween(a, b) != normalBetween(-b, -a) {
			t.Fatal("not symmetric")
		}
		if normalBetween(b, a) != 0 {
			t.Fatal("an interval turned round holds nothing")
		}
	})
}

// The ellipse is the covariance's own: a² and b² are eigenvalues times the
// 95 % quantile, along the angle and across it.
func TestEllipseIsTheCovariance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCov(t)
		e := c.Ellipse95()
		s, k := math.Sincos(e.Angle * math.Pi / 180)
		a2, b2 := e.A*e.A/chi2At95, e.B*e.B/chi2At95
		tol := 1e-9 * c.Trace()
		for _, d := range []float64{
			a2*k*k + b2*s*s - c.UU, (a2-b2)*s*k - c.UV, a2*s*s + b2*k*k - c.VV,
		} {
			if math.Abs(d) > tol {
				t.Fatalf("%+v does not come back from %+v: off by %g", c, e, d)
			}
		}
		if e.A < e.B || e.B < 0 || e.Angle <= -90 || e.Angle > 90 {
			t.Fatalf("out of range: %+v", e)
		}
	})
}

func TestEllipseThinCases(t *testing.T) {
	k := math.Sqrt(chi2At95)
	for _, c := range []struct {
		cov  Cov
		want Ellipse
	}{
		{Cov{}, Ellipse{}},
		{Cov{9, 0, 4}, Ellipse{3 * k, 2 * k, 0}},
		{Cov{4, 0, 9}, Ellipse{3 * k, 2 * k, 90}},
		{Cov{4, math.Copysign(0, -1), 9}, Ellipse{3 * k, 2 * k, 90}},
		{Cov{4, 0, 4}, Ellipse{2 * k, 2 * k, 0}},
		{Cov{2, -2, 2}, Ellipse{2 * k, 0, -45}},
		{Cov{2, 2, 2}, Ellipse{2 * k, 0, 45}},
	} {
		if got := c.cov.Ellipse95(); math.Abs(got.A-c.want.A)+math.Abs(got.B-c.want.B)+
			math.Abs(got.Angle-c.want.Angle) > 1e-9 {
			t.Errorf("%+v: got %+v, want %+v", c.cov, got, c.want)
		}
	}
}

// drawCov draws a covariance of sigmas 0.1 to 50 turned by any angle, biased
// towards equal axes and towards a vanishing one.
func drawCov(t *rapid.T) Cov {
	major := rapid.Float64Range(0.1, 50).Draw(t, "major sigma")
	ratio := rapid.OneOf(rapid.Float64Range(0, 1), rapid.Just(1.0), rapid.Just(0.0),
		rapid.Float64Range(0, 1e-4), rapid.Float64Range(0.999, 1)).Draw(t, "axis ratio")
	angle := rapid.OneOf(rapid.Float64Range(-math.Pi, math.Pi),
		rapid.SampledFrom([]float64{0, math.Pi / 4, math.Pi / 2})).Draw(t, "angle")
	return turnedCov(major, ratio*major, angle)
}

// turnedCov has the standard deviation major along the angle, minor across.
func turnedCov(major, minor, angle float64) Cov {
	s, k := math.Sincos(angle)
	a, b := major*major, minor*minor
	return Cov{a*k*k + b*s*s, (a - b) * s * k, a*s*s + b*k*k}
}
