package gate

import (
	"strings"
	"time"

	"lathmark/domain/advice"
	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"

	"github.com/google/uuid"
)

// The days of the tests: a room of our own, first fix in spring.
func day(n int) time.Time { return time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC).AddDate(0, 0, n) }

var today = day(60)

// ref is an id that a test can read.
func ref[T ~[16]byte](name string) (out T) {
	copy(out[:], name)
	return out
}

// plain is what an obstacle is about, with its ids as ref was given them.
func plain(a About) About {
	parts := strings.Split(a.ID, "/")
	for i, part := range parts {
		if u, err := uuid.Parse(part); err == nil {
			parts[i] = strings.TrimRight(string(u[:]), "\x00")
		}
	}
	a.ID = strings.Join(parts, "/")
	return a
}

// sample is a room with a stand-in for the geometry, which says what it is told to.
type sample struct {
	*room.Record
	places  map[id.Position]*geometry.PositionAnswer
	suspect map[id.Measurement]string // the state that it reads as
	built   map[id.Layer][2]float64   // thickness, sigmas
}

func newSample(name string, gates Gates) *sample {
	return &sample{&room.Record{Room: room.Room{Name: name}, Gates: gates}, map[id.Position]*geometry.PositionAnswer{},
		map[id.Measurement]string{}, map[id.Layer][2]float64{}}
}

func judge(r *sample, now time.Time) *Judged { return Judge(r.Record, r, now) }

// says is the answer for a position, by its place on the schedule.
func (r *sample) says(i int) *geometry.PositionAnswer {
	a, _ := r.Position(r.Positions[i].ID)
	return a
}

func (r *sample) Position(of id.Position) (*geometry.PositionAnswer, *roomsheet.Solved) {
	if r.places[of] == nil {
		r.places[of] = &geometry.PositionAnswer{}
	}
	return r.places[of], &roomsheet.Solved{Surface: &roomsheet.Surface{Timbers: []roomsheet.Timber{{ID: "J1"},
		{ID: "J2"}}}}
}

// Hole says that a trade's first position of the schedule that is not left out is
// its proof.
func (r *sample) Hole(of id.Position) *advice.Hole {
	p, err := r.Record.Position(of)
	if err != nil {
		return nil
	}
	for i := range r.Positions {
		if q := &r.Positions[i]; TradeOf(q) == TradeOf(p) && !q.Held && q.OmittedAt.IsZero() {
			return &advice.Hole{First: q.ID == of}
		}
	}
	return nil
}

func (r *sample) Measurement(of id.Measurement) *geometry.MeasurementAnswer {
	_, is := r.suspect[of]
	return &geometry.MeasurementAnswer{Suspect: is}
}

func (r *sample) ReadsAs(m *room.Measurement) string { return r.suspect[m.ID] }

func (r *sample) Built(of id.Layer) (thickness, sigmas float64) {
	return r.built[of][0], r.built[of][1]
}

// thickness is a reading of what is on the south wall.
func thickness(state, from string, mm float64) room.Measurement {
	return room.Measurement{ID: ref[id.Measurement]("t" + state), Kind: words.Thickness, From: ref[id.Datum]("s"),
		State: state, FromState: from, Value: mm, By: "rule", TakenAt: day(9)}
}

// again is a second reading of the same thing as the room's reading k, which is one of
// mm; it came in with a stage.
func (r *sample) again(k int, mm, second float64, with words.Stage) {
	r.Measurements[k].Value, r.Measurements[k].TakenAt = mm, day(0)
	m := r.Measurements[k]
	m.ID, m.Value, m.TakenAt, m.Stage = ref[id.Measurement]("again"), second, day(1), with
	r.Measurements = append(r.Measurements, m)
}

// newGates are the gates of a new room: first fix in hand, the others waiting.
func newGates() Gates { return Gates{}.follow(words.FirstFix).inHand() }

func (g Gates) inHand() Gates {
	g[words.FirstFix].State = words.InHand
	return g
}

// seen are the tails of the positions, seen free from a day on, one a day.
func (r *sample) seen(from, each int) {
	r.Seen = nil
	for i, p := range r.Positions {
		r.Seen = append(r.Seen, room.TailSeen{Position: p.ID, At: day(from + i*each)})
	}
}

// finished is the day on which the plaster was finished; its skim can be dry three days later.
func (r *sample) finished(on time.Time) {
	r.Finished = []room.Finished{{Stage: words.Plaster, On: words.Zone("UTC").Day(on)}}
}

// patch is that of the room's hole k.
func (r *sample) patch(k int, filled, dry time.Time) {
	r.Patches = []room.Patch{{Opening: r.Openings[k].ID, FilledAt: filled, DryAt: dry}}
}

// proved says when each outcome was written down, so that the first hole proved the set-out then.
func (r *sample) proved(at time.Time) {
	for i := range r.Openings {
		r.Openings[i].RecordedAt = at
	}
}

// done is a utility with everything done: every rule of every stage is met.
func done() *sample {
	r := newSample("Utility", Gates{})
	c := ref[id.Surface]("c")
	r.Surfaces = []room.Surface{{ID: c, Name: "ceiling"}}
	r.Photos = []room.Photo{{ID: ref[id.Photo]("1"), Surface: c}, {ID: ref[id.Photo]("2"), Surface: c}}
	r.Datums = []room.Datum{
		{ID: ref[id.Datum]("s"), Surface: c, Name: "South wall", Kind: words.Face},
		{ID: ref[id.Datum]("w"), Surface: c, Name: "West wall", Kind: words.Face, StaysBare: true},
		{ID: ref[id.Datum]("f"), Surface: c, Name: "flange", Kind: words.Line},
	}
	r.Layers = []room.Layer{
		{ID: ref[id.Layer]("b"), Surface: c, Datum: r.Datums[0].ID, Name: "board", Place: 1, Stage: words.Boarding,
			Thickness: 25},
		{ID: ref[id.Layer]("k"), Surface: c, Datum: r.Datums[0].ID, Name: "skim", Place: 2, Stage: words.Plaster,
			Thickness: 3}}
	r.Record.Built = []room.AsBuilt{{Layer: r.Layers[0].ID}, {Layer: r.Layers[1].ID}}
	r.built[r.Layers[0].ID] = [2]float64{27, 0.4}
	r.finished(day(20))
	for i, name := range []string{"D1", "D2", "W3"} {
		kind := "downlight"
		if name == "W3" {
			kind = "waste"
		}
		p := room.Position{ID: ref[id.Position](name), Surface: c, Name: name, Kind: kind, Cutout: 76, AddedAt: day(0)}
		r.Positions = append(r.Positions, p)
		r.places[p.ID] = &geometry.PositionAnswer{Determinate: true, Checked: true}
		for _, d := range r.Datums {
			r.Measurements = append(r.Measurements, room.Measurement{
				ID: ref[id.Measurement](name + strings.TrimRight(string(d.ID[:]), "\x00")), Kind: words.Offset, Of: p.ID,
				From: d.ID, State: "bare"})
		}
		r.Openings = append(r.Openings, room.Opening{ID: ref[id.Opening]("o" + name), Position: p.ID, At: day(30 + i),
			Outcome: words.Found})
	}
	r.Measurements = append(r.Measurements, thickness("board", "", 27), thickness("skim", "board", 3))
	r.seen(8, 0)
	r.proved(day(30))
	for _, s := range words.Stages {
		r.Gates[s] = room.Gate{Stage: s, State: words.SignedOff, SignedAt: day(7 + 10*int(s)), Initials: "MK"}
	}
	return r
}

// at is the room of done with everything still to do from stage s on, s being
// in the state given.
func at(s words.Stage, is words.State) *sample {
	r := done()
	r.Gates[s] = room.Gate{Stage: s, State: is}
	for _, later := range s.After() {
		r.Gates[later] = room.Gate{Stage: later, State: words.Waiting}
	}
	if s <= words.SecondFix {
		r.Openings = nil
	}
	if s <= words.Plaster {
		r.Finished, r.Record.Built = nil, r.Record.Built[:1]
		r.Measurements = r.Measurements[:len(r.Measurements)-1]
	}
	if s <= words.Boarding {
		r.Record.Built, r.Seen = nil, nil
		r.Measurements = r.Measurements[:len(r.Measurements)-1]
	}
	return r
}
