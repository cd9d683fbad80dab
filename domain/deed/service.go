package deed

import (
	"context"
	"reflect"
	"slices"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/standing"
)

// Service is what people do with a room, its schedule and its measurements.
// Every method that writes also returns the faults of Book.Write.
type Service struct{ book *Book }

// NewService makes the service.
func NewService(book *Book) *Service { return &Service{book} }

// Create adds a room to a job, with its surfaces and the faces round each. The
// owner and the foreman may. A repeat with the same id is no error and adds
// nothing. Faults: Refused, BadInput, NotFound (the job), Conflict (another
// room of the job has the name, another record the id), Obstacle (the job is
// closed).
func (s *Service) Create(ctx context.Context, by firm.Person, d room.Draft) (j *standing.Standing, err error) {
	if err := firm.MayRunJobs(by); err != nil {
		return nil, err
	}
	d.Called = slices.Clone(d.Called)
	r, err := d.Room()
	if err != nil {
		return nil, err
	}
	err = s.book.in(ctx, by, func(tx Tx) error {
		if old, err := tx.Record(ctx, r.ID); err == nil {
			if old.Version == 1 && (old.Job != r.Job || old.Name != r.Name || !reflect.DeepEqual(old.Outline, r.Outline) ||
				old.Height != r.Height) {
				return otherRecord()
			}
			j, err = standing.Of(old, s.book.Now())
			return err
		}
		w, err := s.book.begin(ctx, tx, by, r)
		if err != nil {
			return err
		}
		for i, draft := range d.Surfaces {
			if draft.Outline == nil && (draft.Kind == "ceiling" || draft.Kind == "floor") {
				draft.Called = d.Called
			}
			if err := addSurface(ctx, w, draft, i+1); err != nil {
				return err
			}
		}
		if err := w.Note("add_room", nil, r.Name+" was added.", r); err != nil {
			return err
		}
		j, err = finish(ctx, w)
		return err
	})
	return s.book.committed(by, j, err)
}

// begin stores a new room and opens it to write to.
func (b *Book) begin(ctx context.Context, tx Tx, by firm.Person, r room.Room) (*Writing, error) {
	r.CreatedAt = b.Now()
	switch of, err := tx.Job(ctx, r.Job); {
	case err != nil:
		return nil, err
	case !of.Open():
		return nil, job.Closed(of.Name)
	}
	if err := tx.InsertRoom(ctx, r); err != nil {
		return nil, err
	}
	revision, err := tx.LockRoom(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	empty, err := b.Written(ctx, tx, by.Firm, r.ID, revision)
	if err != nil {
		return nil, err
	}
	return b.begun(tx, empty, by), nil
}

func addSurface(ctx context.Context, w *Writing, d room.SurfaceDraft, place int) error {
	surface, round, err := w.Record.Drawn(d, place)
	if err != nil {
		return err
	}
	if err := w.InsertSurface(ctx, w.Record.ID, surface); err != nil {
		return err
	}
	for _, face := range round {
		if err := w.InsertDatum(ctx, w.Record.ID, face); err != nil {
			return err
		}
	}
	return nil
}

// ChangeRoom changes a room's own fields; surfaces keep theirs. version is the
// room's, 0 for any. The owner and the foreman may. Faults: Conflict (the
// version), Obstacle (first fix is signed off).
func (s *Service) ChangeRoom(ctx context.Context, by firm.Person, roomID id.Room, version int64,
	c room.Change) (*standing.Standing,
	error) {
	return s.book.Write(ctx, by, roomID, firm.MayRunJobs, func(w *Writing) error {
		old := w.Record.Room
		d := room.Draft{ID: old.ID, Job: old.Job, Name: old.Name, Place: old.Place, Outline: old.Outline, Height: old.Height,
			Wet: old.Wet}
		if c.Name != nil {
			d.Name = *c.Name
		}
		if c.Place != nil {
			d.Place = *c.Place
		}
		if c.Outline != nil {
			d.Outline = c.Outline
		}
		if c.Height != nil {
			d.Height = *c.Height
		}
		if c.Wet != nil {
			d.Wet = c.Wet
		}
		r, err := d.Room()
		if err != nil {
			return err
		}
		if r.Same(old) && (version == 0 || version == old.Version) {
			return nil // nothing to change
		}
		if err := w.UpdateRoom(ctx, r, version); err != nil {
			return err
		}
		return noteChange(w, old, r)
	})
}

// noteChange says what changed of a room: its name in words of its own, for a
// name that was signed is followed by them; see stage.Service.ProveSigned.
func noteChange(w *Writing, old, now room.Room) error {
	if old.Name != now.Name {
		if err := w.Note(ActRename, nil, old.Name+" is now called "+now.Name+".", Renamed{old.Name, now.Name}); err != nil {
			return err
		}
		if old.Name = now.Name; old.Same(now) {
			return nil
		}
	}
	return w.Note("change_room", nil, old.Name+" was changed.", struct{ Before, After room.Room }{old, now})
}

// AddSurface adds a surface and the faces round it. The owner and the foreman
// may. A repeat with the same id adds nothing. Faults: BadInput, Conflict,
// Obstacle (first fix is signed off).
func (s *Service) AddSurface(ctx context.Context, by firm.Person, roomID id.Room,
	d room.SurfaceDraft) (*standing.Standing, error) {
	return s.book.Write(ctx, by, roomID, firm.MayRunJobs, func(w *Writing) error {
		if old, err := w.Record.Surface(d.ID); err == nil {
			if old.Kind != d.Kind || d.Name != "" && old.Name != d.Name {
				return otherRecord()
			}
			return nil
		}
		if err := addSurface(ctx, w, d, len(w.Record.Surfaces)+1); err != nil {
			return err
		}
		return w.Note("add_surface", nil, "The "+d.Kind+" of "+w.Record.Name+" was drawn.", d)
	})
}

// Read returns a room as it is now, with every answer. The people on site may
// ask. Faults: Refused, NotFound.
func (s *Service) Read(ctx context.Context, by firm.Person, roomID id.Room) (*standing.Standing, error) {
	return s.book.Read(ctx, by, roomID)
}

// Rooms returns the rooms of a job as one walks through the house. The people on
// site may ask. Faults: Refused, NotFound.
func (s *Service) Rooms(ctx context.Context, by firm.Person, job id.Job) (all []room.Room, err error) {
	if err := firm.MayRead(by); err != nil {
		return nil, err
	}
	err = s.book.in(ctx, by, func(tx Tx) error {
		if _, err := tx.JobName(ctx, job); err != nil {
			return err
		}
		all, err = tx.RoomsOf(ctx, job)
		return err
	})
	return all, err
}

func otherRecord() error {
	return &fault.Error{Kind: fault.Conflict, Msg: "Something else was written under this id."}
}
