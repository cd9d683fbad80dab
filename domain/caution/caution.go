// Package caution holds figures of the trade with their sources: zones round a
// bath or shower, cuts in joists, where cables may run, drying, extract rates,
// and what to do before cutting.
//
// All of it is guidance: every caution says who decides (Decide). Nothing here is
// a hard obstacle at a gate. Figures are copied, sentences are our own. Where a
// figure was read stands in testdata/worked.csv; one that was not read in the
// document itself says so on screen (Source).
//
// Lengths are millimetres, heights above the finished floor, rates litres per
// second. The package is pure: no clock, no input or output.
package caution

import (
	"cmp"
	"slices"
	"strings"
)

// Decide is the closing sentence of every caution.
const Decide = "Local codes and licensed practice decide."

// Known is how a figure or a rule is known.
type Known int

// How a figure can be known. The zero value claims nothing.
const (
	Unread   Known = iota // only seen where others repeat it
	Read                  // read in the document, or in its text word for word
	Practice              // no document: what is done on site
)

// Source is where a figure or a rule comes from.
type Source struct {
	Document  string // with its year: "Work at Height Regulations 2005"
	Clause    string // "Schedule 6, paragraph 1"; empty if none is known
	Withdrawn bool
	Known     Known
}

// site is the source of what is common on site and stands in no document.
var site = Source{Document: "Site practice", Known: Practice}

// String returns the source as it is published: "BS 5268-2:2002 (withdrawn); not
// checked against the document: check the current edition".
func (s Source) String() string {
	out := s.Document
	if s.Clause != "" {
		out += ", " + s.Clause
	}
	if s.Withdrawn {
		out += " (withdrawn)"
	}
	if s.Known == Unread {
		out += "; not checked against the document: check the current edition"
	}
	return out
}

// Caution is one thing to mind, next to the act it guards.
type Caution struct {
	// Code is stable: "zone", "joist/notch_depth", "asbestos".
	Code string
	// Text is one or more full sentences.
	Text   string
	Source Source
}

// Foot returns what stands below every caution: its source, and who decides.
func (c Caution) Foot() string { return "Source: " + c.Source.String() + ". " + Decide }

// String returns the caution as it must be shown: text, source, and who decides.
func (c Caution) String() string { return c.Text + " " + c.Foot() }

// byHarm are the codes of what is said at a hole, the worst first: what kills at
// once, what kills later, what sets fire, what spoils the work.
var byHarm = []string{"prove_dead", "services", "cable_zone", "zone_socket", "zone", "zone_protection", "height",
	"asbestos", "fire_floor", "fitting_heat", "dust", "extract", "extract_unsaid"}

// Codes are the codes of all cautions.
var Codes = append(slices.Clone(byHarm), "cable_route", "cable_joist", "cable_notch", "joist/depth",
	"joist/notch_depth",
	"joist/notch_place", "joist/hole_size", "joist/hole_place", "joist/hole_edge", "joist/hole_centre", "joist/apart",
	"joist/webbed", "joist/other", "dry", "dry_screed", "dabs")

// Worst sorts cautions by the harm they guard against, the worst first; those of
// one kind keep their order, and what is not said at a hole comes last.
func Worst(list []Caution) []Caution {
	place := func(c Caution) int {
		if i := slices.Index(byHarm, c.Code); i >= 0 {
			return i
		}
		return len(byHarm)
	}
	slices.SortStableFunc(list, func(a, b Caution) int { return cmp.Compare(place(a), place(b)) })
	return list
}

// Together returns cautions with those from one document as one: what each says, then their clauses once. Each keeps
// the place of its first.
func Together(list []Caution) (out []Caution) {
	const ask = " Ask an engineer."
	for _, c := range list {
		at := slices.IndexFunc(out, func(o Caution) bool {
			o.Source.Clause = c.Source.Clause
			return o.Source == c.Source
		})
		if at < 0 {
			out = append(out, c)
			continue
		}
		o := &out[at]
		if strings.HasSuffix(c.Text, ask) {
			o.Text = strings.TrimSuffix(o.Text, ask)
		}
		o.Text += " " + c.Text
		if c.Source.Clause != "" && !slices.Contains(strings.Split(o.Source.Clause, "; "), c.Source.Clause) {
			o.Source.Clause = strings.TrimPrefix(o.Source.Clause+"; "+c.Source.Clause, "; ")
		}
	}
	return out
}
