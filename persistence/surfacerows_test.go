package persistence_test

import (
	"lathmark/domain/id"
	"lathmark/domain/words"
)

type row map[string]any

// rows are the surface's rows by table.
func (m *measured) rows() map[string][]row {
	firm, in := id.New[id.Firm](), id.New[id.Room]()
	out := map[string][]row{}
	add := func(table string, r row) {
		r["firm_id"], r["room_id"] = firm, in
		if table != "as_built" && table != "surface" {
			r["surface_id"] = m.Surfaces[0].ID
		}
		for k, v := range r {
			if v == 0.0 && (k == "sigma_mm") {
				r[k] = nil
			}
		}
		out[table] = append(out[table], r)
	}
	add("surface", row{"id": m.Surfaces[0].ID, "name": m.Surfaces[0].Name, "kind": "ceiling", "place": 1, "pitch": 0,
		"outline": [][]int{{0, 0}, {900, 0}, {0, 900}}})
	for i, d := range m.Datums {
		r := row{"id": d.ID, "name": d.Name, "kind": d.Kind, "place": i, "au": d.A[0], "av": d.A[1], "sigma_mm": d.Sigma,
			"lean": d.Lean, "stays_bare": false}
		if d.Kind != words.Point {
			r["bu"], r["bv"] = d.B[0], d.B[1]
		}
		add("datum", r)
	}
	for _, l := range m.Layers {
		add("layer", row{"id": l.ID, "datum_id": orNull(l.Datum), "place": l.Place, "name": l.Name,
			"thickness_mm": l.Thickness,
			"sigma_mm":     l.Sigma, "stage": l.Stage.Code()})
	}
	for _, b := range m.Built {
		add("as_built", row{"layer_id": b.Layer, "stage": b.Stage.Code(), "thickness_mm": b.Thickness, "sigma_mm": b.Sigma,
			"put_on": "2026-03-02", "recorded_at": "2026-03-02"})
	}
	for _, p := range m.Positions {
		add("position", row{"id": p.ID, "name": p.Name, "kind": "", "trade": "electrician", "cutout_mm": 0,
			"added_at": "2026-03-02", "held": false, "held_why": "", "omitted_why": "", "version": 1})
	}
	for _, z := range m.Measurements {
		r := row{"id": z.ID, "name": z.Name, "kind": z.Kind, "stage": "first_fix", "of_id": orNull(z.Of),
			"to_position_id": orNull(z.ToPosition), "from_id": orNull(z.From), "to_id": orNull(z.To),
			"state_known": z.State != "", "state_id": m.layer(z.From, z.State), "to_state_known": z.ToState != "" ||
				z.To.IsZero(),
			"to_state_id": m.layer(z.To, z.ToState), "from_state_id": m.layer(z.From, z.FromState),
			"surface_state_id": m.layer(id.Datum{}, z.SurfaceState), "value_mm": z.Value, "sigma_mm": z.Sigma,
			"instrument": z.By, "taken_at": "2026-03-02", "struck_why": z.StruckWhy, "version": 1}
		if !z.Stands() {
			r["struck_at"] = z.StruckAt
		}
		add("measurement", r)
	}
	return out
}

// layer is the id of a layer of a face, or of the surface itself; nil for none.
func (m *measured) layer(of id.Datum, name string) any {
	for _, l := range m.Layers {
		if l.Datum == of && l.Name == name {
			return l.ID
		}
	}
	return nil
}

func orNull[T ~[16]byte](v T) any {
	if v == *new(T) {
		return nil
	}
	return v
}
