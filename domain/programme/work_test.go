package programme_test

import (
	"errors"
	"slices"
	"sync"
	"testing"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/job"
	"lathmark/domain/programme"
	"lathmark/domain/words"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
)

// What changes is worked out again, once, whichever process does it; what does not is left.
func TestAProgrammeIsWorkedOutOnce(t *testing.T) {
	s := dbtest.New(t)
	ctx, of := t.Context(), s.Owner.Firm
	r := s.Utility(t, "D1")
	work := func(want programme.Outcome) {
		t.Helper()
		got, lasts, err := s.Planner.Work(ctx, of)
		must(t, err)
		if got != want || lasts <= 0 || lasts > 24*time.Hour {
			t.Errorf("outcome %d after which the day lasts %v, want %d", got, lasts, want)
		}
	}
	v, err := s.Programme.Read(ctx, s.Foreman)
	must(t, err)
	if v.Programme != nil || !v.Again {
		t.Errorf("before: %+v", v)
	}
	work(programme.Made)
	work(programme.Fresh)
	v, err = s.Programme.Read(ctx, s.Foreman)
	must(t, err)
	if v.Again || len(v.Programme.Visits) == 0 || v.Programme.Jobs[0].ID != r.Record.Job {
		t.Errorf("after: again %v, %+v", v.Again, v.Programme)
	}
	other := persistence.NewServices(s.DB, s.Clock.Now) // another process
	crew, err := s.Programme.SaveCrew(ctx, s.Foreman, programme.Crew{Trade: words.Electrician, Name: "Ines", People: 1})
	must(t, err)
	if v, err = s.Programme.Read(ctx, s.Foreman); err != nil || !v.Again {
		t.Errorf("a crew changed nothing (%v)", err)
	}
	var both sync.WaitGroup
	var got [2]programme.Outcome
	for i, w := range []*programme.Worker{s.Planner, other.Planner} {
		both.Go(func() {
			var err error
			if got[i], _, err = w.Work(ctx, of); err != nil {
				t.Error(err)
			}
		})
	}
	both.Wait()
	if n := slices.Index(got[:], programme.Made); n < 0 || got[1-n] == programme.Made {
		t.Errorf("two at once: %v", got)
	}
	v, err = other.Programme.Read(ctx, s.Foreman)
	must(t, err)
	if v.Again || v.Programme.Visits[0].Crew != crew.ID {
		t.Errorf("by another process: again %v, %+v", v.Again, v.Programme.Visits)
	}
	s.Clock.Pass(24 * time.Hour)
	work(programme.Made)
}

// Whoever breaks off in the middle leaves the programme as it was, and the firm free for
// the next.
func TestACrashLeavesItsTurn(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	s.Utility(t, "D1")
	broke := errors.New("the power went")
	err := s.DB.WithTx(ctx, firm.Whole(s.Owner.Firm), func(tx *persistence.Tx) error {
		mine, err := tx.Take(ctx)
		if err != nil || !mine {
			t.Errorf("taken %v (%v)", mine, err)
		}
		if out, _, err := s.Planner.Work(ctx, s.Owner.Firm); out != programme.Taken || err != nil {
			t.Errorf("meanwhile: %d (%v)", out, err)
		}
		if err := tx.Keep(ctx, programme.Stored{Made: s.Clock.Now(), Today: date(3, 2), Version: 1,
			Answer: []byte("{}")}); err != nil {
			return err
		}
		return broke
	})
	if !errors.Is(err, broke) {
		t.Fatal(err)
	}
	if out, _, err := s.Planner.Work(ctx, s.Owner.Firm); out != programme.Made || err != nil {
		t.Errorf("afterwards: %d (%v)", out, err)
	}
}

// A trial shows what would be and keeps nothing.
func TestATrialKeepsNothing(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.Utility(t, "D1")
	pin := programme.Pin{Piece: programme.Piece{Room: r.Record.ID, Stage: words.FirstFix, Trade: words.Electrician},
		On: date(3, 12)}
	p, err := s.Programme.Try(ctx, s.Foreman, programme.Trial{Pins: []programme.Pin{pin}})
	must(t, err)
	i := slices.IndexFunc(p.Visits, func(v programme.Visit) bool { return v.Trade == words.Electrician })
	if i < 0 || !p.Visits[i].From.Equal(pin.On) {
		t.Errorf("%+v", p.Visits)
	}
	v, err := s.Programme.Read(ctx, s.Foreman)
	must(t, err)
	if v.Programme != nil || len(v.Given.Pins) > 0 {
		t.Error("a trial was kept")
	}
	if _, err := s.Programme.Try(ctx, s.Electrician, programme.Trial{}); err == nil {
		t.Error("a trade tries")
	}
}

// Each sees what is for their eyes.
func TestWhoSeesWhat(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.Utility(t, "D1", "F1")
	mill, err := s.Job.Create(ctx, s.Foreman, job.Job{Name: "Mill Loft"})
	must(t, err)
	of := r.Record.Job
	crew, err := s.Programme.SaveCrew(ctx, s.Foreman, programme.Crew{Trade: words.Electrician, Name: "Ines", People: 1,
		Member: s.Electrician.ID})
	must(t, err)
	for _, to := range []words.Trade{words.Client, words.Electrician, words.Plasterer} {
		_, err := s.Programme.Give(ctx, s.Foreman, programme.Promise{Job: of, To: to, Stage: words.Plaster, On: date(5, 4)})
		must(t, err)
	}
	_, _, err = s.Planner.Work(ctx, s.Owner.Firm)
	must(t, err)
	stranger := s.AddTo(t, "Ned Varley", firm.Trade, words.Electrician, mill.ID)
	client := s.AddTo(t, "Wim Haas", firm.Client, "", of)
	token, err := s.Programme.CrewLink(ctx, s.Foreman, crew.ID)
	must(t, err)
	byLink, _, err := s.Programme.ReadLink(ctx, token)
	must(t, err)
	link, err := s.Job.ClientLink(ctx, s.Foreman, of)
	must(t, err)
	byClient, err := s.Programme.ReadClient(ctx, link)
	must(t, err)
	read := func(by firm.Person) programme.View {
		v, err := s.Programme.Read(ctx, by)
		must(t, err)
		return v
	}
	for _, c := range []struct {
		who                     string
		v                       programme.View
		trades, promises, rooms int
	}{
		{"the foreman", read(s.Foreman), 3, 3, 1}, {"the owner", read(s.Owner), 3, 3, 1},
		{"the electrician", read(s.Electrician), 1, 1, 0}, {"the crew's link", byLink, 1, 1, 0},
		{"the plasterer", read(s.Plasterer), 1, 1, 0}, {"another's electrician", read(stranger), 0, 0, 0},
		{"the client", read(client), 0, 1, 1}, {"the client's link", byClient, 0, 1, 1},
	} {
		trades := map[words.Trade]bool{}
		for _, n := range c.v.Programme.Visits {
			trades[n.Trade] = true
		}
		if c.who[:5] != "the f" && c.who[:5] != "the o" && (len(trades) != c.trades || len(c.v.Programme.Rooms) != c.rooms) ||
			len(trades) < c.trades || len(c.v.Given.Promises) != c.promises || len(c.v.Programme.Promises) != c.promises {
			t.Errorf("%s: visits of %v, %d promises, %d rooms", c.who, trades, len(c.v.Given.Promises),
				len(c.v.Programme.Rooms))
		}
		if len(c.v.Programme.Rooms) > 0 && c.promises == 1 && c.v.Programme.Rooms[0].Stages[0].Waits != "" {
			t.Errorf("%s reads what a stage waits for", c.who)
		}
	}
	must(t, s.Programme.EndCrew(ctx, s.Foreman, crew.ID))
	if _, _, err := s.Programme.ReadLink(ctx, token); err == nil {
		t.Error("the link of a crew that ended works")
	}
	s.Holds(t)
}
