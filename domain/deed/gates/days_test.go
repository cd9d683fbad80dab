package gates_test

import (
	"strings"
	"testing"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
)

// Just before midnight in UTC a day may have begun where the firm works, or one that
// has begun in UTC may be to come there.
func TestDaysAreThoseOfWhereTheFirmWorks(t *testing.T) {
	s := dbtest.New(t)
	w := boarded(t, s)
	for _, c := range []struct {
		zone        words.Zone
		now         string // UTC
		today, soon string
	}{
		{"Europe/Berlin", "2026-03-27T23:00:00Z", "2026-03-28", "2026-03-29"},
		{"Europe/Berlin", "2026-03-29T22:00:00Z", "2026-03-30", "2026-03-31"}, // summer time has begun that day
		{"UTC", "2026-03-30T23:59:00Z", "2026-03-30", "2026-03-31"},
		{"America/New_York", "2026-04-02T03:30:00Z", "2026-04-01", "2026-04-02"},
		{"Asia/Kolkata", "2026-04-02T18:31:00Z", "2026-04-03", "2026-04-04"},
		{"Pacific/Kiritimati", "2026-04-03T10:01:00Z", "2026-04-04", "2026-04-05"},
	} {
		w.settle(c.zone)
		now, err := time.Parse(time.RFC3339, c.now)
		if err != nil {
			t.Fatal(err)
		}
		s.Clock.Pass(now.Sub(s.Clock.Now()))
		do := func(day string) error {
			on, err := time.Parse(time.DateOnly, day)
			if err != nil {
				t.Fatal(err)
			}
			j, err := s.Desk.Do(w.ctx, s.Plasterer, w.at.Record.ID, deed.Finish{Stage: words.Plaster, On: on})
			if err == nil && j.Record.FinishedOf(words.Plaster).On.Format(time.DateOnly) != day {
				t.Errorf("%s: %s is kept as %s", c.zone, day, j.Record.FinishedOf(words.Plaster).On)
			}
			return err
		}
		if err := do(c.soon); fault.KindOf(err) != fault.BadInput || !strings.Contains(err.Error(), "still to come") {
			t.Errorf("%s at %s: %s: %v", c.zone, c.now, c.soon, err)
		}
		if err := do(c.today); err != nil {
			t.Errorf("%s at %s: %s: %v", c.zone, c.now, c.today, err)
		}
	}
}

func (w *walk) settle(z words.Zone) {
	w.t.Helper()
	if err := w.Firm.Settle(w.ctx, w.Owner, firm.DefaultLimits, string(z), firm.OfNobody); err != nil {
		w.t.Fatal(err)
	}
}

// Days and times that cannot follow each other are refused by every way in, the
// database's own included; what a phone's clock told becomes the nearest that can be.
func TestWhatIsDoneComesAfterWhatItStandsOn(t *testing.T) {
	s := dbtest.New(t)
	w := boarded(t, s)
	of, signed := w.at.Record.ID, w.at.Record.FirstSigned[words.Boarding]
	refused := func(d deed.Deed, path, says string) {
		t.Helper()
		_, err := s.Desk.Do(w.ctx, s.Foreman, of, d)
		if fault.KindOf(err) != fault.BadInput || !strings.Contains(err.Error(), path+": ") ||
			!strings.Contains(err.Error(), says) {
			t.Errorf("%T: %v, want %s: ... %s", d, err, path, says)
		}
	}
	before := signed.AddDate(0, 0, -7)
	refused(deed.Finish{Stage: words.Plaster, On: before}, "on", "boarding was signed off on")
	for _, name := range []string{"south wall", "west wall"} {
		coat := deed.Coat{Datum: dbtest.Datum(t, w.at, name), Through: "skim", From: "board", Thickness: 3, By: "rule",
			On: before}
		refused(deed.PutOn{List: []deed.Coat{coat}}, "on", "the layer can't have been put on before that")
		coat.On = time.Time{}
		w.ok(s.Desk.Do(w.ctx, s.Plasterer, of, deed.PutOn{List: []deed.Coat{coat}}))
	}
	w.ok(s.Desk.Do(w.ctx, s.Plasterer, of, deed.Finish{Stage: words.Plaster, On: signed}))
	w.ok(s.Desk.Do(w.ctx, s.Plasterer, of, deed.Offer{Stage: words.Plaster}))
	w.sign(words.Plaster)
	plastered := w.at.Record.FirstSigned[words.Plaster]
	s.Clock.Pass(5 * 24 * time.Hour)
	hole := deed.Hole{ID: id.New[id.Opening](), Position: w.at.Record.Positions[0].ID, Outcome: words.NotFound,
		OwePatch: true,
		At:       plastered.AddDate(0, 0, -1)}
	refused(deed.OpenHole{Hole: hole}, "at", "plaster was signed off on")
	hole.At = plastered.AddDate(0, 0, 3)
	w.ok(s.Desk.Do(w.ctx, s.Electrician, of, deed.OpenHole{Hole: hole}))
	refused(deed.FillPatch{Opening: hole.ID, At: hole.At.AddDate(0, 0, -2)}, "at", "it can't have been filled before that")
	err := s.DB.WithTx(w.ctx, s.Foreman, func(tx *persistence.Tx) error {
		return tx.SavePatch(w.ctx, of, room.Patch{Opening: hole.ID, OwedAt: w.at.Record.PatchOf(hole.ID).OwedAt,
			FilledAt: hole.At.Add(-time.Second)})
	})
	if fault.KindOf(err) != fault.BadInput || !strings.Contains(err.Error(), "A patch is filled after its hole was cut.") {
		t.Errorf("at the prompt: %v", err)
	}
	w.late(deed.FillPatch{Opening: hole.ID}, hole.At.Add(-time.Hour))
	if p := w.at.Record.PatchOf(hole.ID); !p.FilledAt.Equal(hole.At) {
		t.Errorf("a phone's clock an hour behind: filled at %s, cut at %s", p.FilledAt, hole.At)
	}
	refused(deed.DryPatch{Opening: hole.ID, At: hole.At.Add(-time.Minute)}, "at", "it can't have been dry before that")
}

// late does a deed as a phone sends it whose clock said made.
func (w *walk) late(d deed.Deed, made time.Time) {
	w.t.Helper()
	got, err := w.Desk.Take(w.ctx, w.Foreman, deed.Act{ID: id.New[id.Act](), Room: w.at.Record.ID, Made: made,
		Copy: 1 << 40, Deed: d})
	if err != nil || got.Word != deed.Kept {
		w.t.Fatalf("%T made at %s: %+v, %v", d, made, got, err)
	}
	w.ok(w.Desk.Read(w.ctx, w.Foreman, w.at.Record.ID))
}
