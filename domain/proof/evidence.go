package proof

import (
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"lathmark/domain/gate"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// evidence says what a stage rests on today that is not what was signed, but for the
// records of which that was said already.
func (c *check) evidence(r *room.Record, s *room.SignOff, said map[string]bool) {
	if len(s.Evidence) == 0 {
		c.sheet(r, s)
		return
	}
	text, err := gate.Evidence(r, s.Stage, s.Revision)
	if err != nil {
		c.found(s.DiarySeq, "what %s rests on cannot be said: %s", s.Stage, err)
		return
	}
	was, err := gate.ReadProof(s.Evidence)
	is, now := gate.ReadProof(text)
	if err = first(err, now); err != nil || was.V > gate.EvidenceVersion {
		c.found(s.DiarySeq, "the evidence that was signed with %s cannot be read (version %d): %v", s.Stage, was.V, err)
		return
	}
	for _, key := range keys(was.Records, is.Records) {
		if said[key] { // with an earlier stage
			continue
		}
		n := len(c.Findings)
		c.compareSigned(r, s, key, was.Records[key], is.Records[key])
		said[key] = len(c.Findings) > n
	}
}

// keys are the keys of both, in order.
func keys(a, b map[string]any) []string {
	all := maps.Clone(a)
	if all == nil {
		all = map[string]any{}
	}
	maps.Copy(all, b)
	return slices.Sorted(maps.Keys(all))
}

// compareSigned says how one record of the evidence is not as it was signed.
func (c *check) compareSigned(r *room.Record, s *room.SignOff, key string, was, is any) {
	before, _ := was.(map[string]any)
	after, _ := is.(map[string]any)
	name := c.signedName(r, key, before, after)
	switch {
	case was == nil:
		c.found(s.DiarySeq, "%s is there and was not signed with %s", name, s.Stage)
	case is == nil:
		c.found(s.DiarySeq, "%s was signed with %s, and is gone", name, s.Stage)
	case before == nil || after == nil:
		if !reflect.DeepEqual(was, is) {
			c.found(s.DiarySeq, "%s was signed with %s as %s, and is %s", name, s.Stage, c.say(r, was), c.say(r, is))
		}
	}
	if before == nil || after == nil {
		return
	}
	t := told{}
	for _, member := range keys(before, after) {
		a, b := before[member], after[member]
		if member == "version" || member == "revision" || t.same(a, b) || a == nil && nothing(b) || b == nil && nothing(a) {
			continue
		}
		if a == nil && sinceTold(key, member, b) {
			continue
		}
		c.found(s.DiarySeq, "%s: %s was signed with %s as %s, and is %s", name, strings.ReplaceAll(member, "_", " "),
			s.Stage, c.say(r, a), c.say(r, b))
	}
}

// sinceTold reports whether a member is one that records of old did not say and were told since (0023): which wall
// they are, and that a face was bare on which nothing was planned.
func sinceTold(key, member string, is any) bool {
	return member == "wall" ||
		strings.HasPrefix(key, "measurement ") && (member == "state" || member == "to_state") && is == roomsheet.Bare
}

// signedName is what a record of the evidence is called: by its own name, or by what its
// key names.
func (c *check) signedName(r *room.Record, key string, before, after map[string]any) string {
	cut := strings.LastIndexByte(key, ' ')
	kind, of := key[:max(cut, 0)], key[cut+1:]
	for _, is := range []map[string]any{before, after} {
		if name, _ := is["name"].(string); name != "" {
			return label(kind, name)
		}
		if p, _ := is["position"].(string); p != "" {
			return label(kind, c.named(r, p))
		}
	}
	if named := c.named(r, of); named != "" {
		return label(kind, named)
	}
	return key
}

// sheet compares a first fix that was signed in the first year, without evidence, with
// its room sheet.
func (c *check) sheet(r *room.Record, s *room.SignOff) {
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
			d.Now, d.Wall = "", 0
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
				if m.State == roomsheet.Bare && len(layersIn(s.Datums, m.From)) == 0 {
					m.State = ""
				}
				if m.ToState == roomsheet.Bare && len(layersIn(s.Datums, m.To)) == 0 {
					m.ToState = ""
				}
				put(m.ID, m)
			}
		}
	}
	return out
}

// layersIn are the layers of a datum by its name.
func layersIn(datums []roomsheet.Datum, name string) []roomsheet.Layer {
	if i := slices.IndexFunc(datums, func(d roomsheet.Datum) bool { return d.ID == name }); i >= 0 {
		return datums[i].Layers
	}
	return nil
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
