package deed

import (
	"context"
	"slices"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// KindRemoveDatum is a datum that is taken out.
const KindRemoveDatum Kind = "remove-datum"

var removeDatumSort = Sort{Kind: KindRemoveDatum, May: firm.MayRunJobs, json: stored[RemoveDatum],
	form: named(func(of id.Datum) RemoveDatum { return RemoveDatum{Datum: of} })}

// RemoveDatum takes a datum out that nothing was ever measured from, with the
// layers planned on it. Faults: NotFound, Conflict (it is used), Obstacle (first
// fix is signed off).
type RemoveDatum struct {
	Datum id.Datum `json:"datum"`
}

// Kind is Deed.
func (RemoveDatum) Kind() Kind { return KindRemoveDatum }

func (r RemoveDatum) do(ctx context.Context, t *Taking) error {
	d, err := t.Record.Datum(r.Datum)
	if err != nil {
		return err
	}
	used := slices.IndexFunc(t.Record.Measurements,
		func(m room.Measurement) bool { return m.From == d.ID || m.To == d.ID })
	if used >= 0 {
		return &fault.Error{Kind: fault.Conflict,
			Msg: d.Name + " stays: " + t.Record.Measurements[used].Name + " was measured from it."}
	}
	if err := t.ReplaceLayers(ctx, t.Record.ID, d.Surface, d.ID, nil); err != nil {
		return err
	}
	if err := t.DeleteDatum(ctx, d.ID); err != nil {
		return err
	}
	return t.Note("remove_datum", nil, d.Name+" was taken out.", d)
}
