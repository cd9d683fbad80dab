package scenario

import (
	"fmt"
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// story is one room and what happens in it.
type story struct {
	*site
	name  string
	job   *job.Job
	truth truth
	at    *standing.Standing // as the last act left it
}

func (s *site) room(of *job.Job, name string) *story {
	return &story{site: s, name: name, job: of, truth: newTruth()}
}

// on says what happens in the room on the n-th working day before today.
func (s *story) on(n int, clock string, acts ...act) {
	s.steps = append(s.steps, step{s.clock.before(n, clock), s.name, acts})
}

// left keeps the room as an act left it.
func (s *story) left(j *standing.Standing, err error) error {
	if err == nil {
		s.at = j
	}
	return err
}

// of returns the room's id; it is there from draw on.
func (s *story) of() id.Room { return s.at.Record.ID }

// draw draws the room, of which use "" says nothing.
func (s *story) draw(use words.Use, place int, height float64, outline []roomsheet.Point,
	surfaces ...room.SurfaceDraft) act {
	return s.drawn(room.Draft{Place: place, Use: use, Height: height, Outline: outline, Surfaces: surfaces})
}

func (s *story) drawn(d room.Draft) act {
	return func() error {
		d.Job, d.Name = s.job.ID, s.name
		return s.left(s.Desk.Create(s.ctx, s.foreman, d))
	}
}

func box(w, h float64) []roomsheet.Point { return []roomsheet.Point{{0, 0}, {w, 0}, {w, h}, {0, h}} }

var overhead = room.SurfaceDraft{Kind: "ceiling"}

// plan plans a standard build-up on faces of a surface; on the surface itself
// where none is named.
func (s *story) plan(surface, standard string, faces ...string) act {
	return func() error {
		on, err := s.surface(surface)
		if err != nil {
			return err
		}
		p := deed.Plan{Surface: on.ID, Layers: layersOf(standard)}
		for _, name := range faces {
			d, err := s.datum(surface, name)
			if err != nil {
				return err
			}
			p.Datums = append(p.Datums, d.ID)
		}
		return s.left(s.Desk.Do(s.ctx, s.foreman, s.of(), p))
	}
}

func (s *story) staysBare(surface, face string) act {
	return func() error {
		d, err := s.datum(surface, face)
		if err != nil {
			return err
		}
		return s.left(s.Desk.Do(s.ctx, s.foreman, s.of(), deed.StaysBare{Datum: d.ID, Stays: true}))
	}
}

// line and stack draw what no layer covers.
func (s *story) line(surface, name string, a, b roomsheet.Point) act {
	return s.datumAct(surface, room.Datum{Name: name, Kind: words.Line, A: a, B: b})
}

func (s *story) stack(surface, name string, at roomsheet.Point) act {
	return s.datumAct(surface, room.Datum{Name: name, Kind: words.Point, A: at})
}

func (s *story) datumAct(surface string, d room.Datum) act {
	return func() error {
		on, err := s.surface(surface)
		if err != nil {
			return err
		}
		d.Surface = on.ID
		return s.left(s.Desk.Do(s.ctx, s.foreman, s.of(), deed.AddDatum{Datum: d}))
	}
}

// timbers draws a run of them across a surface, running up the sheet.
func (s *story) timbers(surface, prefix string, first, spacing, width, depth float64) act {
	return func() error {
		on, err := s.surface(surface)
		if err != nil {
			return err
		}
		run, err := room.Joists(on.Outline, false, first, spacing, width, depth)
		if err != nil {
			return err
		}
		for i := range run {
			run[i].Surface, run[i].Name = on.ID, prefix+run[i].Name[1:]
		}
		return s.left(s.Desk.Do(s.ctx, s.electrician, s.of(), deed.AddTimbers{Timbers: run}))
	}
}

// way records where a cable goes through the timbers.
func (s *story) way(by *firm.Person, surface string, w room.Way) act {
	return func() error {
		on, err := s.surface(surface)
		if err != nil {
			return err
		}
		w.Surface = on.ID
		return s.left(s.Desk.Do(s.ctx, *by, s.of(), deed.AddWay{Way: w}))
	}
}

// schedule puts positions on the schedule, written as people paste them.
func (s *story) schedule(surface, lines string) act {
	return func() error {
		on, err := s.surface(surface)
		if err != nil {
			return err
		}
		drafts, err := room.ParseSchedule(lines)
		if err != nil {
			return err
		}
		return s.left(s.Desk.Do(s.ctx, s.foreman, s.of(), deed.Schedule{Surface: on.ID, Positions: drafts, Reopen: true}))
	}
}

// slip is what is wrong with a reading on purpose.
type slip struct {
	off      float64 // mm too much
	unstated bool    // nobody wrote down the state of the wall
}

// tape takes offsets of positions ("D1 D2") from datums by tape, in the states
// of that day.
func (s *story) tape(by *firm.Person, positions string, datums ...string) act {
	return s.reading(by, slip{}, positions, datums...)
}

// misread is tape by somebody who reads the tape wrong.
func (s *story) misread(by *firm.Person, off float64, position, datum string) act {
	return s.reading(by, slip{off: off}, position, datum)
}

// unstated is tape by somebody who does not write down what was on the wall.
func (s *story) unstated(by *firm.Person, position, datum string) act {
	return s.reading(by, slip{unstated: true}, position, datum)
}

func (s *story) reading(by *firm.Person, wrong slip, positions string, datums ...string) act {
	return func() error {
		for _, name := range strings.Fields(positions) {
			p, surface, err := s.position(name)
			if err != nil {
				return err
			}
			for _, datum := range datums {
				d, err := s.datum(surface, datum)
				if err != nil {
					return err
				}
				value, state, surfaceState := s.offset(p, d)
				if wrong.unstated {
					state = ""
				}
				v, err := s.Desk.Verdict(s.ctx, *by, s.of(),
					deed.Measure{Reading: room.Reading{Kind: words.Offset, Of: p.ID, From: d.ID, State: state,
						SurfaceState: surfaceState, Value: whole(value + wrong.off + s.normal(tapeNoise)), By: "tape"}})
				if err != nil {
					return fmt.Errorf("%s from the %s: %w", name, datum, err)
				}
				s.at = v.Standing
			}
		}
		return nil
	}
}

func (s *story) offer(by *firm.Person, stage words.Stage) act {
	return func() error { return s.left(s.Desk.Do(s.ctx, *by, s.of(), deed.Offer{Stage: stage})) }
}

// sign signs a stage off; every soft obstacle is accepted for the reason given.
func (s *story) sign(stage words.Stage, reason string) act {
	return func() error {
		var accepted []gate.Acceptance
		for _, o := range s.at.Obstacles(stage) {
			if !o.Hard {
				accepted = append(accepted, gate.Acceptance{Code: o.Code, About: o.About, Wrong: o.Wrong, Reason: reason})
			}
		}
		return s.left(s.Desk.Do(s.ctx, s.foreman, s.of(), deed.SignOff{Stage: stage,
			Revision: s.at.Record.Revision, Accepted: accepted}))
	}
}
