package deed

import (
	"context"
	"strings"

	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// KindStrike is a reading that is struck out.
const KindStrike Kind = "strike"

var strikeSort = Sort{Kind: KindStrike, May: firm.MayRecord, At: "readings/:one/strike", Teaches: true,
	Brought: "a reading struck out", form: readStrike, json: stored[Strike]}

// Strike strikes a measurement out, with the reason; it stays in the record and
// takes no part. Faults as for Correct.
type Strike struct {
	Measurement id.Measurement `json:"measurement"`
	Version     int64          `json:"version,omitzero"` // the measurement's; 0: any
	Why         string         `json:"why"`
}

// Kind is Deed.
func (Strike) Kind() Kind { return KindStrike }

func readStrike(s *Sent) (Deed, error) {
	of, err := id.Parse[id.Measurement](s.One)
	return Strike{Measurement: of, Version: s.Version, Why: s.Get("reason")}, err
}

// do is held back where others corrected the reading.
func (d Strike) do(ctx context.Context, t *Taking) error {
	old, err := t.Record.Measurement(d.Measurement)
	if err != nil {
		return err
	}
	e, clash, err := t.last(changes(d.Measurement), "correct")
	if err != nil {
		return err
	}
	if !clash || !old.Stands() {
		return t.strike(ctx, d.Measurement, d.Version, d.Why)
	}
	t.hold(0, old.Name+" is struck out: "+d.Why, e)
	return nil
}

func (d Strike) force(ctx context.Context, w *Writing, _ clash) error {
	return w.strike(ctx, d.Measurement, 0, d.Why)
}

func (w *Writing) strike(ctx context.Context, measurement id.Measurement, version int64, why string) error {
	old, err := w.Record.Measurement(measurement)
	if err != nil {
		return err
	}
	if err := reason(why); err != nil || !old.Stands() {
		return err
	}
	m := *old
	m.StruckAt, m.StruckWhy = w.Made, strings.TrimSpace(why)
	if err := w.UpdateMeasurement(ctx, m, version); err != nil {
		return err
	}
	return w.Note("strike", &m.Stage, old.Name+" was struck out: "+m.StruckWhy, m)
}
