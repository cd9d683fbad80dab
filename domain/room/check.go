package room

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"

	"lathmark/domain/fault"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// The limits of what is drawn. The database has the same.
const (
	longestName   = 60       // letters
	greatestPlace = 100000.0 // mm, along or up the sheet
	greatestSigma = 1000.0   // mm
	greatestWidth = 1000.0   // mm, of a timber or a cut-out
	greatestCut   = 2000.0   // mm, of a hole or notch, or a timber's depth
	greatestReach = 5000.0   // mm
	greatestLean  = 80.0     // degrees, either way, not reached
)

// found are what is wrong with something drawn; at is where it stands.
type found struct {
	fault.Fields
	at string
}

func (f *found) named(name string) {
	n := utf8.RuneCountInString(name)
	f.If(strings.TrimSpace(name) == "" || n > longestName, f.at+"name", "there is no name, or one of more than 60 letters",
		"Give it the name that is used on site")
}

// within checks a figure that may be from nothing to most.
func (f *found) within(x, most float64, path, what string) {
	f.If(!(x >= 0 && x <= most), f.at+path, fmt.Sprintf("%s is not from 0 to %g mm", what, most),
		"Give it in millimetres, or leave it out")
}

// placed checks a place on the sheet.
func (f *found) placed(p roomsheet.Point, path string) {
	f.If(!(math.Abs(p[0]) <= greatestPlace && math.Abs(p[1]) <= greatestPlace), f.at+path, "the place is off the sheet",
		"Give it along and up the sheet, in millimetres")
}

// Check finds what is wrong with a datum. Faults: BadInput, all at once.
func (d *Datum) Check() error {
	var f found
	f.named(d.Name)
	f.within(d.Sigma, greatestSigma, "sigma", "its standard deviation")
	f.placed(d.A, "a")
	f.placed(d.B, "b")
	f.If(d.Kind != words.Point && d.A == d.B, "b", "it ends where it begins", "Give both ends")
	f.If(!(math.Abs(d.Lean) < greatestLean), "lean", "it leans by 80 degrees or more", "Give how far it is from upright")
	f.If(d.Kind != words.Face && d.Lean != 0, "lean", "only a face leans", "Leave it out")
	f.If(d.Kind != words.Face && d.StaysBare, "stays_bare", "only a face is covered", "Leave it out")
	return f.Err("This datum cannot be saved.")
}

// CheckTimbers finds what is wrong with timbers. Faults: BadInput, all at once.
func CheckTimbers(all []Timber) error {
	var f found
	for i, t := range all {
		f.at = fmt.Sprintf("timbers[%d].", i)
		f.named(t.Name)
		f.placed(t.A, "a")
		f.placed(t.B, "b")
		f.If(t.A == t.B, f.at+"b", "it ends where it begins", "Give both ends of its centre line")
		f.If(!(t.Width > 0 && t.Width <= greatestWidth), f.at+"width", "it has no width, or one over 1000 mm",
			"Measure across it, in millimetres")
		f.within(t.Depth, greatestCut, "depth", "its depth")
		f.within(t.Sigma, greatestSigma, "sigma", "its standard deviation")
	}
	return f.Err("These timbers cannot be saved.")
}

// CheckPositions finds what is wrong with positions for the schedule. Faults:
// BadInput, all at once.
func CheckPositions(all []PositionDraft) error {
	var f found
	for i, p := range all {
		f.at = fmt.Sprintf("positions[%d].", i)
		f.position(&p)
	}
	return f.Err("These positions cannot be saved.")
}

// Check is CheckPositions for one.
func (d *PositionDraft) Check() error {
	var f found
	f.position(d)
	return f.Err("This position cannot be saved.")
}

func (f *found) position(d *PositionDraft) {
	f.named(d.Name)
	f.If(utf8.RuneCountInString(d.Kind) > longestName, f.at+"kind", "it has more than 60 letters", "Say it in fewer")
	f.within(d.Cutout, greatestWidth, "cutout", "its cut-out")
	f.within(d.Reach, greatestReach, "reach", "how far its tail reaches")
	f.within(d.TailSigma, greatestSigma, "tail_sigma", "the tail's standard deviation")
	if d.Planned != nil {
		f.placed(*d.Planned, "planned")
	}
}
