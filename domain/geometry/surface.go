package geometry

// Vec is a place or a direction in the plane of a surface, in millimetres in
// the surface's frame.
type Vec struct{ U, V float64 }

// Layer is one layer of a build-up as it is planned: its thickness and the
// standard deviation of that, in millimetres. Sigma must be above 0.
type Layer struct{ Thickness, Sigma float64 }

// DatumKind tells faces from things that no layer covers.
type DatumKind int

// The kinds of datum.
const (
	Face       DatumKind = iota // a boundary of the surface that layers may cover
	FixedLine                   // a straight thing that no layer covers: a steel, a laser line
	FixedPoint                  // a point that no layer covers: a stack, a pin
)

// Datum is what people measure from.
type Datum struct {
	Kind DatumKind
	// A and B are the ends of the line of a face or a fixed line; going from
	// A to B the room (the positive side) is on the left. A fixed point is A.
	A, B Vec
	// Sigma is how well the datum's drawn place is known before any
	// measurement, one standard deviation in mm: across the line, or in each
	// direction for a point. Above 0.
	Sigma float64
	// Lean (face only) is how far, in degrees, the inside angle between the
	// surface and the face is wider than 90 degrees; below 80 either way.
	Lean float64
	// Layers (face only), in the order they go on.
	Layers []Layer
	// Now is the state today: how many of Layers are on.
	Now int
}

// Timber is a joist, rafter, stud or noggin: a straight bar that ends where
// its centre line ends.
type Timber struct {
	A, B  Vec     // the ends of its centre line
	Width float64 // across the line, mm, above 0
	Sigma float64 // of the centre line's place across itself, mm, above 0
}

// Position is a place where something will come through the surface.
type Position struct {
	Cutout    float64 // the hole's diameter, mm; 0: no hole is judged
	Reach     float64 // how far from the hole's centre the tail can be got hold of, mm
	TailSigma float64 // how far the tail may have strayed, each direction, mm
}

// MeasurementKind is what was measured.
type MeasurementKind int

// The kinds of measurement.
const (
	Offset    MeasurementKind = iota // position Of, square off datum From (straight distance for a point)
	Span                             // clear distance between the faces From and To
	Distance                         // straight distance between the positions Of and To
	Thickness                        // of face From, what lies between the states FromState and State
)

// Unrecorded is the state of a face that a measurement does not give. Such a
// measurement takes no part in the adjustment.
const Unrecorded = -1

// Measurement is one reading. Which fields count depends on Kind; the others
// are 0. A state is how many of the face's layers were on.
type Measurement struct {
	Kind MeasurementKind
	// Of is the position measured (Offset, Distance).
	Of int
	// From is the datum measured from (Offset, Span, Thickness).
	From int
	// To is the other end: a position for Distance, a face for Span.
	To int
	// State of From; for Thickness the outer state.
	State int
	// ToState of To (Span); FromState, the inner state (Thickness).
	ToState, FromState int
	// SurfaceState: how many of the surface's own layers were on. It counts
	// only where From or To leans.
	SurfaceState int
	Value        float64 // mm
	Sigma        float64 // one standard deviation, mm, above 0
}

// unrecorded reports whether a datum's state is missing from the record.
func (m *Measurement) unrecorded() bool {
	return m.State == Unrecorded || m.ToState == Unrecorded
}

// Surface is a ceiling, slope, wall or floor with all that is known of it.
// Indices in Measurements refer to Positions and Datums.
type Surface struct {
	Layers       []Layer // the surface's own, growing into the room
	Now          int     // how many of Layers are on today
	Datums       []Datum
	Timbers      []Timber
	Positions    []Position
	Measurements []Measurement
}
