package deed

import (
	"context"
	"slices"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// AddDatum adds something to measure from: a steel, a stack, a further face. A
// repeat with the same id adds nothing. Faults: BadInput, NotFound (the surface),
// Conflict, Obstacle (first fix is signed off).
type AddDatum struct {
	Datum room.Datum `json:"datum"`
}

func readAddDatum(s *Sent) (Deed, error) {
	surface, err := id.Parse[id.Surface](s.One)
	d := room.Datum{ID: NewID[id.Datum](s.Form, 0), Surface: surface, Name: s.Named("name", "the datum has no name",
		"Call it the name you use on site"), Kind: words.DatumKind(s.Get("kind")), Sigma: s.Number("sigma")}
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
		d.Lean, d.StaysBare = s.Degrees("lean"), s.Get("stays_bare") != ""
	}
	return AddDatum{Datum: d}, err
}

func (a AddDatum) do(ctx context.Context, t *Taking) error {
	d := a.Datum
	on, err := t.Record.Surface(d.Surface)
	if err != nil {
		return err
	}
	if err := d.Check(); err != nil {
		return err
	}
	d.Wall = t.Record.FaceWall(on, &d)
	if old, err := t.Record.Datum(d.ID); err == nil {
		d.Place = old.Place
		return sameAs(*old, d)
	}
	d.ID, d.Place = id.OrNew(d.ID), len(t.Record.Datums)+1
	put(ctx, t.Writing, &t.Record.Datums, d, Tx.InsertDatum)
	if err := t.Note("add_datum", nil, d.Name+" was drawn as a datum.", d); err != nil {
		return err
	}
	return t.inherit(ctx, room.Appearance{Surface: d.Surface, Datum: d.ID})
}

// inherit plans the build-up of a surface or face that was just drawn as it is planned where the same wall is drawn
// already.
func (t *Taking) inherit(ctx context.Context, a room.Appearance) error {
	for _, o := range t.Record.SameWall(a)[1:] {
		var layers []firm.Layer
		for _, l := range t.Record.LayersOf(o.Surface, o.Datum) {
			layers = append(layers, firm.Layer{Name: l.Name, Thickness: l.Thickness, Sigma: l.Sigma, Stage: l.Stage})
		}
		if len(layers) > 0 {
			p := Plan{Surface: a.Surface, Layers: layers}
			if !a.Datum.IsZero() {
				p.Datums = []id.Datum{a.Datum}
			}
			return p.on(ctx, t)
		}
		if d, err := t.Record.Datum(o.Datum); err == nil && d.StaysBare && !a.Datum.IsZero() {
			return StaysBare{a.Datum, true}.on(ctx, t)
		}
	}
	return nil
}

// RemoveDatum takes a datum out that nothing was ever measured from, with the
// layers planned on it. Faults: NotFound, Conflict (it is used), Obstacle (first
// fix is signed off).
type RemoveDatum struct {
	Datum id.Datum `json:"datum"`
}

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
	t.replaceLayers(ctx, d.Surface, d.ID, nil)
	drop(ctx, t.Writing, &t.Record.Datums, d.ID, Tx.DeleteDatum)
	return t.Note("remove_datum", nil, d.Name+" was removed.", d)
}

// StaysBare says that nothing will go on a face, or takes that back. Faults:
// NotFound, BadInput (it is no face, or has layers planned), Obstacle (first fix
// is signed off).
type StaysBare struct {
	Datum id.Datum `json:"datum"`
	Stays bool     `json:"stays_bare"`
}

func readStaysBare(s *Sent) (Deed, error) {
	datum, err := id.Parse[id.Datum](s.One)
	return StaysBare{Datum: datum, Stays: s.Get("stays_bare") != ""}, err
}

// do says it of every face that is the same wall.
func (b StaysBare) do(ctx context.Context, t *Taking) error {
	for _, a := range t.Record.SameWall(room.Appearance{Datum: b.Datum}) {
		if layers := t.Record.LayersOf(a.Surface, a.Datum); a.Datum.IsZero() && b.Stays && len(layers) > 0 {
			return bad("stays_bare", "the "+layers[0].Name+" is planned on the same wall", "Take the layers out first")
		}
		if a.Datum.IsZero() {
			continue
		}
		if err := (StaysBare{a.Datum, b.Stays}).on(ctx, t); err != nil {
			return err
		}
	}
	return nil
}

// on says it of the face alone.
func (b StaysBare) on(ctx context.Context, t *Taking) error {
	d, err := t.Record.Datum(b.Datum)
	if err != nil {
		return err
	}
	if d.Kind != words.Face || b.Stays && len(t.Record.LayersOf(d.Surface, d.ID)) > 0 {
		return &fault.Error{Kind: fault.BadInput,
			Msg: d.Name + " cannot stay bare: it is no face, or layers are planned on it.",
			Fields: []fault.Field{{Path: "stays_bare", Wrong: "layers are planned on " + d.Name + ", or it is no face",
				Mend: "Take the layers out first"}}}
	}
	if d.StaysBare == b.Stays {
		return nil
	}
	now, says := *d, d.Name+" stays bare."
	if now.StaysBare = b.Stays; !b.Stays {
		says = d.Name + " is no longer marked as staying bare."
	}
	put(ctx, t.Writing, &t.Record.Datums, now, func(tx Tx, ctx context.Context, _ id.Room, d room.Datum) error {
		return tx.UpdateStaysBare(ctx, d.ID, d.StaysBare)
	})
	return t.Note("stays_bare", nil, says, b)
}
