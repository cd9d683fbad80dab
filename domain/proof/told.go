package proof

import (
	"fmt"
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/diary"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// The kinds of records of a room, as findings call them.
const (
	kindRoom     = "the room"
	kindSurface  = "surface"
	kindDatum    = "datum"
	kindBuildUp  = "the build-up of"
	kindTimber   = "timber"
	kindWay      = "the cable run"
	kindPosition = "position"
	kindReading  = "reading"
	kindBuilt    = "as built:"
	kindTail     = "the tail of"
	kindPhoto    = "photo"
	kindFinished = "the day of finishing"
	kindHole     = "hole"
	kindPatch    = "the patch of hole"
	kindSnag     = "snag"
)

// told is a room as the entries about it say, one after the other.
type told struct {
	check  *check
	record *room.Record // as it is stored; nil where the room is gone
	sent   []deed.StoredAct
	rows   map[string]map[string]*row // by kind, then key
	gates  [5]gateTold
	signed []signedTold
	acts   map[string]*actTold // by the act's id
	// chosen are whose act was chosen, by the time of the transaction.
	chosen map[int64]string
	// came reports of the times at which acts came whether entries came of them that do
	// not name an act, as those of old do not.
	came map[int64]bool
	// alias are the stored ids of records that were read in, by those of Imported.
	alias map[string]string
	// drawn: the entries say every surface and face; planned: every build-up; begun: how
	// the room began.
	drawn, begun, removed bool
	hole                  recent // the last that was written down
	fresh                 recent // the last position that came alone
}

// recent is a record of the transaction at a time.
type recent struct {
	key string
	at  int64
}

func newTold(c *check, r *room.Record) *told {
	t := &told{check: c, record: r, rows: map[string]map[string]*row{}, acts: map[string]*actTold{},
		chosen: map[int64]string{}, came: map[int64]bool{}, alias: map[string]string{}, drawn: true}
	t.gates[0].state = firstState
	return t
}

// tell takes the next entry.
func (t *told) tell(e *diary.Entry) {
	means, known := acts[e.Act]
	if !known {
		t.check.found(e.Seq, "entry %d is of the act %q, which this program does not know", e.Seq, e.Act)
		return
	}
	if t.removed {
		t.check.found(e.Seq, "entry %d comes after the room was removed", e.Seq)
	}
	d, first, err := deed.Members(e.Detail)
	if err == nil {
		in := &telling{told: t, Entry: e, detail: d, first: first}
		in.byPhone()
		in.unnamed()
		err = means(in)
	}
	if err != nil {
		t.check.found(e.Seq, "entry %d (%s) cannot be read: %s", e.Seq, e.Act, err)
	}
}

// telling is one entry being told.
type telling struct {
	*told
	*diary.Entry
	detail members
	first  bool // it is of version 0
}

func (t *telling) line() line { return line{t.Seq, t.At, t.Member, t.Who, t.Says} }

// put says how a record is from here on. raw is the same as the entry has it, of which
// an entry of version 0 says only what the program knew then.
func (t *telling) put(kind, key string, v, raw any) *row {
	out := &row{is: membersOf(v), seq: t.Seq}
	given, _ := raw.(map[string]any)
	_, linked := given["wall"]
	out.unlinked = !linked
	if t.first {
		out.known = map[string]bool{}
		for name := range given {
			out.known[name] = true
		}
	}
	t.set(kind, key, out)
	return out
}

func (t *told) set(kind, key string, r *row) {
	if t.rows[kind] == nil {
		t.rows[kind] = map[string]*row{}
	}
	t.rows[kind][key] = r
}

// some says some members of a record, which may be all that is known of it.
func (t *telling) some(kind, key string, what members) *row {
	r := t.rows[kind][key]
	if r == nil {
		r = &row{is: members{}, known: map[string]bool{}}
		t.set(kind, key, r)
	}
	r.seq = t.Seq
	for name, is := range what {
		delete(r.is, name)
		if !nothing(is) {
			r.is[name] = is
		}
		if r.known != nil {
			r.known[name] = true
		}
	}
	return r
}

// must is some of a record that an entry before this one wrote.
func (t *telling) must(kind, key string, what members) error {
	if t.rows[kind][key] == nil {
		return fmt.Errorf("no entry before it wrote the %s that it is about", strings.TrimPrefix(kind, "the "))
	}
	t.some(kind, key, what)
	return nil
}

// drop says that a record was taken out.
func (t *telling) drop(kind, key string) error {
	if t.rows[kind][key] == nil {
		return fmt.Errorf("no entry before it wrote the %s that it removes", strings.TrimPrefix(kind, "the "))
	}
	delete(t.rows[kind], key)
	return nil
}

// match finds the record that was read in under a name, on a surface where that is not
// none, and finds the id by which it is stored.
func (t *told) match(kind, key, name string, surface id.Surface) *row {
	for old, r := range t.rows[kind] {
		if r.unmatched && r.is["name"] == name &&
			(surface.IsZero() || t.same(r.is["surface"], surface.String())) {
			delete(t.rows[kind], old)
			t.alias[old], r.unmatched, r.is["id"] = key, false, key
			t.rows[kind][key] = r
			return r
		}
	}
	return nil
}
