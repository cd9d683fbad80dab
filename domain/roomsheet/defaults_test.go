package roomsheet

import (
	"math"
	"testing"
)

// Limits of error of class II tapes, a + bL. Sources: worked values at 2, 3,
// 5, 8 and 10 m as published in two tables that restate Directive 2014/32/EU
// Annex X (MI-008); the rounding of L up to a whole metre, UK SI 2016/1153
// Schedule 1I paragraph 2, worked by hand.
func TestTapeLimit(t *testing.T) {
	for length, want := range map[float64]float64{
		2000: 0.7, 3000: 0.9, 5000: 1.3, 8000: 1.9, 10000: 2.3,
		843: 0.5, 1000: 0.5, 1001: 0.7, 1650: 0.7, 2001: 0.9, -1650: 0.7,
	} {
		if got := tapeLimit(length); math.Abs(got-want) > 1e-12 {
			t.Errorf("tapeLimit(%v) = %v, want %v", length, got, want)
		}
	}
}

// 0.7 mm as a rectangular distribution is 0.404 mm (JCGM 100:2008 4.3.7, from
// memory); with 2 mm for reading and holding (common practice) 2.0404.
func TestTapeSigma(t *testing.T) {
	if got := TapeSigma(1650); math.Abs(got-math.Hypot(0.404145, 2)) > 1e-6 {
		t.Errorf("TapeSigma(1650) = %v", got)
	}
}

// The usual values are the contract's.
func TestUsualValues(t *testing.T) {
	for name, pair := range map[string][2]float64{
		"face":             {(&Datum{Kind: "face"}).sigma(), 10},
		"line":             {(&Datum{Kind: "line"}).sigma(), 2},
		"point":            {(&Datum{Kind: "point"}).sigma(), 2},
		"datum given":      {(&Datum{Kind: "face", Sigma: 4}).sigma(), 4},
		"layer":            {(&Layer{Thickness: 25}).sigma(), 5},
		"layer given":      {(&Layer{Thickness: 25, Sigma: 1}).sigma(), 1},
		"timber":           {(&Timber{}).sigma(), 5},
		"reach":            {(&Position{Cutout: 76}).reach(), 78},
		"reach no hole":    {(&Position{}).reach(), 40},
		"reach given":      {(&Position{Cutout: 76, Reach: 90}).reach(), 90},
		"tail":             {(&Position{}).tailSigma(), 10},
		"laser":            {(&Measurement{By: "laser", Value: 1650}).Spread(), 1.25},
		"rule":             {(&Measurement{By: "rule", Value: 31}).Spread(), 1},
		"tape":             {(&Measurement{By: "tape", Value: 1650}).Spread(), TapeSigma(1650)},
		"no instrument":    {(&Measurement{Value: 3001}).Spread(), TapeSigma(3001)},
		"given over laser": {(&Measurement{By: "laser", Sigma: 5}).Spread(), 5},
	} {
		if math.Abs(pair[0]-pair[1]) > 1e-12 {
			t.Errorf("%s: %v, want %v", name, pair[0], pair[1])
		}
	}
}
