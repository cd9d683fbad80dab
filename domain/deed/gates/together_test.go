package gates_test

import (
	"fmt"
	"math/rand/v2"
	"sync"
	"sync/atomic"
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
)

// crowd is many people at one room at once. What they were told went through
// is counted, and must be found again at the end.
type crowd struct {
	*dbtest.Site
	t        *testing.T
	room     id.Room
	surface  id.Surface
	steps    atomic.Int64
	mu       sync.Mutex
	done     map[string]int
	changes  map[id.Position]int64    // changes told to have gone through
	values   map[id.Measurement]value // the last value told to have gone through
	measured int
	signed   [5]int
}

// value is what a measurement was made to read, and at which version.
type value struct {
	mm      float64
	version int64
}

// told counts an answer. Only refusals that a person can read are answers.
func (c *crowd) told(what string, err error) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	if err != nil && fault.KindOf(err) == "" {
		c.t.Errorf("%s: %v", what, err)
	}
	if err != nil {
		what += " refused"
	}
	c.done[what]++
	return err == nil
}

// Many people add, change, offer, sign off and reopen one room at once: no
// signed gate ever has a hard obstacle, and nothing that was said to be written
// is lost.
func TestManyPeopleAtOneRoom(t *testing.T) {
	s := dbtest.New(t)
	r := seed(t)
	steps := count("LATHMARK_STEPS", 240)
	done, signed, rooms := map[string]int{}, 0, 0
	// A room of its own for every 500 steps, so that it stays one of a usual size; and
	// more rooms until somebody has reopened one, without which the test says little.
	for left := steps; (left > 0 || done["reopen"] == 0 && rooms < steps/500+20) && !t.Failed(); left -= 500 {
		c := gather(t, s, r, int64(min(max(left, 240), 500)))
		for what, n := range c.done {
			done[what] += n
		}
		signed += c.signed[words.FirstFix]
		rooms++
	}
	t.Logf("%d steps or more by 12 people at once, in %d rooms one after the other: %v; first fix signed off %d times",
		steps, rooms, done, signed)
	if done["reopen"] == 0 {
		t.Error("nobody reopened in any room: the test says little")
	}
}

// gather lets 12 people loose on a new room, and looks for what they were told.
func gather(t *testing.T, s *dbtest.Site, r *rand.Rand, steps int64) *crowd {
	t.Helper()
	at := s.SignFirstFix(t, s.Utility(t, "D1", "D2", "D3"))
	c := &crowd{Site: s, t: t, room: at.Record.ID, surface: at.Record.Surfaces[0].ID, done: map[string]int{},
		changes: map[id.Position]int64{}, values: map[id.Measurement]value{}}
	for _, m := range at.Record.Measurements {
		c.measured++
		c.values[m.ID] = value{m.Value, m.Version}
	}
	var wait sync.WaitGroup
	for range 12 {
		mine := rand.New(rand.NewPCG(r.Uint64(), r.Uint64()))
		wait.Go(func() {
			for c.steps.Add(1) <= steps && !t.Failed() {
				c.step(mine)
			}
		})
	}
	wait.Wait()
	c.check()
	return c
}

// step reads the room and does one thing to it, on what was read.
func (c *crowd) step(r *rand.Rand) {
	ctx := c.t.Context()
	at, err := c.Desk.Read(ctx, c.Foreman, c.room)
	if err != nil {
		c.t.Error(err)
		return
	}
	c.sound(at)
	position := one(r, at.Record.Positions)
	switch s, _ := at.Record.InHand(); r.IntN(9) {
	case 0:
		if len(at.Record.Positions) < 24 && r.IntN(3) == 0 {
			_, err := c.Desk.Do(ctx, c.Foreman, c.room,
				deed.Schedule{Surface: c.surface, Reopen: r.IntN(4) > 0, Positions: []room.PositionDraft{
					{Name: fmt.Sprintf("D%d", r.IntN(60)+4), Kind: "downlight", Cutout: 76}}})
			c.told("schedule", err)
		}
	case 1:
		_, err := c.Desk.Do(ctx, c.Foreman, c.room, deed.ChangePosition{Position: position.ID, Version: position.Version,
			Draft: room.PositionDraft{Name: position.Name, Kind: position.Kind, Cutout: 60 + 60*r.Float64()}})
		c.changed("change", position, err)
	case 2:
		_, err := c.Desk.Do(ctx, c.Foreman, c.room, deed.Hold{Position: position.ID, Version: position.Version,
			Why: fmt.Sprintf("reason %d", r.Uint64())})
		c.changed("hold", position, err)
	case 3, 4:
		c.measure(r, at, position)
	case 5:
		c.correct(r, at)
	case 6, 7:
		if at.Record.Gates[s].State != words.Offered {
			_, err := c.Desk.Do(ctx, c.Foreman, c.room, deed.Offer{Stage: s})
			c.told("offer", err)
			return
		}
		after, err := c.Desk.Do(ctx, c.Foreman, c.room, deed.SignOff{Stage: s,
			Revision: at.Record.Revision, Accepted: dbtest.Accept(at, s)})
		if c.told("sign off", err) {
			c.mu.Lock()
			c.signed[s]++
			c.mu.Unlock()
			c.sound(after)
		}
	case 8:
		if at.Record.Gates[words.FirstFix].State == words.SignedOff {
			_, err := c.Desk.Do(ctx, c.Foreman, c.room, deed.Reopen{Stage: words.FirstFix, Reason: "once more"})
			c.told("reopen", err)
		}
	}
}

// sound refuses a signed gate with a hard obstacle, and gates out of order.
func (c *crowd) sound(at *standing.Standing) {
	signed := true
	for _, s := range words.Stages {
		if state := at.Record.Gates[s].State; state == words.SignedOff {
			if hard := at.Obstacles(s); gate.Hard(hard) > 0 || !signed {
				c.t.Errorf("%s is signed off with %+v (the stage before signed: %v)", s, hard, signed)
			}
		} else if (state == words.Waiting) == signed {
			c.t.Errorf("%s is %s; the stage before signed: %v", s, state, signed)
		} else {
			signed = false
		}
	}
}

// changed counts a change that asked for a version: it went through once for
// every version.
func (c *crowd) changed(what string, p room.Position, err error) {
	if c.told(what, err) {
		c.mu.Lock()
		c.changes[p.ID]++
		c.mu.Unlock()
	}
}

// measure takes a position that needs it from two walls, while there are few
// measurements, or one already taken anew under its old id, which adds nothing.
func (c *crowd) measure(r *rand.Rand, at *standing.Standing, p room.Position) {
	for _, q := range at.Record.Positions {
		if a, _ := at.Position(q.ID); !a.Determinate {
			p = q
		}
	}
	if a, _ := at.Position(p.ID); a.Determinate && len(at.Record.Measurements) > 90 {
		return
	}
	for k, wall := range []string{"south wall", "west wall"} {
		reading := room.Reading{ID: id.New[id.Measurement](), Kind: words.Offset, Of: p.ID, From: dbtest.Datum(c.t, at, wall),
			State: "bare", Value: float64(500 + 100*k + r.IntN(20))}
		if r.IntN(20) == 0 {
			reading.State = "" // forgotten
		}
		v, err := c.Desk.Verdict(c.t.Context(), c.Electrician, c.room, deed.Measure{Reading: reading})
		if !c.told("measure", err) {
			return
		}
		c.mu.Lock()
		c.measured++
		c.write(reading.ID, value{reading.Value, v.Measurement.Version})
		c.mu.Unlock()
		if _, err := c.Desk.Verdict(c.t.Context(), c.Electrician, c.room, deed.Measure{Reading: reading}); !c.told("repeat",
			err) {
			c.t.Errorf("a repeat of the same reading: %v", err)
		}
	}
}

// correct puts a forgotten state right, or changes a value.
func (c *crowd) correct(r *rand.Rand, at *standing.Standing) {
	if len(at.Record.Measurements) == 0 {
		return
	}
	m := one(r, at.Record.Measurements)
	for _, other := range at.Record.Measurements {
		if other.State == "" {
			m = other
		}
	}
	reading := room.Reading{ID: m.ID, Kind: m.Kind, Of: m.Of, From: m.From, State: "bare",
		Value: float64(500 + r.IntN(120))}
	if reading.Value == m.Value && m.State == "bare" {
		return
	}
	v, err := c.Desk.Verdict(c.t.Context(), c.Electrician, c.room, deed.Correct{Version: m.Version, Reading: reading})
	if c.told("correct", err) {
		c.mu.Lock()
		c.write(m.ID, value{reading.Value, v.Measurement.Version})
		c.mu.Unlock()
	}
}

// write keeps the value of the latest version, however late its answer came.
func (c *crowd) write(m id.Measurement, v value) {
	if old, ok := c.values[m]; !ok || v.version > old.version {
		c.values[m] = v
	}
}

// check finds everything again that people were told was written.
func (c *crowd) check() {
	t := c.t
	at, err := c.Desk.Read(t.Context(), c.Foreman, c.room)
	if err != nil {
		t.Fatal(err)
	}
	c.sound(at)
	if len(at.Record.Measurements) != c.measured {
		t.Errorf("%d measurements are there, %d were written", len(at.Record.Measurements), c.measured)
	}
	for _, m := range at.Record.Measurements {
		if v := c.values[m.ID]; v.mm != m.Value || v.version != m.Version {
			t.Errorf("%s reads %g at version %d; last told: %g at %d", m.Name, m.Value, m.Version, v.mm, v.version)
		}
	}
	for _, p := range at.Record.Positions {
		if p.Version != 1+c.changes[p.ID] {
			t.Errorf("%s is at version %d after %d changes", p.Name, p.Version, c.changes[p.ID])
		}
	}
	if got := len(at.Record.Positions); got != 3+c.done["schedule"] {
		t.Errorf("%d positions are there, 3 and %d were written", got, c.done["schedule"])
	}
	signed, err := c.Desk.SignOffs(t.Context(), c.Foreman, c.room)
	if err != nil || len(signed) != 1+c.done["sign off"] {
		t.Errorf("%d sign-offs, 1 and %d were written (%v)", len(signed), c.done["sign off"], err)
	}
	c.Holds(t)
}
