package roomsheet

import "math"

// Usual standard deviations and reaches, in mm, for sheets that give none.
const (
	usualFace   = 10.0 // where a face really is, against the drawing
	usualFixed  = 2.0  // where a fixed line or point is
	usualTimber = 5.0  // a timber's centre line, across it
	usualTail   = 10.0 // how far a tail may have strayed, each direction
	usualReach  = 40.0 // beyond the hole's edge
	usualLayer  = 0.2  // of a layer's thickness

	usualLaser = 1.25 // a hand-held laser meter
	usualRule  = 1.0  // a steel rule over a few centimetres

	// holding is for reading a tape and holding it against a bare block or a
	// stud. Common practice, no source.
	holding = 2.0
)

// TapeSigma returns the standard deviation in mm of a length in mm measured with an
// ordinary tape: the limit of error of class II, 0.3 + 0.2 L with L the length
// in metres rounded up to a whole metre, taken as a rectangular distribution
// (half-width over the square root of 3), and 2 mm for reading and holding.
// The sign of the length does not count. Sources: limit of error, Directive
// 2014/32/EU Annex X (MI-008) chapter I, as restated in UK SI 2016/1153
// Schedule 1I paragraph 2; the rectangular distribution, JCGM 100:2008 4.3.7.
func TapeSigma(length float64) float64 {
	limit := tapeLimit(length)
	return math.Sqrt(limit*limit/3 + holding*holding)
}

// tapeLimit returns the limit of error in mm of a class II tape.
func tapeLimit(length float64) float64 {
	return 0.3 + 0.2*math.Ceil(math.Abs(length)/1000)
}

// Spread returns the measurement's own sigma, or its instrument's usual one.
func (m *Measurement) Spread() float64 {
	switch {
	case m.Sigma != 0:
		return m.Sigma
	case m.By == "laser":
		return usualLaser
	case m.By == "rule":
		return usualRule
	}
	return TapeSigma(m.Value)
}

func (d *Datum) sigma() float64 {
	switch {
	case d.Sigma != 0:
		return d.Sigma
	case d.Kind == "face":
		return usualFace
	}
	return usualFixed
}

func (l *Layer) sigma() float64 { return or(l.Sigma, usualLayer*l.Thickness) }

func (t *Timber) sigma() float64 { return or(t.Sigma, usualTimber) }

func (p *Position) reach() float64 { return or(p.Reach, p.Cutout/2+usualReach) }

func (p *Position) tailSigma() float64 { return or(p.TailSigma, usualTail) }

// or returns x, or the usual value if x is 0.
func or(x, usual float64) float64 {
	if x != 0 {
		return x
	}
	return usual
}
