package web

import (
	"net/url"
	"slices"
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
)

// Input is one field of a form as the partials draw it: what was typed stays,
// and its faults stand under it.
type Input struct {
	Name, Label, Value, Hint string
	Faults                   []fault.Field
	Rows                     int      // of a text area
	Options                  []Option // of a choice
	Groups                   []group  // of a choice in groups
	Open                     bool     // the chosen option is among the groups
	// Needs is what is wrong with the form while the field is empty; nil where it may be.
	Needs *fault.Field
	// Of distinguishes several forms with the same fields on one page; "" if
	// there is one.
	Of string
}

// ID returns the field's id on the page.
func (in Input) ID() string {
	if in.Of == "" {
		return in.Name
	}
	return in.Name + "-" + in.Of
}

// Option is one choice of a list.
type Option struct {
	Value string // sent
	Label string // read
}

// group is a datum with its states, as one group of a choice.
type group struct {
	Label   string
	Options []Option
}

// Typed is a form as it was typed: what was sent, and the faults of it, each
// with the field's name as its path. A fault whose path is not a field of the
// form is shown above the form only. A field that was not sent shows what the
// form begins with.
type Typed struct {
	Faults       []fault.Field
	Sent, Begins url.Values // Sent is nil before anything was typed
}

func (t *Typed) retype(sent url.Values, faults []fault.Field) { t.Sent, t.Faults = sent, faults }

// Value returns what a field shows.
func (t Typed) Value(name string) string {
	if t.Sent.Has(name) {
		return strings.TrimSpace(t.Sent.Get(name))
	}
	return t.Begins.Get(name)
}

// Ticked reports whether a box with a value is ticked.
func (t Typed) Ticked(name, value string) bool {
	if t.Sent != nil {
		return slices.Contains(t.Sent[name], value)
	}
	return slices.Contains(t.Begins[name], value)
}

// Field returns a field of the form.
func (t Typed) Field(name, label, hint string) Input {
	return newInput(t.Faults, name, label, t.Value(name), hint)
}

// Pick returns a choice of the form.
func (t Typed) Pick(name, label, hint string, options []Option) Input {
	return newPick(t.Faults, name, label, t.Value(name), hint, options)
}

func newInput(faults []fault.Field, name, label, value, hint string) Input {
	return Input{Name: name, Label: label, Value: value, Hint: hint, Faults: faultsOf(faults, name)}
}

// wide sets a text area's number of rows.
func (in Input) wide(rows int) Input {
	in.Rows = rows
	return in
}

// needs says what is wrong while the field is empty, so that a phone can say it, too.
func needs(what string, in Input) Input {
	none := deed.None(what)
	in.Needs = &none
	return in
}

// of says which of several forms a field belongs to.
func of(form string, in Input) Input {
	in.Of = form
	return in
}

func newPick(faults []fault.Field, name, label, value, hint string, options []Option) Input {
	in := newInput(faults, name, label, value, hint)
	in.Options = options
	return in
}

// among reports whether one of the options has a value.
func among(value string, options []Option) bool {
	return slices.ContainsFunc(options, func(o Option) bool { return o.Value == value })
}

// newOptions makes options from pairs: value, label, value, label.
func newOptions(pairs ...string) []Option {
	var o []Option
	for i := 0; i+1 < len(pairs); i += 2 {
		o = append(o, Option{pairs[i], pairs[i+1]})
	}
	return o
}

// newDatumInput returns one choice of a datum together with its state, so that
// neither can be given without the other.
func newDatumInput(faults []fault.Field, name, label, datum, state string, datums []DatumChoice) Input {
	in := newInput(faults, name, label, "", "")
	if datum != "" {
		in.Value = JoinDatum(datum, state)
	}
	for _, d := range datums {
		g := group{Label: d.Label}
		if d.Fixed || len(d.States) == 0 {
			g.Options = []Option{{JoinDatum(d.Value, ""), d.Label + ", fixed"}}
		}
		if !d.Fixed {
			for _, s := range d.States {
				g.Options = append(g.Options, Option{JoinDatum(d.Value, s.Value), d.Label + ", " + s.Label})
			}
		}
		in.Groups = append(in.Groups, g)
	}
	return in
}

// newDatumPads returns that choice for a thumb: the datums in their likely
// state, followed, in groups, by every other state.
func newDatumPads(faults []fault.Field, name, label, datum, state string, datums []DatumChoice) Input {
	in := newDatumInput(faults, name, label, datum, state, datums)
	groups := in.Groups
	in.Groups = nil
	for i, g := range groups {
		rest := group{Label: g.Label}
		for k, o := range g.Options {
			if likely := datums[i].Likely; likely == "" || datums[i].States[k].Value == likely {
				in.Options = append(in.Options, o)
				continue
			}
			rest.Options = append(rest.Options, o)
			in.Open = in.Open || o.Value == in.Value
		}
		if len(rest.Options) > 0 {
			in.Groups = append(in.Groups, rest)
		}
	}
	return in
}

// JoinDatum returns a datum and its state as one value of a form.
func JoinDatum(datum, state string) string { return datum + "|" + state }

// SplitDatum splits such a value. A value without a state has the state "".
func SplitDatum(value string) (datum, state string) {
	datum, state, _ = strings.Cut(value, "|")
	return datum, state
}

// press is a button that posts on its own, without fields. One with an Act can
// wait on a phone without signal, and Says describes it.
type press struct{ Href, Token, Label, Name, Value, Act, Says string }

// does is a press that does a deed of a kind that phones send too.
func does(s Sheet, kind deed.Kind, one, label, says string) press {
	return press{Href: s.At.Deed(kind, one), Token: s.Token, Label: label, Act: string(kind), Says: says}
}

func newPress(href, token, label string, pair ...string) press {
	p := press{Href: href, Token: token, Label: label}
	if len(pair) == 2 {
		p.Name, p.Value = pair[0], pair[1]
	}
	return p
}
