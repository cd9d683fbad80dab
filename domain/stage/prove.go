package stage

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// Altered is a record of a signed first fix that no longer says what was
// signed.
type Altered struct {
	Room id.Room
	Name string
	Says string
}

// ProveSigned compares the record of every room of a firm whose first fix is
// signed off with the room sheet that was kept with the sign-off. None means
// that nothing was changed behind the services' back, not even by somebody who
// could turn the database's triggers off. For the command line: nobody is
// asked. The sheets themselves are proved by diary.Service.Prove.
func (s *Service) ProveSigned(ctx context.Context, of id.Firm) (out []Altered, err error) {
	err = s.book.Look(ctx, firm.Whole(of), func(tx deed.Tx) error {
		jobs, err := tx.DiaryJobs(ctx)
		for _, job := range jobs {
			rooms, err := tx.RoomsOf(ctx, job)
			if err != nil {
				return err
			}
			for _, r := range rooms {
				found, err := altered(ctx, tx, r.ID)
				if err != nil {
					return err
				}
				out = append(out, found...)
			}
		}
		return err
	})
	return out, err
}

func altered(ctx context.Context, tx deed.Tx, of id.Room) ([]Altered, error) {
	r, err := tx.Record(ctx, of)
	if err != nil || r.Gates[words.FirstFix].State != words.SignedOff {
		return nil, err
	}
	all, err := tx.SignOffs(ctx, of)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(all, func(s room.SignOff) bool { return s.ID == r.Gates[words.FirstFix].SignOff })
	if i < 0 {
		return []Altered{{of, r.Name, "the sign-off of first fix is gone"}}, nil
	}
	var signed roomsheet.Room
	if err := json.Unmarshal(all[i].RoomSheet, &signed); err != nil {
		//nolint:nilerr // that is what was found out
		return []Altered{{of, r.Name, "the room sheet that was signed cannot be read"}}, nil
	}
	if signed.Room, err = calledSince(ctx, tx, r.ID, all[i].DiarySeq, signed.Room); err != nil {
		return nil, err
	}
	var out []Altered
	for _, says := range differences(frozen(&signed, r), frozen(r.Sheet(), r)) {
		out = append(out, Altered{of, r.Name, says})
	}
	return out, nil
}

// calledSince returns what a room is called by the diary that was called name
// as of an entry.
func calledSince(ctx context.Context, tx deed.Tx, of id.Room, seq int64, name string) (string, error) {
	entries, err := tx.RoomDiary(ctx, of, seq)
	for _, e := range entries {
		var d deed.Renamed
		if e.Act == deed.ActRename && json.Unmarshal(e.Detail, &d) == nil && d.From == name {
			name = d.To
		}
	}
	return name, err
}

// frozen is what a sheet says that a signed first fix freezes, a line of JSON
// by the name of each record. Today's states are not frozen, nor is what was
// measured in a later stage, nor the thickness of a surface's own layers, which
// stands as put on once they are.
func frozen(sheet *roomsheet.Room, r *room.Record) map[string]string {
	later := map[string]bool{}
	for i := range r.Measurements {
		if m := &r.Measurements[i]; m.Stage != words.FirstFix {
			later[m.Name] = true
		}
	}
	out := map[string]string{}
	put := func(name string, v any) {
		text, err := json.Marshal(v)
		if err != nil {
			text = []byte(err.Error())
		}
		out[name] = string(text)
	}
	put("the room's name", sheet.Room)
	for _, s := range sheet.Surfaces {
		put(s.ID, s.Kind)
		for _, l := range s.Layers {
			put(l.ID+" on "+s.ID, l.Stage)
		}
		for _, d := range s.Datums {
			d.Now = ""
			put(d.ID+" of "+s.ID, d)
		}
		for _, t := range s.Timbers {
			put(t.ID+" of "+s.ID, t)
		}
		for _, p := range s.Positions {
			put(p.ID, p)
		}
		for _, m := range s.Measurements {
			if !later[m.ID] {
				put(m.ID, m)
			}
		}
	}
	return out
}

func differences(signed, now map[string]string) []string {
	var out []string
	for name, was := range signed {
		switch is, there := now[name]; {
		case !there:
			out = append(out, name+" was signed and is gone")
		case is != was:
			out = append(out, fmt.Sprintf("%s was signed as %s and is %s", name, was, is))
		}
	}
	for name := range now {
		if _, there := signed[name]; !there {
			out = append(out, name+" is there and was not signed")
		}
	}
	slices.Sort(out)
	return out
}
