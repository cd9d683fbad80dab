package programme

import (
	"fmt"
	"testing"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// monday is the first day of most tests: Monday 30 November 2026, eight o'clock.
var monday = time.Date(2026, 11, 30, 8, 0, 0, 0, time.UTC)

// on is a day of December 2026, or of November where it is over 29.
func on(day int) time.Time {
	if day > 29 {
		return time.Date(2026, 11, day, 0, 0, 0, 0, time.UTC)
	}
	return time.Date(2026, 12, day, 0, 0, 0, 0, time.UTC)
}

// house makes rooms of invented jobs.
type house struct {
	testing.TB
	ids int
	Input
}

func newHouse(t testing.TB) *house {
	return &house{TB: t, Input: Input{Now: monday, Schedules: 200, Draws: 200, Seed: 1}}
}

// nth is an id that is the same in every run.
func nth[T ~[16]byte](h *house) T {
	h.ids++
	return T{6: 0x70, 8: 0x80, 14: byte(h.ids >> 8), 15: byte(h.ids)}
}

// room adds a room of 4 m by 3 m, 2.5 m high: 12 m² of ceiling, 35 m² of walls. Boards and
// skim are planned on its ceiling. Its stages before one are signed off, and it has so
// many downlights.
func (h *house) room(job id.Job, jobName, name string, in words.Stage, downlights int) *room.Record {
	r := &room.Record{Room: room.Room{ID: nth[id.Room](h), Job: job, Name: name, Height: 2500,
		Outline: room4x3}, JobName: jobName}
	ceiling := room.Surface{ID: nth[id.Surface](h), Name: "ceiling", Kind: "ceiling", Outline: r.Outline, Place: 1}
	r.Surfaces = append(r.Surfaces, ceiling)
	for i, s := range []words.Stage{words.Boarding, words.Plaster} {
		r.Layers = append(r.Layers, room.Layer{ID: nth[id.Layer](h), Surface: ceiling.ID, Place: i + 1,
			Name: []string{"boards", "skim"}[i], Thickness: []float64{12.5, 3}[i], Stage: s})
	}
	for i := range downlights {
		r.Positions = append(r.Positions, room.Position{ID: nth[id.Position](h), Surface: ceiling.ID,
			Name: fmt.Sprintf("D%d", i+1), Kind: "downlight", AddedAt: monday.AddDate(0, 0, -60)})
	}
	for _, s := range words.Stages {
		r.Gates[s] = room.Gate{Stage: s, State: words.Waiting}
		if s < in {
			r.Gates[s].State, r.Gates[s].SignedAt = words.SignedOff, monday.AddDate(0, 0, int(s-in)*10)
		}
	}
	r.Gates[in].State = words.InHand
	h.Rooms = append(h.Rooms, h.stand(r))
	return r
}

var room4x3 = []roomsheet.Point{{0, 0}, {4000, 0}, {4000, 3000}, {0, 3000}}

// stand works a record out again, after it was changed.
func (h *house) stand(r *room.Record) *standing.Standing {
	h.Helper()
	j, err := standing.Of(r, h.Now)
	if err != nil {
		h.Fatal(err)
	}
	for i := range h.Rooms {
		if h.Rooms[i].Record == r {
			h.Rooms[i] = j
		}
	}
	return j
}

func (h *house) crew(t words.Trade, name string, people int) id.Crew {
	c := Crew{ID: nth[id.Crew](h), Trade: t, Name: name, People: people}
	h.Crews = append(h.Crews, c)
	return c.ID
}

func (h *house) make() *Programme {
	h.Helper()
	p, err := Make(h.Input)
	if err != nil {
		h.Fatal(err)
	}
	return p
}

// exact makes the rates the same however they are drawn: slots for a unit.
func (h *house) exact(t words.Trade, s words.Stage, each float64) {
	h.Rates = append(h.Rates, Rate{t, s, each, each, each})
}
