package programme_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"lathmark/domain/id"
	"lathmark/domain/programme"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/pgtest"
)

func TestMain(m *testing.M) { pgtest.Main(m) }

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// date is a day of 2026, the tests' year; their clock begins on 2 March.
func date(month time.Month, day int) time.Time {
	return time.Date(2026, month, day, 0, 0, 0, 0, time.UTC)
}

// What is said is what is read, and the check holds.
func TestWhatIsSaidIsRead(t *testing.T) {
	s := dbtest.New(t)
	ctx, by := t.Context(), s.Foreman
	r := s.Utility(t, "D1")
	utility, of := r.Record.ID, r.Record.Job
	hall, err := s.Desk.Create(ctx, by, room.Draft{Job: of, Name: "Hall", Height: 2400, Outline: r.Record.Outline})
	must(t, err)
	p, week := s.Programme, [7]bool{1: true, 2: true, 3: true, 4: true}
	must(t, p.SetWeek(ctx, by, week, "England and Wales"))
	crew, err := p.SaveCrew(ctx, by, programme.Crew{Trade: words.Electrician, Name: " Ines and two ", People: 3,
		Member: s.Electrician.ID})
	must(t, err)
	away, err := p.SayAway(ctx, by, programme.Away{Crew: crew.ID, From: date(3, 5), To: date(3, 6), Why: "a course"})
	must(t, err)
	rate := programme.Rate{Trade: words.Electrician, Stage: words.SecondFix, Least: 0.1, Likely: 0.25, Most: 1}
	must(t, p.SetRate(ctx, by, rate))
	pin := programme.Pin{Piece: programme.Piece{Room: utility, Stage: words.FirstFix, Trade: words.Electrician},
		On: date(3, 4)}
	must(t, p.Pin(ctx, by, pin))
	first, err := p.Give(ctx, by, programme.Promise{Job: of, Room: utility, To: words.Client, Stage: words.SecondFix,
		On: date(4, 1)})
	must(t, err)
	second, err := p.GiveInstead(ctx, by, first.ID, programme.Promise{On: date(4, 9), Why: "the fan came late."})
	must(t, err)
	owed, err := p.SaveOwed(ctx, by, programme.Owed{Room: utility, For: words.SecondFix, What: "the fan", Lead: 14,
		By: words.Foreman})
	must(t, err)
	must(t, p.Came(ctx, by, owed.ID, date(3, 2)))
	must(t, p.SetThrough(ctx, by, utility, []id.Room{hall.Record.ID}))
	must(t, p.WillCome(ctx, s.Electrician, programme.Coming{Crew: crew.ID, Job: of, On: date(3, 4)}))

	v, err := p.Read(ctx, by)
	must(t, err)
	owed.Since, owed.Came, first.Instead = date(3, 2), date(3, 2), second.ID
	pin.By, crew.Name = by.ID, "Ines and two"
	want := programme.Given{Week: week, Region: "England and Wales", Crews: []programme.Crew{crew},
		Away: []programme.Away{away}, Rates: []programme.Rate{rate}, Pins: []programme.Pin{pin},
		Promises: []programme.Promise{first, second}, Owed: []programme.Owed{owed},
		Through: []programme.Through{{Room: utility, By: hall.Record.ID}},
		Coming:  []programme.Coming{{Crew: crew.ID, Job: of, On: date(3, 4), By: s.Electrician.ID}}}
	for i := range v.Given.Pins {
		v.Given.Pins[i].At = time.Time{}
	}
	for i := range v.Given.Coming {
		v.Given.Coming[i].At = time.Time{}
	}
	v.Given.Away[0].At, want.Away[0].At = time.Time{}, time.Time{}
	if d := cmp.Diff(want, v.Given); d != "" {
		t.Error(d)
	}
	must(t, p.Unpin(ctx, by, pin.Piece))
	must(t, p.DropOwed(ctx, by, owed.ID))
	s.Holds(t)
}
