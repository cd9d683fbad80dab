package room_test

import (
	"strings"
	"testing"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// TestOrder is the table: what each event comes after, at the edge, in a firm whose
// days begin at 18:30 UTC. Days of events that have only a day are as they are stored.
func TestOrder(t *testing.T) {
	at := func(text string) time.Time {
		got, err := time.Parse("2006-01-02 15:04", text)
		if err != nil {
			t.Fatal(err)
		}
		return got
	}
	day := func(text string) time.Time { return at(text + " 00:00") }
	hole, q, snag, m := id.New[id.Opening](), id.New[id.Position](), id.New[id.Snag](), id.New[id.Measurement]()
	r := &room.Record{Room: room.Room{CreatedAt: at("2026-03-02 08:00")}, Zone: "Asia/Kolkata",
		Openings:     []room.Opening{{ID: hole, At: at("2026-03-12 09:00")}},
		Patches:      []room.Patch{{Opening: hole, FilledAt: at("2026-03-12 12:00")}},
		Positions:    []room.Position{{ID: q, Name: "D1", AddedAt: at("2026-03-02 09:00")}},
		Snags:        []room.Snag{{ID: snag, NotedAt: at("2026-03-14 09:00")}},
		Measurements: []room.Measurement{{ID: m, TakenAt: at("2026-03-02 10:00")}}}
	for i, text := range []string{"2026-03-03 18:29", "2026-03-05 18:30", "2026-03-09 20:00"} {
		r.FirstSigned[i] = at(text)
		r.Gates[i] = room.Gate{State: words.SignedOff, SignedAt: at(text).AddDate(0, 0, 30)} // and once more since
	}
	for _, c := range []struct {
		name      string
		event     room.Event
		of        room.Subject
		bad, good time.Time // the last that is refused, the first that is taken
		says      string
	}{
		{"boards", room.WasPutOn, room.Subject{Stage: words.Boarding}, day("2026-03-02"), day("2026-03-03"),
			"first fix was signed off on Tuesday 3 March, so the layer can't have been put on before that, on Monday 2 March"},
		{"skim", room.WasPutOn, room.Subject{Stage: words.Plaster}, day("2026-03-05"), day("2026-03-06"),
			"boarding was signed off on Friday 6 March"},
		{"the plaster's last day", room.WasFinished, room.Subject{Stage: words.Plaster}, day("2026-03-05"), day("2026-03-06"),
			"so the work after it can't have been finished before that, on Thursday 5 March"},
		{"an offer", room.WasOffered, room.Subject{Stage: words.Boarding}, at("2026-04-02 18:28"), at("2026-04-02 18:29"),
			"first fix was signed off on Thursday 2 April, 23:59, so the stage can't have been offered before that, on " +
				"Thursday 2 April, 23:58"},
		{"the first offer", room.WasOffered, room.Subject{}, at("2026-03-02 07:59"), at("2026-03-02 08:00"),
			"the room was drawn on Monday 2 March, 13:30"},
		{"a hole", room.WasCut, room.Subject{}, at("2026-03-09 18:29"), at("2026-03-09 18:30"),
			"plaster was signed off on Tuesday 10 March, so the hole can't have been cut before that, on Monday 9 March"},
		{"a patch owed", room.WasOwed, room.Subject{Opening: hole}, at("2026-03-12 08:59"), at("2026-03-12 09:00"),
			"the hole was cut on Thursday 12 March, 14:30"},
		{"a patch filled", room.WasFilled, room.Subject{Opening: hole}, at("2026-03-10 09:00"), at("2026-03-12 09:00"),
			"the hole was cut on Thursday 12 March, so it can't have been filled before that, on Tuesday 10 March"},
		{"a patch dry", room.WasDry, room.Subject{Opening: hole}, at("2026-03-12 11:59"), at("2026-03-12 12:00"),
			"the patch was filled on Thursday 12 March, 17:30, so it can't have been dry before that"},
		{"a tail", room.WasSeen, room.Subject{Position: q}, at("2026-03-01 09:00"), at("2026-03-02 09:00"),
			"D1 was put on the schedule on Monday 2 March"},
		{"a snag", room.WasClosed, room.Subject{Snag: snag}, at("2026-03-13 09:00"), at("2026-03-14 09:00"),
			"the snag was noted on Saturday 14 March"},
		{"a reading", room.WasStruck, room.Subject{Measurement: m}, at("2026-03-02 09:59"), at("2026-03-02 10:00"),
			"the reading was taken on Monday 2 March, 15:30"},
	} {
		got, err := r.InOrder(c.event, c.of, c.bad, true)
		if fault.KindOf(err) != fault.BadInput || !strings.Contains(err.Error(), c.says) || !got.Equal(c.bad) {
			t.Errorf("%s at %s: %v, want %q", c.name, c.bad, err, c.says)
		}
		if got, err := r.InOrder(c.event, c.of, c.good, true); err != nil || !got.Equal(c.good) {
			t.Errorf("%s at %s: %s, %v", c.name, c.good, got, err)
		}
		got, err = r.InOrder(c.event, c.of, c.bad, false)
		if after, _ := r.InOrder(c.event, c.of, got, true); err != nil || got.Before(c.good) || !after.Equal(got) {
			t.Errorf("%s at %s by a clock: %s, %v, want at least %s", c.name, c.bad, got, err, c.good)
		}
	}
}

// Nothing on record comes before it: it is not refused for its day.
func TestOrderOfWhatFollowsNothing(t *testing.T) {
	r, long := &room.Record{}, time.Date(1999, 1, 1, 0, 0, 0, 0, time.UTC)
	for e := room.WasPutOn; e <= room.WasStruck; e++ {
		if at, err := r.InOrder(e, room.Subject{}, long, true); err != nil || !at.Equal(long) {
			t.Errorf("event %d: %s, %v", e, at, err)
		}
	}
}
