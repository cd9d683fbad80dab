package proof

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"lathmark/domain/id"
	"lathmark/domain/room"
)

// stored is a record as it is stored.
type stored struct {
	kind, key, name string
	is              members
}

// of makes the stored records of one kind.
func of[T any](kind string, list []T, named func(*T) (key, name string)) []stored {
	out := make([]stored, 0, len(list))
	for i := range list {
		key, name := named(&list[i])
		out = append(out, stored{kind, key, name, membersOf(list[i])})
	}
	return out
}

// records are all records of a room.
func records(r *room.Record) []stored {
	position := func(of id.Position) string {
		return nameIn(r.Position(of))(func(p *room.Position) string { return p.Name })
	}
	hole := func(of id.Opening) string {
		return nameIn(r.Opening(of))(func(o *room.Opening) string { return "at " + position(o.Position) })
	}
	layer := func(of id.Layer) string {
		return nameIn(r.Layer(of))(func(l *room.Layer) string {
			return "the " + l.Name + " on " + faceName(r, l.Surface,
				l.Datum)
		})
	}
	return slices.Concat(
		[]stored{{kindRoom, "", r.Name, membersOf(r.Room)}},
		of(kindSurface, r.Surfaces, func(s *room.Surface) (string, string) { return s.ID.String(), s.Name }),
		of(kindDatum, r.Datums, func(d *room.Datum) (string, string) { return d.ID.String(), faceName(r, d.Surface, d.ID) }),
		buildUps(r),
		of(kindTimber, r.Timbers, func(x *room.Timber) (string, string) { return x.ID.String(), x.Name }),
		of(kindWay, r.Ways, func(w *room.Way) (string, string) { return w.ID.String(), w.Name }),
		of(kindPosition, r.Positions, func(p *room.Position) (string, string) { return p.ID.String(), p.Name }),
		of(kindReading, r.Measurements, func(m *room.Measurement) (string, string) { return m.ID.String(), m.Name }),
		of(kindBuilt, r.Built, func(b *room.AsBuilt) (string, string) { return b.Layer.String(), layer(b.Layer) }),
		of(kindTail, r.Seen, func(s *room.TailSeen) (string, string) { return s.Position.String(), position(s.Position) }),
		of(kindPhoto, r.Photos, func(p *room.Photo) (string, string) { return p.ID.String(), shows(r, p) }),
		of(kindFinished, r.Finished, func(f *room.Finished) (string, string) { return f.Stage.Code(), f.Stage.String() }),
		of(kindHole, r.Openings, func(o *room.Opening) (string, string) { return o.ID.String(), hole(o.ID) }),
		of(kindPatch, r.Patches, func(p *room.Patch) (string, string) { return p.Opening.String(), hole(p.Opening) }),
		of(kindSnag, r.Snags, func(n *room.Snag) (string, string) { return n.ID.String(), fmt.Sprintf("%q", n.Says) }))
}

// nameIn names a record that may be gone.
func nameIn[T any](v *T, err error) func(func(*T) string) string {
	return func(name func(*T) string) string {
		if err != nil {
			return "that is gone"
		}
		return name(v)
	}
}

func shows(r *room.Record, p *room.Photo) string {
	what, _, err := r.Shows(p)
	if err != nil {
		what = "what is gone"
	}
	return "of " + what
}

func faceName(r *room.Record, surface id.Surface, datum id.Datum) string {
	on := nameIn(r.Surface(surface))(func(s *room.Surface) string { return s.Name })
	if datum.IsZero() {
		return on
	}
	return nameIn(r.Datum(datum))(func(d *room.Datum) string { return d.Name }) + " of " + on
}

// buildUps are the layers of a room, face by face.
func buildUps(r *room.Record) (out []stored) {
	at := map[string]int{}
	for _, l := range r.Layers {
		key := face(l.Surface, l.Datum)
		if _, there := at[key]; !there {
			at[key] = len(out)
			out = append(out, stored{kindBuildUp, key, faceName(r, l.Surface, l.Datum), members{}})
		}
		all, _ := out[at[key]].is["layers"].([]any)
		out[at[key]].is["layers"] = append(all, layerOf(l.Name, l.Thickness, l.Sigma, l.Stage))
	}
	return out
}

// compare says where the room is not as the entries say.
func (t *told) compare() {
	t.matchStored()
	for _, is := range records(t.record) {
		was := t.rows[is.kind][is.key]
		if was == nil {
			was = t.match(is.kind, is.key, bare(is), id.Surface{})
		}
		delete(t.rows[is.kind], is.key)
		if was == nil {
			if !t.unwritten(&is) {
				t.check.found(0, "%s is there, and no entry wrote it", label(is.kind, is.name))
			}
			continue
		}
		t.differ(was, &is)
	}
	for _, kind := range slices.Sorted(maps.Keys(t.rows)) {
		left := slices.SortedFunc(maps.Values(t.rows[kind]), func(a, b *row) int { return cmp.Compare(a.seq, b.seq) })
		for _, r := range left {
			if kind == kindBuildUp && len(r.is) == 0 || kind == kindDatum && r.known != nil {
				continue
			}
			t.check.found(r.seq, "%s, which entry %d wrote, is gone", label(kind, t.goneName(r)), r.seq)
		}
	}
	t.compareGates()
	t.compareActs()
}

// goneName is what a record that is gone is called: by its name, or by what it was of.
func (t *told) goneName(r *row) string {
	if name, _ := r.is["name"].(string); name != "" {
		return name
	}
	if says, _ := r.is["says"].(string); says != "" {
		return strconv.Quote(says)
	}
	for _, of := range []string{"position", "layer", "opening", "datum", "surface", "stage"} {
		text, _ := r.is[of].(string)
		if o, err := id.Parse[id.Opening](text); err == nil && of == "opening" {
			return nameIn(t.record.Opening(o))(func(o *room.Opening) string {
				return "at " + t.check.named(t.record,
					o.Position.String())
			})
		}
		if named := t.check.named(t.record, text); named != "" {
			return named
		}
		if text != "" {
			return text
		}
	}
	return ""
}

func label(kind, name string) string { return strings.TrimSpace(kind + " " + name) }

func bare(is stored) string { name, _ := is.is["name"].(string); return name }

// unwritten reports whether a record may be there without an entry: entries of old do
// not say what was drawn with a room or a surface.
func (t *told) unwritten(is *stored) bool {
	switch is.kind {
	case kindSurface:
		return !t.drawn
	case kindDatum:
		return !t.drawn && is.is["kind"] == "face" && is.is["stays_bare"] == nil
	}
	return false
}

// differ says which members of a record are not as the entries say.
func (t *told) differ(was *row, is *stored) {
	names := map[string]bool{}
	for name := range was.is {
		names[name] = true
	}
	for name := range is.is {
		names[name] = true
	}
	for _, name := range slices.Sorted(maps.Keys(names)) {
		if ignored[name] || name == "wall" && was.unlinked || was.known != nil && !was.known[name] || t.same(was.is[name],
			is.is[name]) {
			continue
		}
		t.check.found(was.seq, "%s: %s was %s (entry %d), and is %s", label(is.kind, is.name),
			strings.ReplaceAll(name, "_", " "), t.check.say(t.record, t.realOf(was.is[name])), was.seq,
			t.check.say(t.record, is.is[name]))
	}
}

// matchStored finds the stored ids of the surfaces and datums that were read in, by their
// names: neither is ever called anything else.
func (t *told) matchStored() {
	if t.record == nil {
		return
	}
	for i := range t.record.Surfaces {
		s := &t.record.Surfaces[i]
		if t.rows[kindSurface][s.ID.String()] == nil {
			t.match(kindSurface, s.ID.String(), s.Name, id.Surface{})
		}
	}
	for i := range t.record.Datums {
		d := &t.record.Datums[i]
		if t.rows[kindDatum][d.ID.String()] == nil {
			t.match(kindDatum, d.ID.String(), d.Name, d.Surface)
		}
	}
}

// matchLayer finds the stored id of a layer that was read in, by its place.
func (t *told) matchLayer(l *room.Layer) {
	if t.record == nil {
		return
	}
	for _, is := range t.record.Layers {
		if t.same(l.Surface.String(), is.Surface.String()) && t.same(l.Datum.String(), is.Datum.String()) &&
			l.Name == is.Name {
			t.alias[l.ID.String()] = is.ID.String()
		}
	}
}

// real returns the id by which a record is stored.
func (t *told) real(key string) string {
	if stored, read := t.alias[key]; read {
		return stored
	}
	return key
}

func (t *told) realOf(v any) any {
	if text, ok := v.(string); ok {
		return t.real(text)
	}
	return v
}
