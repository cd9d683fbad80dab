package words

import "strings"

// DatumKind tells faces from things that no layer covers.
type DatumKind string

// The kinds of datum, as stored.
const (
	Face  DatumKind = "face"
	Line  DatumKind = "line"
	Point DatumKind = "point"
)

// MeasurementKind is what was measured.
type MeasurementKind string

// The kinds of measurement, as stored and as in a room sheet.
const (
	Offset    MeasurementKind = "offset"
	Span      MeasurementKind = "span"
	Distance  MeasurementKind = "distance"
	Thickness MeasurementKind = "thickness"
)

// Bare is the state of a face before any layer.
const Bare = "bare"

// Outcome is what opening a hole showed.
type Outcome string

// The outcomes of a hole, as stored. The empty outcome is a hole that was
// opened and of which nobody has said what it showed.
const (
	Found     Outcome = "found"
	HookedOut Outcome = "hooked_out"
	NotFound  Outcome = "not_found"
	OnTimber  Outcome = "on_timber"
)

// Outcomes are all outcomes.
var Outcomes = []Outcome{Found, HookedOut, NotFound, OnTimber}

// String is the outcome in the trade's words.
func (o Outcome) String() string { return strings.ReplaceAll(string(o), "_", " ") }

// Lost reports whether the hole is of no use and must be made good.
func (o Outcome) Lost() bool { return o == NotFound || o == OnTimber }
