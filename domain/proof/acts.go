package proof

import (
	"encoding/json"
	"slices"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/programme"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// acts is what each act of the diary means for the room that it is about.
var acts = map[string]func(*telling) error{
	"add_room": addRoom, "import_room": importRoom, "change_room": changed(kindRoom, roomKey),
	deed.ActRename: renameRoom, "remove_room": func(t *telling) error { t.removed = true; return nil },
	"add_surface": addSurface,
	"add_datum":   whole(kindDatum, func(d *room.Datum) string { return d.ID.String() }),
	"remove_datum": func(t *telling) error {
		d, err := deed.Unpack[room.Datum](t.Detail)
		t.match(kindDatum, d.ID.String(), d.Name, d.Surface)
		delete(t.rows[kindBuildUp], face(d.Surface, d.ID))
		if t.rows[kindDatum][d.ID.String()] == nil && !t.drawn {
			return err
		}
		return first(err, t.drop(kindDatum, d.ID.String()))
	},
	"stays_bare": func(t *telling) error {
		d, err := deed.Unpack[deed.StaysBare](t.Detail)
		t.some(kindDatum, d.Datum.String(), members{"stays_bare": d.Stays})
		return err
	},
	"plan_build_up": plan,
	"add_timbers":   addTimbers, "remove_timber": removeTimber,
	"add_way": whole(kindWay, func(w *room.Way) string { return w.ID.String() }),
	"remove_way": func(t *telling) error {
		d, err := deed.Unpack[room.Way](t.Detail)
		return first(err, t.drop(kindWay, d.ID.String()))
	},
	"add_positions":   addPositions,
	"change_position": changed(kindPosition, positionKey), "hold": changed(kindPosition, positionKey),
	"release": changed(kindPosition, positionKey), "omit": changed(kindPosition, positionKey),
	"want_again": changed(kindPosition, positionKey),
	"measure":    measured,
	"strike": func(t *telling) error {
		m, err := deed.Unpack[room.Measurement](t.Detail)
		if t.match(kindReading, m.ID.String(), m.Name, id.Surface{}) == nil && t.rows[kindReading][m.ID.String()] == nil {
			return first(err, t.must(kindReading, m.ID.String(), nil))
		}
		t.put(kindReading, m.ID.String(), m, t.detail)
		return err
	},
	"correct": func(t *telling) error {
		err := changed(kindReading, func(m *room.Measurement) (string, string) { return m.ID.String(), m.Name })(t)
		d, _ := t.detail["after"].(map[string]any)
		of, _ := d["id"].(string)
		t.bare(of)
		return err
	},
	"see_tail": func(t *telling) error {
		t.some(kindTail, t.about("position"), members{"position": t.detail["position"], "by": doer{t.line()},
			"at": doneAt{t.line()}})
		return nil
	},
	"unsee_tail": func(t *telling) error { delete(t.rows[kindTail], t.about("position")); return nil },
	"put_on":     whole(kindBuilt, func(b *room.AsBuilt) string { return b.Layer.String() }),
	"finish":     whole(kindFinished, func(f *room.Finished) string { return f.Stage.Code() }),
	"photo":      whole(kindPhoto, func(p *room.Photo) string { return p.ID.String() }),
	"strike_photo": func(t *telling) error {
		return t.must(kindPhoto, t.about("photo"), members{"struck_by": t.Member.String(),
			"struck_at": t.At.Format(timeForm), "struck_why": t.detail["why"]})
	},
	"open":            openHole,
	"correct_outcome": correctOutcome,
	"owe_patch":       patch, "fill_patch": patch, "dry_patch": patch, "unfill_patch": patch,
	"snag": whole(kindSnag, func(n *room.Snag) string { return n.ID.String() }),
	"put_right": func(t *telling) error {
		return t.must(kindSnag, t.about("snag"), members{"done_by": doer{t.line()}, "done_at": doneAt{t.line()}})
	},
	"give_snag": changed(kindSnag, snagKey), "reopen_snag": changed(kindSnag, snagKey),
	"close_snag": func(t *telling) error {
		return t.must(kindSnag, t.about("snag"), members{"closed_by": doer{t.line()}, "closed_at": doneAt{t.line()}})
	},
	string(gate.ActOffer): offer, string(gate.ActSignOff): signOff, string(gate.ActReopen): reopen,
	string(gate.ActWithdraw): withdraw,
	// What is said for the programme is of the job: see said.
	programme.ActPromise: nothingHere, programme.ActPin: nothingHere, programme.ActUnpin: nothingHere,
	programme.ActOwed: nothingHere, programme.ActDropOwed: nothingHere, programme.ActThrough: nothingHere,
	"both": clashed, "refused": clashed, "choose": choose,
}

// nothingHere is an act that says nothing of a room's record.
func nothingHere(*telling) error { return nil }

const timeForm = "2006-01-02T15:04:05.999999999Z07:00"

// about is the id that an entry has under a name.
func (t *telling) about(name string) string {
	text, _ := t.detail[name].(string)
	return text
}

func first(errs ...error) error {
	i := slices.IndexFunc(errs, func(err error) bool { return err != nil })
	if i < 0 {
		return nil
	}
	return errs[i]
}

// whole is an act whose entry has the record as it was written.
func whole[T any](kind string, key func(*T) string) func(*telling) error {
	return func(t *telling) error {
		v, err := deed.Unpack[T](t.Detail)
		if err == nil {
			t.put(kind, key(&v), v, map[string]any(t.detail))
		}
		return err
	}
}

// changed is an act whose entry has a record as it was before and after; key returns
// the record's key, and its name if it may have been read in.
func changed[T any](kind string, key func(*T) (key, name string)) func(*telling) error {
	return func(t *telling) error {
		d, err := deed.Unpack[struct{ Before, After T }](t.Detail)
		if err != nil {
			return err
		}
		of, name := key(&d.Before)
		if t.rows[kind][of] == nil && t.match(kind, of, name, id.Surface{}) == nil && !t.begins(kind) {
			return t.must(kind, of, nil)
		}
		t.put(kind, of, d.After, t.detail["after"])
		return nil
	}
}

// begins reports whether a record may be there without an entry that wrote it: what a
// room is, where it was read in.
func (t *told) begins(kind string) bool { return kind == kindRoom }

func roomKey(*room.Room) (key, name string)           { return "", "" }
func snagKey(n *room.Snag) (key, name string)         { return n.ID.String(), "" }
func positionKey(p *room.Position) (key, name string) { return p.ID.String(), p.Name }

type drawn struct {
	Surfaces []room.Surface
	Datums   []room.Datum
}

func addRoom(t *telling) error {
	d, err := deed.Unpack[struct {
		room.Room
		Drawn *drawn
	}](t.Detail)
	t.begun = true
	t.put(kindRoom, "", d.Room, map[string]any(t.detail))
	t.draw(d.Drawn)
	return err
}

// draw says surfaces with the faces round them; entries of old do not have them.
func (t *telling) draw(d *drawn) {
	if d == nil {
		t.drawn = false
		return
	}
	raw, _ := t.detail["drawn"].(map[string]any)
	surfaces, _ := raw["surfaces"].([]any)
	for i, s := range d.Surfaces {
		t.put(kindSurface, s.ID.String(), s, surfaces[i])
	}
	datums, _ := raw["datums"].([]any)
	for i, face := range d.Datums {
		t.put(kindDatum, face.ID.String(), face, datums[i])
	}
}

func addSurface(t *telling) error {
	d, err := deed.Unpack[struct{ Drawn *drawn }](t.Detail)
	t.draw(d.Drawn)
	return err
}

func renameRoom(t *telling) error {
	d, err := deed.Unpack[deed.Renamed](t.Detail)
	t.some(kindRoom, "", members{"name": d.To})
	return err
}

// importRoom says all that a sheet does. Its records are known by their names: the ids
// are the stored ones as soon as those are known.
func importRoom(t *telling) error {
	var sheet roomsheet.Room
	if err := json.Unmarshal(t.Detail, &sheet); err != nil {
		return err
	}
	r, err := deed.Imported(&sheet, t.Member, t.At)
	if err != nil {
		return err
	}
	t.begun = true
	linked := deed.Linked(&sheet)
	t.put(kindRoom, "", r.Room, nil).known = map[string]bool{"name": true, "use": true, "outline": true, "height": true,
		"wet": true}
	for i := range r.Surfaces {
		t.readIn(kindSurface, r.Surfaces[i].ID.String(), r.Surfaces[i]).unlinked = !linked
	}
	for i := range r.Datums {
		t.readIn(kindDatum, r.Datums[i].ID.String(), r.Datums[i]).unlinked = !linked
	}
	t.matchStored()
	for _, l := range r.Layers {
		key := t.real(l.Surface.String()) + "/" + t.real(l.Datum.String())
		t.some(kindBuildUp, key, members{"layers": append(t.layers(key), layerOf(l.Name, l.Thickness, l.Sigma, l.Stage))})
		t.matchLayer(&l)
	}
	for i := range r.Built {
		t.readIn(kindBuilt, t.real(r.Built[i].Layer.String()), r.Built[i])
	}
	for i := range r.Timbers {
		t.readIn(kindTimber, r.Timbers[i].ID.String(), r.Timbers[i])
	}
	for i := range r.Positions {
		t.readIn(kindPosition, r.Positions[i].ID.String(), r.Positions[i])
	}
	for i := range r.Measurements {
		t.readIn(kindReading, r.Measurements[i].ID.String(), r.Measurements[i])
	}
	return nil
}

func (t *telling) readIn(kind, key string, v any) *row {
	t.first = false
	out := t.put(kind, key, v, nil)
	out.unmatched = kind != kindBuilt
	return out
}

// layerOf is what is said of a planned layer.
func layerOf(name string, thickness, sigma float64, stage words.Stage) any {
	return map[string]any(membersOf(firm.Layer{Name: name, Thickness: thickness, Sigma: sigma, Stage: stage}))
}

func (t *told) layers(key string) []any {
	if r := t.rows[kindBuildUp][key]; r != nil {
		all, _ := r.is["layers"].([]any)
		return all
	}
	return nil
}

func face(surface id.Surface, datum id.Datum) string { return surface.String() + "/" + datum.String() }

func plan(t *telling) error {
	d, err := deed.Unpack[deed.Plan](t.Detail)
	var layers []any
	for _, l := range d.Layers {
		layers = append(layers, layerOf(l.Name, l.Thickness, l.Sigma, l.Stage))
	}
	datums := d.Datums
	if len(datums) == 0 {
		datums = []id.Datum{{}}
	}
	for _, of := range datums {
		t.some(kindBuildUp, face(d.Surface, of), members{"layers": layers})
	}
	return err
}
