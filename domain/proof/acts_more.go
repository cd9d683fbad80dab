package proof

import (
	"encoding/json"
	"fmt"
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// items is a list as an entry has it.
type items[T any] struct{ Items []T }

// raw returns the items as the entry has them.
func (t *telling) raw() []any { all, _ := t.detail["items"].([]any); return all }

func addPositions(t *telling) error {
	d, err := deed.Unpack[items[room.Position]](t.Detail)
	for i, p := range d.Items {
		t.put(kindPosition, p.ID.String(), p, t.raw()[i])
	}
	if len(d.Items) != 1 {
		return err
	}
	// One that takes the place of a hole comes in the hole's own transaction.
	t.fresh = recent{d.Items[0].ID.String(), t.At.UnixMicro()}
	if t.hole.at == t.fresh.at && t.rows[kindHole][t.hole.key] != nil {
		t.some(kindHole, t.hole.key, members{"new_position": t.fresh.key})
	}
	return err
}

// addTimbers says timbers, which an entry may have without their ids.
func addTimbers(t *telling) error {
	d, err := deed.Unpack[items[room.Timber]](t.Detail)
	for i, one := range d.Items {
		key := one.ID.String()
		if key == "" {
			key = "new " + one.Surface.String() + "/" + one.Name
		}
		if t.rows[kindTimber][key] == nil && t.called(&one) == nil {
			t.put(kindTimber, key, one, t.raw()[i]).unmatched = one.ID.IsZero()
		}
	}
	return err
}

// called finds a timber by its name, which is its surface's own.
func (t *told) called(one *room.Timber) *row {
	for _, r := range t.rows[kindTimber] {
		if r.is["name"] == one.Name && t.same(r.is["surface"], one.Surface.String()) {
			return r
		}
	}
	return nil
}

func removeTimber(t *telling) error {
	d, err := deed.Unpack[room.Timber](t.Detail)
	t.match(kindTimber, d.ID.String(), d.Name, d.Surface)
	return first(err, t.drop(kindTimber, d.ID.String()))
}

func openHole(t *telling) error {
	o, err := deed.Unpack[room.Opening](t.Detail)
	if err == nil {
		t.put(kindHole, o.ID.String(), o, map[string]any(t.detail))
		t.hole = recent{o.ID.String(), t.At.UnixMicro()}
	}
	return err
}

func correctOutcome(t *telling) error {
	d, err := deed.Unpack[struct{ Before, After room.Opening }](t.Detail)
	if err != nil {
		return err
	}
	key := d.Before.ID.String()
	if t.rows[kindHole][key] == nil {
		return t.must(kindHole, key, nil)
	}
	t.put(kindHole, key, d.After, t.detail["after"])
	t.hole = recent{key, t.At.UnixMicro()}
	return nil
}

// patch says a patch as it was left; one that came with its hole says only which.
func patch(t *telling) error {
	d, err := deed.Unpack[room.Patch](t.Detail)
	if err != nil {
		return err
	}
	if d.OwedAt.IsZero() {
		t.some(kindPatch, d.Opening.String(), members{"opening": d.Opening.String(), "owed_at": doneAt{t.line()}})
		return nil
	}
	t.put(kindPatch, d.Opening.String(), d, map[string]any(t.detail))
	return nil
}

// actTold is what the entries say of an act that came from a phone.
type actTold struct {
	seq    int64
	answer deed.Word
	choice deed.Choice
	by     line // who chose, and when
	came   line // of the last entry that came of it when it was sent
	says   []string
}

// act returns what the entries say of an act.
func (t *telling) act(of string) *actTold {
	if t.acts[of] == nil {
		t.acts[of] = &actTold{answer: deed.Kept}
	}
	t.acts[of].seq = t.Seq
	return t.acts[of]
}

// byPhone takes down that an entry came of an act.
func (t *telling) byPhone() {
	of := t.about("act")
	if of == "" || t.Act == "choose" || t.Act == string(gate.ActWithdraw) {
		return
	}
	a := t.act(of)
	if a.answer == deed.Refused && t.Act != string(deed.Refused) {
		a.answer, a.says = deed.Kept, nil // it was sent again, and went through
	}
	if a.came = t.line(); t.Act == string(deed.Refused) {
		a.says = nil
	}
	a.says = append(a.says, t.Says)
}

// unnamed takes down that an entry came of an act that it does not name.
func (t *telling) unnamed() {
	done, awaited := t.came[t.At.UnixMicro()]
	if !awaited || done || t.about("act") != "" {
		return
	}
	for i := range t.sent {
		if s := &t.sent[i]; s.Came.UnixMicro() == t.At.UnixMicro() && s.Member == t.Member &&
			strings.Contains(s.Answer.Says, t.Says) {
			t.came[t.At.UnixMicro()] = true
		}
	}
}

// clashed is an act that was refused, or waits for a choice.
func clashed(t *telling) error {
	of := t.about("act")
	if of == "" {
		return fmt.Errorf("it names no act")
	}
	t.act(of).answer = deed.Word(t.Act)
	return nil
}

func choose(t *telling) error {
	of := t.about("act")
	choice, _ := t.detail["choice"].(string)
	if of == "" || choice == "" {
		return fmt.Errorf("it names no act, or no choice")
	}
	a := t.act(of)
	a.answer, a.choice, a.by = deed.Both, deed.Choice(choice), t.line()
	for i := range t.sent {
		if s := &t.sent[i]; s.ID.String() == of {
			t.chosen[t.At.UnixMicro()] = s.Member.String()
			t.tookPlace(s)
		}
	}
	return nil
}

// tookPlace says that a position that was added together with a choice takes the place
// of the hole that was chosen from.
func (t *telling) tookPlace(s *deed.StoredAct) {
	var c struct{ Opening id.Opening }
	if t.fresh.at == t.At.UnixMicro() && json.Unmarshal(s.Clash, &c) == nil && !c.Opening.IsZero() &&
		t.rows[kindHole][c.Opening.String()] != nil {
		t.some(kindHole, c.Opening.String(), members{"new_position": t.fresh.key})
	}
}

func measured(t *telling) error {
	err := whole(kindReading, func(m *room.Measurement) string { return m.ID.String() })(t)
	t.bare(t.about("id"))
	return err
}

// bare says of a reading of old, which does not say its state, that it was bare where nothing was planned on the face
// by then. Since 0023 a reading says so itself.
func (t *telling) bare(reading string) {
	r := t.rows[kindReading][reading]
	if r == nil || r.is["kind"] != string(words.Offset) && r.is["kind"] != string(words.Span) {
		return
	}
	for _, end := range [][2]string{{"from", "state"}, {"to", "to_state"}} {
		of, _ := r.is[end[0]].(string)
		if r.is[end[1]] == nil && t.nothingOn(of) {
			r.is[end[1]] = roomsheet.Bare
		}
	}
}

// nothingOn reports whether a datum is a face on which nothing is planned.
func (t *telling) nothingOn(datum string) bool {
	d := t.rows[kindDatum][datum]
	var surface any
	if d != nil && d.known == nil {
		if d.is["kind"] != string(words.Face) {
			return false
		}
		surface = d.is["surface"]
	} else if stored := t.storedDatum(datum); stored != nil { // entries of old do not say every face
		if stored.Kind != words.Face {
			return false
		}
		surface = stored.Surface.String()
	}
	on, _ := surface.(string)
	return on != "" && len(t.layers(on+"/"+datum)) == 0
}

func (t *told) storedDatum(datum string) *room.Datum {
	of, err := id.Parse[id.Datum](datum)
	if err != nil || t.record == nil {
		return nil
	}
	d, err := t.record.Datum(of)
	if err != nil {
		return nil
	}
	return d
}
