package deed

import (
	"context"
	"crypto/sha256"
	"fmt"
	"slices"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
)

// Copy is a room to be made like another of the firm: its outline, surfaces, datums and planned build-ups. Readings,
// what was put on, and sign-offs stay where they are.
type Copy struct {
	ID       id.Room `json:"id" format:"uuid" doc:"Yours to make, of version 7."`
	Of       id.Room `json:"of" format:"uuid" doc:"The room that is copied, of any job."`
	Name     string  `json:"name" minLength:"1" maxLength:"120"`
	Schedule bool    `json:"schedule,omitempty" doc:"Its positions too; those that the client left out are not."`
	Timbers  bool    `json:"timbers,omitempty" doc:"Its timbers too."`
}

// Copy adds a room to a job as a copy of another that whoever asks may see. The owner and the foreman may. A repeat
// with the same id is no error and adds nothing. Faults: Refused, BadInput, NotFound (the job, the room that is
// copied), Conflict (another room of the job has the name, another record the id).
func (k *Desk) Copy(ctx context.Context, by firm.Person, to id.Job, place int, c Copy) (*standing.Standing, error) {
	if err := firm.MayRunJobs(by); err != nil {
		return nil, err
	}
	from, err := k.Read(ctx, by, c.Of)
	if err != nil {
		return nil, err
	}
	r := from.Record.Copied()
	r.ID, r.Job, r.Name, r.Place = id.OrNew(c.ID), to, c.Name, place
	if err := room.CheckName(r.Name); err != nil {
		return nil, err
	}
	same := func(old *room.Record) bool { return old.Version > 1 || old.Job == to && old.Name == r.Name }
	return k.begin(ctx, by, r, same, func(w *Writing) error {
		in := copying{w: w, from: from.Record, surfaces: map[id.Surface]id.Surface{}, datums: map[id.Datum]id.Datum{}}
		if err := in.draw(ctx, r); err != nil {
			return err
		}
		return in.rest(ctx, c)
	})
}

// copying is a room being copied: which surface and datum became which.
type copying struct {
	w        *Writing
	from     *room.Record
	surfaces map[id.Surface]id.Surface
	datums   map[id.Datum]id.Datum
}

// draw stores surfaces and datums.
func (in *copying) draw(ctx context.Context, r room.Room) error {
	w := in.w
	for _, s := range in.from.Surfaces {
		old := s.ID
		s.ID = id.New[id.Surface]()
		in.surfaces[old] = s.ID
		put(ctx, w, &w.Record.Surfaces, s, Tx.InsertSurface)
	}
	for _, d := range in.from.Datums {
		old := d.ID
		d.ID, d.Surface = id.New[id.Datum](), in.surfaces[d.Surface]
		in.datums[old] = d.ID
		put(ctx, w, &w.Record.Datums, d, Tx.InsertDatum)
	}
	return w.Note("add_room", nil, r.Name+" was added as a copy of "+in.from.Name+".", addedRoom{r,
		drawn{w.Record.Surfaces, w.Record.Datums}})
}

// rest plans the build-ups, and draws what is asked for besides.
func (in *copying) rest(ctx context.Context, c Copy) error {
	todo := in.plans()
	if c.Timbers {
		var all []room.Timber
		for _, t := range in.from.Timbers {
			t.ID, t.Surface = id.New[id.Timber](), in.surfaces[t.Surface]
			all = append(all, t)
		}
		todo = append(todo, AddTimbers{all})
	}
	for _, s := range in.from.Surfaces {
		if c.Schedule {
			todo = append(todo, Schedule{Surface: in.surfaces[s.ID], Positions: in.from.Drafts(s.ID)})
		}
	}
	for _, d := range todo {
		if err := d.do(ctx, &Taking{Writing: in.w}); err != nil {
			return err
		}
	}
	return nil
}

// plans are the build-ups, one for all faces of a surface that have the same.
func (in *copying) plans() (all []Deed) {
	for _, s := range in.from.Surfaces {
		var plans []Plan
		for _, d := range append([]room.Datum{{}}, in.from.DatumsOf(s.ID)...) {
			var layers []firm.Layer
			for _, l := range in.from.LayersOf(s.ID, d.ID) {
				layers = append(layers, firm.Layer{Name: l.Name, Thickness: l.Thickness, Sigma: l.Sigma, Stage: l.Stage})
			}
			if len(layers) == 0 {
				continue
			}
			if d.ID.IsZero() {
				all = append(all, Plan{Surface: in.surfaces[s.ID], Layers: layers})
				continue
			}
			at := slices.IndexFunc(plans, func(p Plan) bool { return slices.Equal(p.Layers, layers) })
			if at < 0 {
				at, plans = len(plans), append(plans, Plan{Surface: in.surfaces[s.ID], Layers: layers})
			}
			plans[at].Datums = append(plans[at].Datums, in.datums[d.ID])
		}
		for _, p := range plans {
			all = append(all, p)
		}
	}
	return all
}

// CopySchedule puts the positions of another room on the schedule of one that has surfaces like its own. Names that
// the room has already are left out, and where a surface has another outline the places too. from is a room that
// whoever asks may see; ids stands for all the positions' own. Faults: Refused, NotFound, BadInput (no surface is
// like one that has positions, nothing is left to copy), Conflict (see Schedule).
func (k *Desk) CopySchedule(ctx context.Context, by firm.Person, of, from id.Room, ids id.Position,
	reopen bool) (*standing.Standing, error) {
	if err := firm.MayRunJobs(by); err != nil {
		return nil, err
	}
	j, err := k.Read(ctx, by, from)
	if err != nil {
		return nil, err
	}
	return k.write(ctx, by, of, func(w *Writing) error {
		all, err := schedules(w.Record, j.Record, ids)
		for i := 0; err == nil && i < len(all); i++ {
			// What the first of them opened again, the others need not ask about.
			all[i].Reopen = reopen || i > 0
			err = all[i].do(ctx, &Taking{Writing: w})
		}
		return err
	})
}

// schedules are the positions of a room as another is to have them, a schedule for each surface.
func schedules(to, from *room.Record, ids id.Position) (out []Schedule, err error) {
	n, found := 0, false
	for i := range from.Surfaces {
		s := &from.Surfaces[i]
		drafts := from.Drafts(s.ID)
		if len(drafts) == 0 {
			continue
		}
		like := to.Like(s)
		if like == nil {
			return nil, bad("from", to.Name+" has no surface like the "+s.Name+" of "+from.Name, "Draw it first")
		}
		out = append(out, Schedule{Surface: like.ID})
		for _, d := range drafts {
			d.ID = Nth(ids, n)
			n++
			if !slices.Equal(like.Outline, s.Outline) {
				d.Planned = nil
			}
			_, missing := to.Position(d.ID)
			found = found || missing == nil
			if missing == nil || !to.Has(d.Name) {
				out[len(out)-1].Positions = append(out[len(out)-1].Positions, d)
				found = true
			}
		}
	}
	if !found {
		return nil, bad("from", "there is nothing to copy from "+from.Name, "Choose a room with positions that "+to.Name+
			" has not")
	}
	return out, nil
}

// Nth is the id of record i of those that one id stands for: of version 7 (RFC 9562), of the same time, the rest a
// hash.
func Nth[T ~[16]byte](all T, i int) T {
	sum := sha256.Sum256(fmt.Appendf(nil, "%x %d", all[:], i))
	out := T(sum[:16])
	copy(out[:6], all[:6])
	out[6] = out[6]&0x0f | 0x70
	out[8] = out[8]&0x3f | 0x80
	return out
}
