package geometry

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"strconv"
	"testing"
)

const published = "../../testdata/reference/"

// TestNIST puts the regression sets of NIST's Statistical Reference Datasets
// (linear regression; certified values) through the same QR, the same
// correction and the same images as a room's shared unknowns.
func TestNIST(t *testing.T) {
	var certified map[string]struct {
		P         json.RawMessage `json:"p"`
		Intercept bool            `json:"intercept"`
		B         []string        `json:"b"`
		SE        []string        `json:"se"`
		RSD       string          `json:"rsd"`
		RSS       string          `json:"rss"`
		DF        int             `json:"df"`
	}
	readJSON(t, published+"nist/certified.json", &certified)
	digits := map[string]float64{
		"norris": 9, "pontius": 9, "noint1": 9, "noint2": 9, "longley": 9,
		"wampler1": 9, "wampler2": 9, "wampler3": 9, "wampler4": 9, "wampler5": 9,
		"filip": 7, // its columns, powers of x up to the tenth, have a condition of about 1e15
	}
	for name, want := range digits {
		c, ok := certified[name]
		if !ok {
			t.Fatalf("%s: no certified values", name)
		}
		power, _ := strconv.Atoi(string(c.P)) // 0 for "multi": columns as they stand
		equations := regression(t, published+"nist/"+name+".csv", power, c.Intercept)
		b, se, rss := fitShared(equations, len(c.B))
		rsd := math.Sqrt(rss / float64(c.DF))
		for k := range c.B {
			checkDigits(t, name+" b", b[k], c.B[k], want)
			if rsd > 1e-9 { // Wampler1 and 2 fit exactly: their certified errors are 0
				checkDigits(t, name+" se", se[k]*rsd, c.SE[k], math.Min(want, 8))
			}
		}
		checkDigits(t, name+" rsd", rsd, c.RSD, math.Min(want, 8))
	}
}

// fitShared fits equations over n shared unknowns: values, standard deviations
// for unit variance, and the sum of squares.
func fitShared(equations []equation, n int) (b, se []float64, rss float64) {
	fac := newFactor(newForest(0, nil), n, equations, new(slab))
	x := fac.solve()
	x.add(fac.correct(equations, x), 1)
	for k := range n {
		se = append(se, fac.sharedImage([]term{{k, 1}}).length())
	}
	for k := range equations {
		r := equations[k].rhs - equations[k].apply(x)
		rss += r * r
	}
	return x.shared, se, rss
}

func regression(t *testing.T, file string, power int, intercept bool) []equation {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var list []equation
	for _, row := range rows[1:] {
		y, _ := strconv.ParseFloat(row[0], 64)
		e := equation{a: -1, b: -1, rhs: y}
		add := func(x float64) { e.shared = append(e.shared, term{len(e.shared), x}) }
		if intercept {
			add(1)
		}
		for _, s := range row[1:] {
			x, _ := strconv.ParseFloat(s, 64)
			add(x)
			for k := 2; k <= power; k++ {
				add(math.Pow(x, float64(k)))
			}
		}
		list = append(list, e)
	}
	return list
}

// checkDigits fails unless got has so many significant digits of a certified
// value (of 1 where that is 0).
func checkDigits(t *testing.T, what string, got float64, certified string, digits float64) {
	t.Helper()
	want, err := strconv.ParseFloat(certified, 64)
	if err != nil {
		t.Fatal(err)
	}
	scale := math.Abs(want)
	if scale == 0 {
		scale = 1
	}
	if have := -math.Log10(math.Abs(got-want)/scale + 1e-16); have < digits {
		t.Errorf("%s: got %.15g, certified %.15g: %.1f digits, want %v", what, got, want, have, digits)
	}
}

func readJSON(t *testing.T, file string, into any) {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, into); err != nil {
		t.Fatal(err)
	}
}

// within compares absolutely.
func within(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.10g, want %.10g within %g", what, got, want, tolerance)
	}
}
