package deed

import (
	"cmp"
	"context"
	"reflect"
	"slices"

	"lathmark/domain/firm"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/standing"
)

// Create adds a room to a job, with its surfaces and the faces round each. The
// owner and the foreman may. A repeat with the same id is no error and adds
// nothing. Faults: Refused, BadInput, NotFound (the job), Conflict (another
// room of the job has the name, another record the id). layers are planned on every
// face.
func (k *Desk) Create(ctx context.Context, by firm.Person, d room.Draft,
	layers ...firm.Layer) (*standing.Standing, error) {
	if err := firm.MayRunJobs(by); err != nil {
		return nil, err
	}
	d.Called = slices.Clone(d.Called)
	r, err := d.Room()
	if err == nil {
		err = r.Sense(nil)
	}
	if err != nil {
		return nil, err
	}
	same := func(old *room.Record) bool {
		return old.Version > 1 || old.Job == r.Job && old.Name == r.Name && old.Use == r.Use && old.Height == r.Height &&
			reflect.DeepEqual(old.Outline, r.Outline)
	}
	return k.begin(ctx, by, r, same, func(w *Writing) error {
		for i, draft := range d.Surfaces {
			if draft.Outline == nil && (draft.Kind == "ceiling" || draft.Kind == "floor") {
				draft.Called = d.Called
			}
			if err := w.addSurface(ctx, draft, i+1); err != nil {
				return err
			}
		}
		if err := w.Note("add_room", nil, r.Name+" was added.",
			addedRoom{r, drawn{w.Record.Surfaces, w.Record.Datums}}); err != nil || len(layers) == 0 {
			return err
		}
		for _, s := range w.Record.Surfaces {
			p := Plan{Surface: s.ID, Layers: layers}
			for _, face := range w.Record.DatumsOf(s.ID) {
				p.Datums = append(p.Datums, face.ID)
			}
			if err := p.do(ctx, &Taking{Writing: w}); err != nil {
				return err
			}
		}
		return nil
	})
}

// begin stores a new room and opens it to write to. One that is there already
// under its id is returned as it is, where it is the same.
func (k *Desk) begin(ctx context.Context, by firm.Person, r room.Room, same func(*room.Record) bool,
	do func(*Writing) error) (j *standing.Standing, err error) {
	err = k.in(ctx, by, func(tx Tx) error {
		if old, err := tx.Record(ctx, r.ID); err == nil {
			if !same(old) {
				return otherRecord()
			}
			j, err = standing.Of(old, k.Now())
			return err
		}
		r.CreatedAt = k.Now()
		switch of, err := tx.Job(ctx, r.Job); {
		case err != nil:
			return err
		case !of.Open():
			return job.Closed(of.Name)
		}
		if err := tx.InsertRoom(ctx, r); err != nil {
			return err
		}
		head, at, err := tx.LockRoom(ctx, r.ID)
		if err != nil {
			return err
		}
		empty, err := k.Written(ctx, tx, by.Firm, head)
		if err != nil {
			return err
		}
		if k.past {
			at = r.CreatedAt
		}
		w := open(tx, empty, by, at)
		if err = cmp.Or(do(w), w.err); err == nil {
			j, err = finish(ctx, w)
		}
		return err
	})
	return k.committed(by, j, err)
}

// addedRoom is what the diary keeps of a new room.
type addedRoom struct {
	room.Room
	Drawn drawn `json:"drawn"`
}

// drawn is what the diary keeps of surfaces that were drawn, with what they became.
type drawn struct {
	Surfaces []room.Surface `json:"surfaces"`
	Datums   []room.Datum   `json:"datums"`
}
