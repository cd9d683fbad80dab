// Package caution holds figures of the trade with their sources: zones round a
// bath or shower, cuts in joists, where cables may run, drying, extract rates,
// and what to do before cutting.
//
// All of it is guidance. Local codes and a qualified person decide, and every
// caution says so (Decide). Nothing here is a hard obstacle at a gate. Figures
// are copied, sentences are our own; each says how it is known, because most of
// the standards are behind a paywall and were read at second hand.
//
// Lengths are millimetres, heights above the finished floor, rates litres per
// second. The package is pure: no clock, no input or output.
package caution

import "strings"

// Decide is the standing sentence of every caution.
const Decide = "This is guidance: local codes and a qualified person decide."

// Known is how a figure is known.
type Known string

// How a figure can be known, surest first.
const (
	Seen      Known = "read in the document itself"
	Secondary Known = "read at second hand"
	Practice  Known = "common practice"
	Memory    Known = "from memory, not confirmed"
)

// Source is where a figure comes from.
type Source struct {
	Document string // "BS 7671"
	Clause   string // "701.32"; empty if none is known
	Year     string // edition or year; empty if none is known
	Known    Known
}

// String returns "BS 7671:2018, 701.32 (read at second hand)".
func (s Source) String() string {
	out := s.Document
	if s.Year != "" {
		out += ":" + s.Year
	}
	if s.Clause != "" {
		out += ", " + s.Clause
	}
	return out + " (" + string(s.Known) + ")"
}

// Caution is one thing to mind, next to the act it guards.
type Caution struct {
	// Code is stable: "zone", "joist/notch_depth", "asbestos".
	Code string
	// Text is one or two full sentences.
	Text   string
	Source Source
}

// String returns the caution as it must be shown: text, source, and who decides.
func (c Caution) String() string {
	return strings.Join([]string{c.Text, "Source: " + c.Source.String() + ".", Decide}, " ")
}
