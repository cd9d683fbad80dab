package web

import "lathmark/domain/fault"

// Input is one field of a form as the partials draw it: what was typed stays,
// and its faults stand under it.
type Input struct {
	Name, Label, Value, Hint string
	Faults                   []fault.Field
	Rows                     int      // of a text area
	Options                  []Option // of a choice
}

// Option is one choice of a list.
type Option struct {
	Value string // sent
	Label string // read
}

func newInput(faults []fault.Field, name, label, value, hint string) Input {
	return Input{Name: name, Label: label, Value: value, Hint: hint, Faults: faultsOf(faults, name)}
}

// wide gives a text area its number of rows.
func (in Input) wide(rows int) Input {
	in.Rows = rows
	return in
}

func newPick(faults []fault.Field, name, label, value, hint string, options []Option) Input {
	in := newInput(faults, name, label, value, hint)
	in.Options = options
	return in
}

// press is one button that posts on its own, without fields.
type press struct{ Href, Token, Label, Name, Value string }

func newPress(href, token, label string, pair ...string) press {
	p := press{Href: href, Token: token, Label: label}
	if len(pair) == 2 {
		p.Name, p.Value = pair[0], pair[1]
	}
	return p
}
