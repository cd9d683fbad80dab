// Package roomsheet reads, checks and writes the room sheet: one JSON document
// that is one room, so that a room can travel without a database. Lengths are
// millimetres, angles degrees, probabilities 0 to 1; sigma is always one
// standard deviation.
package roomsheet

// Format is the only value of a room sheet's format field.
const Format = "lathmark-room/1"

// Bare is the state of a face or surface before any layer.
const Bare = "bare"

// Room is a room sheet as it comes in.
type Room struct {
	Format   string    `json:"format"`
	Room     string    `json:"room" sheet:"name"`
	Use      string    `json:"use,omitempty"` // what it is used for; not said if absent
	Surfaces []Surface `json:"surfaces"`
}

// Surface is a plane with its own frame (u, v).
type Surface struct {
	ID   string `json:"id"`
	Kind string `json:"kind"` // ceiling, slope, wall, floor
	// Wall is the wall of the room's outline that a wall is, or that a slope rises from, from 1; 0: not said.
	Wall         int           `json:"wall,omitempty"`
	Layers       []Layer       `json:"layers,omitempty"`
	Now          string        `json:"now,omitempty" sheet:"state now"` // state today; bare if absent
	Datums       []Datum       `json:"datums,omitempty"`
	Timbers      []Timber      `json:"timbers,omitempty"`
	Positions    []Position    `json:"positions,omitempty"`
	Measurements []Measurement `json:"measurements,omitempty"`
}

// Layer is one layer of a build-up, in the order they go on.
type Layer struct {
	ID        string  `json:"id"`
	Thickness float64 `json:"thickness"`
	Sigma     float64 `json:"sigma,omitempty"` // 0: 20 % of the thickness
	Stage     string  `json:"stage,omitempty"` // first fix, boarding, plaster, second fix, decoration
}

// Point is a place (u, v) in mm.
type Point [2]float64

// Line is a straight line from one place to another.
type Line [2]Point

// Datum is what you measure from.
type Datum struct {
	ID     string  `json:"id"`
	Kind   string  `json:"kind"`                            // face, line, point
	Line   *Line   `json:"line,omitempty"`                  // face and line; the room is on its left
	Point  *Point  `json:"point,omitempty"`                 // point
	Sigma  float64 `json:"sigma,omitempty"`                 // 0: face 10, line and point 2
	Lean   float64 `json:"lean,omitempty" sheet:",zero"`    // face only, degrees
	Wall   int     `json:"wall,omitempty"`                  // face only: of the outline, from 1; 0: not said
	Now    string  `json:"now,omitempty" sheet:"state now"` // face only; bare if absent
	Layers []Layer `json:"layers,omitempty"`
}

// Timber is a joist, rafter, stud or noggin.
type Timber struct {
	ID    string  `json:"id"`
	Line  Line    `json:"line"`
	Width float64 `json:"width"`
	Sigma float64 `json:"sigma,omitempty"` // 0: 5
}

// Position is a place where something will come through the surface.
type Position struct {
	ID        string  `json:"id"`
	Kind      string  `json:"kind,omitempty"`
	Cutout    float64 `json:"cutout,omitempty"`     // 0: no hole is judged
	Reach     float64 `json:"reach,omitempty"`      // 0: cutout/2 + 40
	TailSigma float64 `json:"tail_sigma,omitempty"` // 0: 10
}

// Measurement is one reading.
type Measurement struct {
	ID           string  `json:"id"`
	Kind         string  `json:"kind"` // offset, span, distance, thickness
	Of           string  `json:"of,omitempty"`
	From         string  `json:"from,omitempty"`
	State        string  `json:"state,omitempty"`
	To           string  `json:"to,omitempty"`
	ToState      string  `json:"to_state,omitempty"`
	FromState    string  `json:"from_state,omitempty"`
	SurfaceState string  `json:"surface_state,omitempty"`
	Value        float64 `json:"value"`
	Sigma        float64 `json:"sigma,omitempty"` // 0: by the instrument
	By           string  `json:"by,omitempty"`    // tape (default), laser, rule
}
