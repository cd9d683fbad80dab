package gate

import (
	"fmt"
	"slices"

	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// Ways of going over a record that the rules share. Each calls its function on
// one row after the other and makes an obstacle of every one for which it says
// what is wrong.

func about(k Kind, of fmt.Stringer, name string) About { return About{k, of.String(), name} }

// eachPosition leaves out the positions that the client gave up.
func (j *Judged) eachPosition(check func(*room.Position, *geometry.PositionAnswer) (wrong, mend string)) []Obstacle {
	var out []Obstacle
	for i := range j.Positions {
		p := &j.Positions[i]
		if !p.OmittedAt.IsZero() {
			continue
		}
		a, _ := j.says.Position(p.ID)
		if wrong, mend := check(p, a); wrong != "" {
			out = append(out, Obstacle{About: about(KindPosition, p.ID, p.Name),
				Wrong: wrong, Mend: mend, Trade: TradeOf(p), Surface: p.Surface})
		}
	}
	return out
}

// eachMeasurement leaves out those that were struck out.
func (j *Judged) eachMeasurement(check func(*room.Measurement) (wrong, mend string)) []Obstacle {
	var out []Obstacle
	for i := range j.Measurements {
		m := &j.Measurements[i]
		if !m.Stands() {
			continue
		}
		if wrong, mend := check(m); wrong != "" {
			out = append(out, j.ofMeasurement(m, wrong, mend))
		}
	}
	return out
}

func (j *Judged) ofMeasurement(m *room.Measurement, wrong, mend string) Obstacle {
	o := Obstacle{About: about(KindMeasurement, m.ID, j.nameOf(m)), Wrong: wrong, Mend: mend, Trade: words.Foreman}
	if p, err := j.Position(m.Of); err == nil {
		o.Trade, o.Surface = TradeOf(p), p.Surface
	} else if d, err := j.Datum(m.From); err == nil {
		o.Surface = d.Surface
	}
	return o
}

// eachLayer goes over the layers of stage s on the used faces.
func (j *Judged) eachLayer(s words.Stage, check func(*room.Datum, *room.Layer) (wrong, mend string)) []Obstacle {
	var out []Obstacle
	for _, d := range j.usedFaces() {
		for _, l := range j.LayersOf(d.Surface, d.ID) {
			if l.Stage != s {
				continue
			}
			if wrong, mend := check(d, &l); wrong != "" {
				out = append(out, Obstacle{About: About{KindLayer, d.ID.String() + "/" + l.ID.String(),
					l.Name + " on " + words.InWords(d.Name)},
					Wrong: wrong, Mend: mend, Trade: words.TradeOfLayer(l.Name, l.Stage), Surface: d.Surface})
			}
		}
	}
	return out
}

// eachOpening includes the holes of positions given up since: a hole in a
// ceiling has to be made good whether the lamp still comes or not.
func (j *Judged) eachOpening(check func(*room.Opening, *room.Position) (wrong, mend string,
	who words.Trade)) []Obstacle {
	var out []Obstacle
	for i := range j.Openings {
		o := &j.Openings[i]
		p, err := j.Position(o.Position)
		if err != nil {
			p = &room.Position{ID: o.Position, Name: o.Position.String()}
		}
		if wrong, mend, who := check(o, p); wrong != "" {
			out = append(out, Obstacle{About: about(KindOpening, o.ID, "hole at "+p.Name),
				Wrong: wrong, Mend: mend, Trade: who, Surface: p.Surface})
		}
	}
	return out
}

// usedFaces are the faces that a measurement which stands refers to, surface by
// surface.
func (j *Judged) usedFaces() []*room.Datum {
	used := map[id.Datum]bool{}
	for i := range j.Measurements {
		if m := &j.Measurements[i]; m.Stands() {
			used[m.From], used[m.To] = true, true
		}
	}
	var out []*room.Datum
	for _, s := range j.Surfaces {
		for i := range j.Datums {
			if d := &j.Datums[i]; d.Surface == s.ID && d.Kind == words.Face && used[d.ID] {
				out = append(out, d)
			}
		}
	}
	return out
}

// covered reports whether layers are planned on a datum.
func (j *Judged) covered(d *room.Datum) bool {
	return d.Kind == words.Face && slices.ContainsFunc(j.Layers, func(l room.Layer) bool { return l.Datum == d.ID })
}

// TradeOf is whose tail a position is.
func TradeOf(p *room.Position) words.Trade {
	if p.Trade != "" {
		return p.Trade
	}
	return words.TradeOfKind(p.Kind)
}

// nameOf tells a measurement by what it joins: "D4 from the south wall".
func (j *Judged) nameOf(m *room.Measurement) string {
	name := "the " + string(m.Kind)
	if p, err := j.Position(m.Of); err == nil {
		name = p.Name
	}
	if p, err := j.Position(m.ToPosition); err == nil {
		name += " to " + p.Name
	}
	if d, err := j.Datum(m.From); err == nil {
		name += " from " + words.InWords(d.Name)
	}
	if d, err := j.Datum(m.To); err == nil {
		name += " to " + words.InWords(d.Name)
	}
	return name
}
