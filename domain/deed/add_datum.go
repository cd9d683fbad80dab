package deed

import (
	"context"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// KindAddDatum is a datum that is drawn.
const KindAddDatum Kind = "add-datum"

var addDatumSort = Sort{Kind: KindAddDatum, May: firm.MayRecord, json: stored[AddDatum]}

// AddDatum adds something to measure from: a steel, a stack, a further face. A
// repeat with the same id adds nothing. Faults: BadInput, NotFound (the surface),
// Conflict, Obstacle (first fix is signed off).
type AddDatum struct {
	Datum room.Datum `json:"datum"`
}

// Kind is Deed.
func (AddDatum) Kind() Kind { return KindAddDatum }

func (a AddDatum) do(ctx context.Context, t *Taking) error {
	d := a.Datum
	if old, err := t.Record.Datum(d.ID); err == nil {
		d.Place = old.Place
		if *old != d {
			return otherRecord()
		}
		return nil
	}
	if _, err := t.Record.Surface(d.Surface); err != nil {
		return err
	}
	d.ID, d.Place = id.OrNew(d.ID), len(t.Record.Datums)+1
	if err := t.InsertDatum(ctx, t.Record.ID, d); err != nil {
		return err
	}
	return t.Note("add_datum", nil, d.Name+" was drawn as a datum.", d)
}
