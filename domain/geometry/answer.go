package geometry

// Limits of the tests, as the room sheet's contract fixes them.
const (
	// SuspectW is Baarda's critical value at 0.1 % two-sided (3.2905, cut to
	// two decimals as usual in practice).
	SuspectW = 3.29
	// ReadsAsW bounds |w| for another state to be proposed (5 % two-sided).
	ReadsAsW = 1.96
	// Detectable is Baarda's non-centrality for 0.1 % and 80 % power (4.1321).
	Detectable = 4.13
	// CheckedRedundancy is the least redundancy of a checked measurement.
	CheckedRedundancy = 0.05
	// HitLimit is the chance of cutting a timber above which a hole is moved.
	HitLimit = 0.01
	// FindLimit is the least chance of finding the tail at which a hole is cut:
	// below it the tail is more likely out of reach than not, so that the place is a
	// worse guess than none, and a second reading, of some minutes, is sure to be
	// cheaper than the patch. Above it what the chance is worth is for whoever cuts:
	// it stands beside the figures. Our choice, no source.
	FindLimit = 0.5
	// FindGood is the chance of finding the tail from which a hole is good: it
	// needs no hook, can be the first, and no line's move takes it below. A first
	// hole proves the set-out only if missing it would be news: where the set-out is
	// right that happens once in ten at most, and in a room of ten such holes one is
	// to be expected that needs a hook. Higher, few holes of a room that was taped
	// once in each direction could be first. Our choice, no source.
	FindGood = 0.9
	// LineTolerance: offsets from one datum within this many mm share a
	// set-out line.
	LineTolerance = 3.0
	// FoundSigma is the standard deviation in mm of where a found tail was.
	FoundSigma = 5.0
)

// Cov is a symmetric 2x2 covariance in mm².
type Cov struct{ UU, UV, VV float64 }

// Trace returns the summed variance of the two directions.
func (c Cov) Trace() float64 { return c.UU + c.VV }

// Answer is the result of adjusting one surface. Its slices run parallel to
// those of the Surface.
type Answer struct {
	Positions    []PositionAnswer
	Layers       [][]LayerAnswer // by datum, by layer
	Measurements []MeasurementAnswer
	Fit          Fit
	// First is the hole to cut first by the geometry alone, an index into
	// Positions; -1 if none can be cut. See PositionAnswer.Before.
	First int
	// Lines are the set-out lines that serve two or more holes.
	Lines []SetOutLine
}

// PositionAnswer is where a position is and what a hole there would meet.
type PositionAnswer struct {
	// Determinate: its own measurements fix both directions. Where false,
	// every field below except Ambiguous is zero.
	Determinate bool
	// Ambiguous holds the two places that fit where two do, else nil.
	Ambiguous []Vec
	// Checked: every measurement of the position that takes part has a
	// redundancy of at least CheckedRedundancy.
	Checked bool
	// Slip is the smallest misread, mm, that would have shown in each of those
	// measurements, with 80 % power; 0 where Checked is false.
	Slip float64
	// Teaches is by how much finding the tail shrinks the summed variance of
	// the other holes' marks, mm²; 0 without a mark.
	Teaches float64
	At      Vec
	Cov     Cov      // of At, in the frame
	SetOut  []SetOut // one per datum
	// Mark is nil if no two datums cross well enough to mark from.
	Mark *Mark
	// Timbers has one entry per timber for a position with a cut-out and a
	// mark, else nil.
	Timbers []TimberAnswer
	// Clears reports whether the position's hole keeps clear of every timber
	// (hit at most HitLimit) where it is or after Move.
	Clears bool
	// Move is the smallest move of the hole that brings the hit of every timber
	// to HitLimit or less; zero if none is needed, or where no move within half
	// the joist spacing clears (Clears false).
	Move Vec
	// Find is the chance that the tail is within reach of the unmoved hole.
	Find float64
	// Plan is the hole as it is to be opened, set-out lines' shifts included.
	Plan Plan
}

// SetOut is the offset to mark today from one datum, in today's states.
type SetOut struct{ Value, Sigma float64 }

// Mark is the best pair of datums to mark from: faces or fixed lines whose
// directions differ by at least 30 degrees, with the smallest trace of Cov.
type Mark struct {
	From [2]int // datums
	// Cov is the covariance of p - h, tail's place less the hole's centre.
	Cov Cov
	// Frame is the covariance in the frame of h itself: where a hole marked
	// from these datums really lands, timbers being drawn in the frame.
	Frame   Cov
	Ellipse Ellipse
}

// Ellipse is a 95 % ellipse: semi-axes in mm, A the longer, and the angle of
// A from u in degrees, above -90 and up to 90.
type Ellipse struct{ A, B, Angle float64 }

// TimberAnswer is how a hole lies relative to one timber.
type TimberAnswer struct {
	Gap float64 // expected clear distance edge to edge, mm; negative where they overlap
	Hit float64 // chance that the hole cuts the timber
}

// Plan is one hole as it is to be opened.
type Plan struct {
	Move    Vec        // of the hole from At
	Offsets [2]float64 // to mark, from Mark.From
	Hit     float64    // the worst chance of cutting a timber, after the move
	Find    float64    // after the move
	// Clears: Hit is at most HitLimit. Where false the move is zero: no move
	// within half the joist spacing clears and leaves the tail in reach.
	Clears bool
}

// Stop reports whether nobody is to cut there: a timber is in the way, or the
// tail is more likely out of reach than not.
func (p *Plan) Stop() bool { return !p.Clears || p.Find < FindLimit }

// LayerAnswer is a layer's thickness after the adjustment, mm, and how that
// agrees with the planned one.
type LayerAnswer struct {
	Thickness, Sigma float64
	// W is the difference from the planned thickness over that difference's own
	// standard deviation; 0 if nothing was learned of the layer.
	W float64
	// Suspect: |W| > SuspectW. Several measurements that were all noted with
	// the same wrong state agree with each other and are not suspect one by
	// one; the layer that they make too thick or too thin is.
	Suspect bool
}

// MeasurementAnswer is how one measurement fits.
type MeasurementAnswer struct {
	Unrecorded bool // a datum's state is missing: takes no part
	Unused     bool // its position is not determinate: takes no part
	// Residual is the adjusted value less the measured one, mm.
	Residual float64
	// Redundancy is the share of an error that shows in the residual, 0 to 1.
	Redundancy float64
	// W is the residual over its own standard deviation; 0 where redundancy is 0.
	W float64
	// MDB is the smallest error that the test would show with 80 % power, mm;
	// +Inf where redundancy is 0.
	MDB     float64
	Suspect bool // |W| > SuspectW
	// ReadsAs is, for a suspect offset from a face, the other state of that
	// face under which |w| <= ReadsAsW in a fresh adjustment, the best one;
	// Unrecorded (-1) where there is none.
	ReadsAs int
}

// Fit is the adjustment as a whole.
type Fit struct {
	Sum float64 // weighted sum of squares of all residuals, priors included
	DOF int     // measurements less two per determinate position
	P   float64 // chance of so bad a fit; 1 where DOF is 0
}

// SetOutLine is one laser line that serves two or more holes.
type SetOutLine struct {
	Datum     int
	Offset    float64 // to mark today, mm: the mean of the holes', before Shift
	Positions []int
	// Shift along the datum's normal that the whole line moves to clear a
	// timber, mm; 0 if it need not, or cannot, move.
	Shift float64
	// Clears is false where a hole needs the line moved and no shift within
	// half the joist spacing clears and leaves every tail in reach: those holes
	// move alone.
	Clears bool
}
