package scenario

import (
	"fmt"
	"math"
	"strings"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/photo"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
	"lathmark/server/picture"
)

func whole(x float64) float64 { return math.Round(x) }

// seen sees tails free; "" is all that are on the schedule.
func (s *story) seen(by *firm.Person, positions string) act {
	return func() error {
		names := strings.Fields(positions)
		if len(names) == 0 {
			for _, p := range s.at.Record.Positions {
				names = append(names, p.Name)
			}
		}
		for _, name := range names {
			p, _, err := s.position(name)
			if err != nil {
				return err
			}
			if err := s.left(s.Desk.Do(s.ctx, *by, s.of(), deed.SeeTails{Positions: []id.Position{p.ID}})); err != nil {
				return err
			}
		}
		return nil
	}
}

// photo takes a photo of an open surface. It is drawn, like all that is here.
func (s *story) photo(surface string) act {
	return func() error {
		on, err := s.surface(surface)
		if err != nil {
			return err
		}
		var timbers []room.Timber
		for _, t := range s.at.Record.Timbers {
			if t.Surface == on.ID {
				timbers = append(timbers, t)
			}
		}
		var tails []roomsheet.Point
		for _, p := range s.at.Record.Positions {
			if at, known := s.truth.tails[p.ID]; known && p.Surface == on.ID {
				tails = append(tails, at)
			}
		}
		taken, err := picture.Make(scene(on, timbers, tails), 1)
		if err != nil {
			return err
		}
		return s.left(s.Photo.Take(s.ctx, s.foreman, s.of(),
			photo.Draft{TakePhoto: deed.TakePhoto{Surface: on.ID, Says: "every tail with a flag of tape, before the boards"},
				Picture: taken}))
	}
}

// putOn records the thickness of a layer on faces, by rule; on every face that has
// it planned where none is named, and then on the surface itself too. A wall that
// was measured where it is drawn elsewhere has it already.
func (s *story) putOn(by *firm.Person, surface, layer string, faces ...string) act {
	return func() error {
		all := len(faces) == 0
		names := faces
		if all {
			for _, d := range s.at.Record.Datums {
				layers := s.at.Record.LayersOf(d.Surface, d.ID)
				if on, err := s.at.Record.Surface(d.Surface); err == nil && on.Name == surface && has(layers, layer) &&
					s.at.Record.Now(layers) != layer {
					names = append(names, d.Name)
				}
			}
		}
		for _, name := range names {
			if err := s.face(by, surface, name, layer, 0); err != nil {
				return fmt.Errorf("%s on the %s: %w", layer, name, err)
			}
		}
		on, err := s.surface(surface)
		if err != nil || !all {
			return err
		}
		own := s.at.Record.LayersOf(on.ID, id.Datum{})
		for i := range own {
			if own[i].Name == layer && s.at.Record.Now(own) != layer {
				thick := math.Max(1, whole(2*(s.thick(&own[i])+s.normal(ruleNoise)))/2)
				return s.left(s.Desk.Do(s.ctx, *by, s.of(),
					deed.PutOn{List: []deed.Coat{{Surface: on.ID, Through: layer, Thickness: thick, By: "rule"}}}))
			}
		}
		return nil
	}
}

// putOnThick is putOn where the wall asked for more than was planned.
func (s *story) putOnThick(by *firm.Person, surface, face, layer string, thickness float64) act {
	return func() error { return s.face(by, surface, face, layer, thickness) }
}

func (s *story) face(by *firm.Person, surface, name, layer string, thickness float64) error {
	d, err := s.datum(surface, name)
	if err != nil {
		return err
	}
	layers := s.at.Record.LayersOf(d.Surface, d.ID)
	from := s.at.Record.Now(layers)
	for i := range layers {
		if layers[i].Name == layer && thickness > 0 {
			s.truth.layers[layers[i].ID] = thickness
		}
	}
	thick := s.cover(layers, layer) - s.cover(layers, from) + s.normal(ruleNoise)
	return s.left(s.Desk.Do(s.ctx, *by, s.of(), deed.PutOn{List: []deed.Coat{{Datum: d.ID, Through: layer, From: from,
		Thickness: math.Max(1, whole(thick)), By: "rule"}}}))
}

func has(layers []room.Layer, name string) bool {
	for _, l := range layers {
		if l.Name == name {
			return true
		}
	}
	return false
}

func (s *story) finished(by *firm.Person, of words.Stage) act {
	return func() error { return s.left(s.Desk.Do(s.ctx, *by, s.of(), deed.Finish{Stage: of, On: s.clock.at})) }
}

// found opens a hole in which the tail is where the set-out has it, and writes
// down where it was.
func (s *story) found(by *firm.Person, position string) act {
	return s.open(by, position, words.Found, "", false)
}

// open opens a hole. A tail that was found or hooked out is measured from the
// two datums that the hole was marked from.
func (s *story) open(by *firm.Person, position string, outcome words.Outcome, says string, owe bool) act {
	return func() error {
		p, _, err := s.position(position)
		if err != nil {
			return err
		}
		h := deed.Hole{Position: p.ID, Outcome: outcome, Says: says, OwePatch: owe}
		if a, _ := s.at.Position(p.ID); !outcome.Lost() && a != nil && a.Mark != nil {
			var on []*room.Datum
			for i := range s.at.Record.Datums {
				if d := &s.at.Record.Datums[i]; d.Surface == p.Surface {
					on = append(on, d)
				}
			}
			for _, k := range a.Mark.From {
				value, _, _ := s.offset(p, on[k])
				h.Tail = append(h.Tail, deed.TailAt{From: on[k].ID, Value: whole(value + s.normal(tailNoise)), By: "tape"})
			}
		}
		return s.left(s.Desk.Do(s.ctx, *by, s.of(), deed.OpenHole{Hole: h}))
	}
}

// hole returns the last hole that was cut at a position.
func (s *story) hole(position string) (id.Opening, error) {
	p, _, err := s.position(position)
	if err != nil {
		return id.Opening{}, err
	}
	last := id.Opening{}
	for _, o := range s.at.Record.Openings {
		if o.Position == p.ID && o.Outcome.Lost() {
			last = o.ID
		}
	}
	if last.IsZero() {
		return last, fmt.Errorf("%s has no lost hole", position)
	}
	return last, nil
}

// filled fills the patch of a lost hole, dry from days later.
func (s *story) filled(position string, days int) act {
	return func() error {
		o, err := s.hole(position)
		if err != nil {
			return err
		}
		if err := s.left(s.Desk.Do(s.ctx, s.decorator, s.of(), deed.FillPatch{Opening: o, At: time.Time{},
			DryUnknown: true})); err != nil {
			return err
		}
		return s.left(s.Desk.Do(s.ctx, s.decorator, s.of(), deed.DryPatch{Opening: o, At: s.clock.at.AddDate(0, 0, days)}))
	}
}

func (s *story) hold(position, why string) act {
	return func() error {
		p, _, err := s.position(position)
		if err != nil {
			return err
		}
		return s.left(s.Desk.Do(s.ctx, s.foreman, s.of(), deed.Hold{Position: p.ID, Version: 0, Why: why}))
	}
}

func (s *story) omit(position, why string) act {
	return func() error {
		p, _, err := s.position(position)
		if err != nil {
			return err
		}
		return s.left(s.Desk.Do(s.ctx, s.foreman, s.of(), deed.Omit{Position: p.ID, Version: 0, Why: why}))
	}
}

func (s *story) snag(by *firm.Person, says string, trade words.Trade) act {
	return func() error {
		return s.left(s.Desk.Do(s.ctx, *by, s.of(), deed.NoteSnag{Snag: room.Snag{Says: says, Trade: trade}}))
	}
}

// mended puts right the snag that was noted first of those that are open, and has the
// foreman look at it and close it.
func (s *story) mended(by *firm.Person) act {
	return func() error {
		for _, n := range s.at.Record.Snags {
			if n.ClosedAt.IsZero() {
				if err := s.left(s.Desk.Do(s.ctx, *by, s.of(), deed.CloseSnag{Snag: n.ID})); err != nil {
					return err
				}
				return s.left(s.Desk.Do(s.ctx, s.foreman, s.of(), deed.CloseSnag{Snag: n.ID}))
			}
		}
		return fmt.Errorf("%s has no open snag", s.name)
	}
}
