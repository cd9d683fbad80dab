package gate

import "lathmark/domain/words"

// Ways of going over a record that the rules share. Each calls its function on
// one record after the other and makes an obstacle of every one for which it
// says what is wrong.

// eachPosition leaves out the positions that the client gave up.
func (r *Record) eachPosition(check func(*Position) (wrong, mend string)) []Obstacle {
	var out []Obstacle
	for i := range r.Positions {
		p := &r.Positions[i]
		if p.Omitted() {
			continue
		}
		if wrong, mend := check(p); wrong != "" {
			out = append(out, Obstacle{About: About{KindPosition, string(p.ID), p.Name},
				Wrong: wrong, Mend: mend, Trade: p.trade(), Surface: p.Surface})
		}
	}
	return out
}

func (r *Record) eachMeasurement(check func(*Measurement) (wrong, mend string)) []Obstacle {
	var out []Obstacle
	for i := range r.Measurements {
		m := &r.Measurements[i]
		wrong, mend := check(m)
		if wrong == "" {
			continue
		}
		o := Obstacle{About: About{KindMeasurement, string(m.ID), r.nameOf(m)}, Wrong: wrong, Mend: mend, Trade: words.Foreman}
		if p := r.position(m.Position); p != nil {
			o.Trade, o.Surface = p.trade(), p.Surface
		} else if len(m.Ends) > 0 {
			if d := r.datum(m.Ends[0].Datum); d != nil {
				o.Surface = d.Surface
			}
		}
		out = append(out, o)
	}
	return out
}

// eachLayer goes over the layers of stage s on the used faces.
func (r *Record) eachLayer(s words.Stage, check func(*Datum, *Layer) (wrong, mend string)) []Obstacle {
	var out []Obstacle
	for _, d := range r.usedFaces() {
		for i := range d.Layers {
			l := &d.Layers[i]
			if l.Stage != s {
				continue
			}
			if wrong, mend := check(d, l); wrong != "" {
				out = append(out, Obstacle{About: About{KindLayer, string(d.ID) + "/" + string(l.ID),
					l.Name + " on " + words.InWords(d.Name)},
					Wrong: wrong, Mend: mend, Trade: l.trade(), Surface: d.Surface})
			}
		}
	}
	return out
}

// eachOpening includes the holes of positions given up since: a hole in a
// ceiling has to be made good whether the lamp still comes or not.
func (r *Record) eachOpening(check func(*Opening, *Position) (wrong, mend string, who words.Trade)) []Obstacle {
	var out []Obstacle
	for i := range r.Openings {
		o := &r.Openings[i]
		p := r.position(o.Position)
		if p == nil {
			p = &Position{ID: o.Position, Name: string(o.Position)}
		}
		if wrong, mend, who := check(o, p); wrong != "" {
			out = append(out, Obstacle{About: About{KindOpening, string(o.ID), "hole at " + p.Name},
				Wrong: wrong, Mend: mend, Trade: who, Surface: p.Surface})
		}
	}
	return out
}

// usedFaces are the faces that a measurement refers to.
func (r *Record) usedFaces() []*Datum {
	used := map[DatumID]bool{}
	for _, m := range r.Measurements {
		for _, e := range m.Ends {
			used[e.Datum] = true
		}
	}
	var out []*Datum
	for i := range r.Datums {
		if d := &r.Datums[i]; d.Kind == words.Face && used[d.ID] {
			out = append(out, d)
		}
	}
	return out
}

func (r *Record) position(id PositionID) *Position {
	for i := range r.Positions {
		if r.Positions[i].ID == id {
			return &r.Positions[i]
		}
	}
	return nil
}

func (r *Record) datum(id DatumID) *Datum {
	for i := range r.Datums {
		if r.Datums[i].ID == id {
			return &r.Datums[i]
		}
	}
	return nil
}

func (r *Record) hasPosition(id SurfaceID) bool {
	for i := range r.Positions {
		if p := &r.Positions[i]; p.Surface == id && !p.Omitted() {
			return true
		}
	}
	return false
}

func (d *Datum) about() About { return About{KindDatum, string(d.ID), d.Name} }

// nameOf tells a measurement by what it joins: "D4 from the south wall".
func (r *Record) nameOf(m *Measurement) string {
	name := "the " + string(m.Kind)
	if p := r.position(m.Position); p != nil {
		name = p.Name
	}
	if p := r.position(m.To); p != nil {
		name += " to " + p.Name
	}
	for i, e := range m.Ends {
		d := r.datum(e.Datum)
		switch {
		case d == nil:
		case i == 0:
			name += " from " + words.InWords(d.Name)
		default:
			name += " to " + words.InWords(d.Name)
		}
	}
	return name
}
