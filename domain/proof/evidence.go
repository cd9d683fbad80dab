package proof

import (
	"encoding/json"
	"fmt"
	"slices"

	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// evidence says what a stage rests on today that is not what was signed.
func (c *check) evidence(r *room.Record, s *room.SignOff) {
	if s.Stage != words.FirstFix {
		return
	}
	var signed roomsheet.Room
	if err := json.Unmarshal(s.RoomSheet, &signed); err != nil {
		c.found(s.DiarySeq, "the room sheet that was signed with %s cannot be read", s.Stage)
		return
	}
	for _, says := range differences(frozen(&signed, r), frozen(r.Sheet(), r)) {
		c.found(s.DiarySeq, "%s", says)
	}
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
