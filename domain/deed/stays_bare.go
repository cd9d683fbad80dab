package deed

import (
	"context"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// KindStaysBare is a face that stays bare, or does not after all.
const KindStaysBare Kind = "stays-bare"

var staysBareSort = Sort{Kind: KindStaysBare, May: firm.MayRunJobs, form: readStaysBare, json: stored[StaysBare]}

// StaysBare says that nothing will go on a face, or takes that back. Faults:
// NotFound, BadInput (it is no face, or has layers planned), Obstacle (first fix
// is signed off).
type StaysBare struct {
	Datum id.Datum `json:"datum"`
	Stays bool     `json:"stays_bare"`
}

// Kind is Deed.
func (StaysBare) Kind() Kind { return KindStaysBare }

func readStaysBare(s *Sent) (Deed, error) {
	datum, err := id.Parse[id.Datum](s.One)
	return StaysBare{Datum: datum, Stays: s.Get("stays_bare") != ""}, err
}

func (b StaysBare) do(ctx context.Context, t *Taking) error {
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
	if err := t.UpdateStaysBare(ctx, d.ID, b.Stays); err != nil {
		return err
	}
	says := d.Name + " stays bare."
	if !b.Stays {
		says = d.Name + " does not stay bare after all."
	}
	return t.Note("stays_bare", nil, says, b)
}
