package api

import (
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/words"

	"github.com/danielgtaylor/huma/v2"
)

// Stage is a stage by its code: "first_fix". What comes in is one of the codes
// that the document lists before any handler sees it.
type Stage string

func stageOf(s words.Stage) Stage { return Stage(s.Code()) }

// stage is the stage of a code.
func (s Stage) stage() (out words.Stage) {
	for _, one := range words.Stages {
		if one.Code() == string(s) {
			out = one
		}
	}
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
