package room

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
)

// WayKind is what is cut where a cable goes through a timber.
type WayKind string

// The kinds of cut.
const (
	HoleWay  WayKind = "hole"
	NotchWay WayKind = "notch" // in the timber's upper edge
)

// Way is a cable run through the timbers of a surface: a straight run. Cables
// that share their holes are one way.
type Way struct {
	ID      id.Way          `json:"id" format:"uuid"`
	Surface id.Surface      `json:"surface,omitzero" required:"true" format:"uuid"`
	Name    string          `json:"name,omitzero" required:"true" minLength:"1" maxLength:"60" doc:"Where it leads."` // "to D4", unique on the surface
	Kind    WayKind         `json:"kind,omitzero" required:"true" enum:"hole,notch" doc:"What is cut where it crosses a timber; a notch is in the upper edge."`
	A       roomsheet.Point `json:"a" doc:"Where it begins."`
	B       roomsheet.Point `json:"b" doc:"Where it ends."`
	Size    float64         `json:"size,omitzero" required:"true" exclusiveMinimum:"0" maximum:"2000" doc:"The diameter of a hole, the depth of a notch."` // mm
	Height  float64         `json:"height,omitzero" minimum:"0" maximum:"2000" doc:"Of a hole's centre above the timber's bottom; 0: not noted."`          // mm
}

// Check finds what is wrong with a way. Faults: BadInput, all at once.
func (w *Way) Check() error {
	var wrong []fault.Field
	bad := func(path, what, mend string) { wrong = append(wrong, fault.Field{Path: path, Wrong: what, Mend: mend}) }
	if w.Name = strings.TrimSpace(w.Name); w.Name == "" || utf8.RuneCountInString(w.Name) > longestName {
		bad("name", "the run has no name, or one of more than 60 letters", "Say where it leads: to D4")
	}
	if w.Kind != HoleWay && w.Kind != NotchWay {
		bad("kind", "it does not say what is cut", "Choose hole or notch")
	}
	if !(w.Size > 0 && w.Size <= greatestCut) {
		bad("size", "the hole or notch has no size", "Give the hole's diameter, or the notch's depth, in millimetres")
	}
	if !(w.Height >= 0 && w.Height <= greatestCut) || w.Kind == NotchWay && w.Height != 0 {
		bad("height", "the height is not one of a hole",
			"Measure from the timber's bottom to the hole's centre; leave it empty for a notch")
	}
	onSheet := func(p roomsheet.Point) bool {
		return math.Abs(p[0]) <= greatestPlace && math.Abs(p[1]) <= greatestPlace
	}
	if !onSheet(w.A) {
		bad("a", "the place where it begins is off the sheet", "Give it along and up the sheet, in millimetres")
	}
	if !onSheet(w.B) {
		bad("b", "the place where it ends is off the sheet", "Give it along and up the sheet, in millimetres")
	}
	if w.A == w.B {
		bad("b", "it ends where it begins", "Give both ends")
	}
	if len(wrong) > 0 {
		return &fault.Error{Kind: fault.BadInput, Msg: "This is not a cable run.", Fields: wrong}
	}
	return nil
}

// CutWords are "20 mm hole", "notch 15 mm deep".
func (w *Way) CutWords() string {
	if w.Kind == NotchWay {
		return fmt.Sprintf("notch %g mm deep", w.Size)
	}
	return fmt.Sprintf("%g mm hole", w.Size)
}
