package api

import (
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/words"

	"github.com/danielgtaylor/huma/v2"
)

// Stage is a stage in an address by its code: "first_fix". What comes in is one
// of the codes that the document lists before any handler sees it.
type Stage string

// stage is the stage of a code.
func (s Stage) stage() words.Stage {
	out, _ := words.ParseStage(string(s)) // the document lists the codes
	return out
}

// Schema describes the codes.
func (Stage) Schema(huma.Registry) *huma.Schema {
	s := &huma.Schema{Type: huma.TypeString, Description: "A stage of a room, in the order they are done."}
	for _, stage := range words.Stages {
		s.Enum = append(s.Enum, stage.Code())
	}
	return s
}

// Day is a day: "2026-03-04". The zero value is none.
type Day time.Time

// IsZero reports whether there is none.
func (d Day) IsZero() bool { return time.Time(d).IsZero() }

// MarshalText returns the day.
func (d Day) MarshalText() ([]byte, error) { return []byte(time.Time(d).Format(time.DateOnly)), nil }

// UnmarshalText reads a day. Faults: BadInput.
func (d *Day) UnmarshalText(text []byte) error {
	got, err := time.Parse(time.DateOnly, string(text))
	if err != nil {
		return &fault.Error{Kind: fault.BadInput, Msg: "That is no day.", Err: err}
	}
	*d = Day(got)
	return nil
}

// Schema describes a day.
func (Day) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{Type: huma.TypeString, Format: "date"}
}

// absent stands before a field of an embedded value that is not shown, or that
// the address says and no body: it has that field's name and is never set.
type absent func()
