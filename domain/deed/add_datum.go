package deed

import (
	"context"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// KindAddDatum is a datum that is drawn.
const KindAddDatum Kind = "add-datum"

var addDatumSort = Sort{Kind: KindAddDatum, May: firm.MayRecord, form: readAddDatum, json: stored[AddDatum]}

// AddDatum adds something to measure from: a steel, a stack, a further face. A
// repeat with the same id adds nothing. Faults: BadInput, NotFound (the surface),
// Conflict, Obstacle (first fix is signed off).
type AddDatum struct {
	Datum room.Datum `json:"datum"`
}

// Kind is Deed.
func (AddDatum) Kind() Kind { return KindAddDatum }

func readAddDatum(s *Sent) (Deed, error) {
	surface, err := id.Parse[id.Surface](s.One)
	d := room.Datum{ID: NewID[id.Datum](s.Form, 0), Surface: surface, Name: s.Named("name", "the datum has no name",
		"Call it what you would shout across the room"), Kind: words.DatumKind(s.Get("kind")), Sigma: s.Number("sigma")}
	switch d.Kind {
	case words.Point:
		d.A = s.Place("point", "there is no place", "Measure it along and up the sheet: 3300 2100")
		d.B = d.A
	case words.Face, words.Line:
		d.A = s.Place("from", "there is no place", "Give where it begins: 0 0")
		d.B = s.Place("to", "there is no place", "Give where it ends: 3600 0")
	default:
		s.Bad("kind", "it does not say what it is", "Choose face, fixed line or fixed point")
	}
	if d.Kind == words.Face {
		d.Lean, d.StaysBare = s.Number("lean"), s.Get("stays_bare") != ""
	}
	return AddDatum{Datum: d}, err
}

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
