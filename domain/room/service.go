package room

import (
	"context"
	"reflect"
	"slices"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/roomsheet"
)

// Service is what people do with a room, its schedule and its measurements.
// Every method that writes also returns the faults of Book.Write.
type Service struct{ book *Book }

// NewService makes the service.
func NewService(book *Book) *Service { return &Service{book} }

// Draft is a room as somebody asks for it.
type Draft struct {
	ID      id.Room
	Job     id.Job
	Name    string
	Place   int
	Outline []roomsheet.Point // or
	Walls   []Wall            // lengths and turns
	// Called is what each wall is called, "" for the side that it lies on; none
	// or one for each.
	Called   []string
	Height   float64 // mm
	Wet      []Wet
	Surfaces []SurfaceDraft
}

// room checks a draft.
func (d *Draft) room() (Room, error) {
	r := Room{ID: id.OrNew(d.ID), Job: d.Job, Name: strings.TrimSpace(d.Name), Place: d.Place, Outline: d.Outline,
		Height: d.Height, Wet: d.Wet}
	if err := checkName(r.Name); err != nil {
		return r, err
	}
	var err error
	if len(d.Walls) > 0 {
		if r.Outline, err = Corners(d.Walls); err != nil {
			return r, err
		}
	}
	if len(d.Called) > 0 && len(d.Called) != len(r.Outline) {
		return r, badOutline("called", "there are not as many names as walls", "Give one for each wall, or none")
	}
	if len(r.Outline) > 0 && area(r.Outline) < 0 { // it will be turned, and its walls with it
		for i, k := 1, len(d.Called)-1; i < k; i, k = i+1, k-1 {
			d.Called[i], d.Called[k] = d.Called[k], d.Called[i]
		}
	}
	if r.Outline, err = CheckOutline(r.Outline); err != nil {
		return r, err
	}
	if !(r.Height >= 1 && r.Height <= 100_000) {
		return r, &fault.Error{Kind: fault.BadInput, Msg: "This room cannot be added.",
			Fields: []fault.Field{{Path: "height", Wrong: "the room has no height",
				Mend: "Give it floor to ceiling in millimetres"}}}
	}
	if r.Wet == nil {
		r.Wet = []Wet{}
	}
	for i, w := range r.Wet {
		if w.Kind != "bath" && w.Kind != "shower" {
			return r, &fault.Error{Kind: fault.BadInput, Msg: "This room cannot be added.",
				Fields: []fault.Field{{Path: "wet", Wrong: "it is neither bath nor shower", Mend: "Give bath or shower"}}}
		}
		if r.Wet[i].Outline, err = CheckOutline(w.Outline); err != nil {
			return r, err
		}
	}
	return r, nil
}

// Create adds a room to a job, with its surfaces and the faces round each. The
// owner and the foreman may. A repeat with the same id is no error and adds
// nothing. Faults: Refused, BadInput, NotFound (the job), Conflict (another
// room of the job has the name, another record the id), Obstacle (the job is
// closed).
func (s *Service) Create(ctx context.Context, by firm.Person, d Draft) (j *Judged, err error) {
	if err := firm.MayRunJobs(by); err != nil {
		return nil, err
	}
	d.Called = slices.Clone(d.Called)
	r, err := d.room()
	if err != nil {
		return nil, err
	}
	err = s.book.in(ctx, by, func(tx Tx) error {
		if old, err := tx.Record(ctx, r.ID); err == nil {
			if old.Version == 1 && (old.Job != r.Job || old.Name != r.Name || !reflect.DeepEqual(old.Outline, r.Outline) ||
				old.Height != r.Height) {
				return otherRecord()
			}
			j, err = s.book.judge(old, s.book.now())
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
		j, err = s.book.finish(ctx, w)
		return err
	})
	return j, err
}

// begin stores a new room and opens it to write to.
func (b *Book) begin(ctx context.Context, tx Tx, by firm.Person, r Room) (*Writing, error) {
	now := b.now()
	r.CreatedAt = now
	switch of, err := tx.Job(ctx, r.Job); {
	case err != nil:
		return nil, err
	case !of.Open():
		return nil, job.Closed(of.Name)
	}
	if err := tx.InsertRoom(ctx, r); err != nil {
		return nil, err
	}
	if err := tx.LockRoom(ctx, r.ID); err != nil {
		return nil, err
	}
	record, err := tx.Record(ctx, r.ID)
	return b.begun(tx, record, by, now), err
}

func addSurface(ctx context.Context, w *Writing, d SurfaceDraft, place int) error {
	surface, round, err := w.Record.surface(d, place)
	if err != nil {
		return err
	}
	if err := w.Tx.InsertSurface(ctx, w.Record.ID, surface); err != nil {
		return err
	}
	for _, face := range round {
		if err := w.Tx.InsertDatum(ctx, w.Record.ID, face); err != nil {
			return err
		}
	}
	return nil
}

// Change is what may change of a room: what is nil stays.
type Change struct {
	Name    *string
	Place   *int
	Outline []roomsheet.Point
	Height  *float64
	Wet     []Wet
}

// ChangeRoom changes a room's own fields; surfaces keep theirs. version is the
// room's, 0 for any. The owner and the foreman may. Faults: Conflict (the
// version), Obstacle (first fix is signed off).
func (s *Service) ChangeRoom(ctx context.Context, by firm.Person, room id.Room, version int64, c Change) (*Judged,
	error) {
	return s.book.Write(ctx, by, room, firm.MayRunJobs, func(w *Writing) error {
		old := w.Record.Room
		d := Draft{ID: old.ID, Job: old.Job, Name: old.Name, Place: old.Place, Outline: old.Outline, Height: old.Height,
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
		r, err := d.room()
		if err != nil {
			return err
		}
		if r.says(old) && (version == 0 || version == old.Version) {
			return nil // nothing to change
		}
		if err := w.Tx.UpdateRoom(ctx, r, version); err != nil {
			return err
		}
		return noteChange(w, old, r)
	})
}

// noteChange says what changed of a room: its name in words of its own, for a
// name that was signed is followed by them; see stage.Service.ProveSigned.
func noteChange(w *Writing, old, now Room) error {
	if old.Name != now.Name {
		if err := w.Note(ActRename, nil, old.Name+" is now called "+now.Name+".", Renamed{old.Name, now.Name}); err != nil {
			return err
		}
		if old.Name = now.Name; old.says(now) {
			return nil
		}
	}
	return w.Note("change_room", nil, old.Name+" was changed.", struct{ Before, After Room }{old, now})
}

// says reports whether two rooms are the same in all that ChangeRoom changes.
func (r *Room) says(o Room) bool {
	return r.Name == o.Name && r.Place == o.Place && r.Height == o.Height && slices.Equal(r.Outline, o.Outline) &&
		slices.EqualFunc(r.Wet, o.Wet, func(a, b Wet) bool { return a.Kind == b.Kind && slices.Equal(a.Outline, b.Outline) })
}

// AddSurface adds a surface and the faces round it. The owner and the foreman
// may. A repeat with the same id adds nothing. Faults: BadInput, Conflict,
// Obstacle (first fix is signed off).
func (s *Service) AddSurface(ctx context.Context, by firm.Person, room id.Room, d SurfaceDraft) (*Judged, error) {
	return s.book.Write(ctx, by, room, firm.MayRunJobs, func(w *Writing) error {
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
func (s *Service) Read(ctx context.Context, by firm.Person, room id.Room) (*Judged, error) {
	return s.book.Read(ctx, by, room)
}

// Rooms returns the rooms of a job as one walks through the house. The people on
// site may ask.
func (s *Service) Rooms(ctx context.Context, by firm.Person, job id.Job) (all []Room, err error) {
	if err := firm.MayRead(by); err != nil {
		return nil, err
	}
	err = s.book.look(ctx, by, func(tx Tx) error {
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
