package scenario_test

import (
	"context"
	"testing"
	"time"

	"lathmark/cmd/demo/scenario"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/migrations"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/pgtest"
)

func TestMain(m *testing.M) { pgtest.Main(m) }

// template is the scenario as it stands at monday, for every test to copy.
var (
	template = pgtest.NewTemplate(func(ctx context.Context, d pgtest.Database) (err error) {
		if err := pgtest.Migrate(ctx, d); err != nil {
			return err
		}
		whose, err = fill(ctx, d, monday)
		return err
	})
	whose scenario.Made
)

func fill(ctx context.Context, d pgtest.Database, now time.Time) (scenario.Made, error) {
	db, err := persistence.Open(ctx, d.PastURL(migrations.Server))
	if err != nil {
		return scenario.Made{}, err
	}
	defer db.Close()
	db.Pictures = &dbtest.Pictures{}
	return scenario.Make(ctx, db, now)
}

func open(t *testing.T, d pgtest.Database, now time.Time) persistence.Services {
	t.Helper()
	db, err := persistence.Open(t.Context(), d.PastURL(migrations.Server))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(db.Close)
	return persistence.NewServices(db, func() time.Time { return now })
}

// made returns every room of the scenario as it stands at monday.
func made(t *testing.T) (persistence.Services, scenario.Made, []*standing.Standing) {
	t.Helper()
	all := open(t, template.Clone(t), monday)
	foreman := firm.Person{Firm: whose.Firm, Role: firm.Foreman}
	jobs, err := all.Job.Jobs(t.Context(), foreman)
	if err != nil || len(jobs) != 2 {
		t.Fatalf("%d jobs, %v", len(jobs), err)
	}
	var rooms []*standing.Standing
	for _, j := range jobs {
		list, err := all.Desk.Rooms(t.Context(), foreman, j.ID)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range list {
			judged, err := all.Desk.Read(t.Context(), foreman, r.ID)
			if err != nil {
				t.Fatal(err)
			}
			rooms = append(rooms, judged)
		}
	}
	return all, whose, rooms
}

var monday = time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)

func TestEverythingIsThere(t *testing.T) {
	_, m, rooms := made(t)
	positions, codes, outcomes, states := 0, map[string]bool{}, map[words.Outcome]int{},
		map[words.Stage]map[words.State]bool{}
	held, omitted, finished := 0, 0, 0
	for _, s := range words.Stages {
		states[s] = map[words.State]bool{}
	}
	for _, r := range rooms {
		positions += len(r.Record.Positions)
		current, open := r.Record.InHand()
		if !open {
			finished++
		}
		for _, s := range words.Stages {
			states[s][r.Record.Gates[s].State] = true
			// A stage that waits for the one before it has that one obstacle;
			// of the others only those of the stage being worked on count.
			for _, o := range r.Obstacles(s) {
				if open && (s == current || o.Code == "stage_before") {
					codes[s.Code()+"/"+o.Code] = true
				}
			}
		}
		for _, o := range r.Record.Openings {
			outcomes[o.Outcome]++
		}
		for _, p := range r.Record.Positions {
			if p.Held {
				held++
			}
			if !p.OmittedAt.IsZero() {
				omitted++
			}
		}
		t.Logf("%s: %d positions, %s", r.Record.Name, len(r.Record.Positions), current)
		for _, o := range r.Obstacles(current) {
			t.Logf("    hard %v, %s: %s", o.Hard, o.Code, o.Sentence(r.Record.Name))
		}
	}
	if len(rooms) < 9 || positions < 55 || positions > 70 || held == 0 || omitted == 0 || finished == 0 {
		t.Errorf("%d rooms, %d positions, %d held, %d omitted, %d rooms finished", len(rooms), positions, held, omitted,
			finished)
	}
	for _, rule := range gate.Rules {
		// Nobody can cut a hole through the services without saying what it showed.
		// Readings that disagree are shown at first fix.
		later := rule.Code == gate.CodeDisagree && rule.Stage != words.FirstFix
		if code := rule.Stage.Code() + "/" + rule.Code; !codes[code] && rule.Code != "no_outcome" && !later {
			t.Errorf("no room has the obstacle %s", code)
		}
	}
	for _, o := range words.Outcomes {
		if outcomes[o] == 0 {
			t.Errorf("no hole was %s", o)
		}
	}
	for _, s := range words.Stages {
		if !states[s][words.SignedOff] || !states[s][words.InHand] && !states[s][words.Offered] {
			t.Errorf("%s is nowhere signed off, or nowhere in hand: %v", s, states[s])
		}
	}
	if len(m.People) != 8 || len(m.Links) != 2 {
		t.Errorf("%+v", m)
	}
}

// What is not wrong on purpose fits: no reading is suspect but those of
// the positions that were misread, and of the wall that was boarded too thick.
func TestReadingsFitTheTruth(t *testing.T) {
	_, _, rooms := made(t)
	suspects, readings := 0, 0
	for _, r := range rooms {
		for i := range r.Record.Measurements {
			m := &r.Record.Measurements[i]
			a := r.Measurement(m.ID)
			readings++
			if !a.Suspect {
				continue
			}
			suspects++
			thick := r.Record.Name == "Bathroom" && m.Kind == words.Thickness
			if p, err := r.Record.Position(m.Of); !thick && (err != nil || r.Record.Name != "Utility" ||
				p.Name != "D2" && p.Name != "F1") {
				t.Errorf("%s: %s is suspect, w %.1f", r.Record.Name, m.Name, a.W)
			}
		}
	}
	if suspects == 0 {
		t.Error("the misread tape does not show")
	}
	t.Logf("%d readings, %d suspect", readings, suspects)
}

// The diary holds, and what is in it lies in the past and in order.
func TestTheDiaryReadsLikeWork(t *testing.T) {
	// A Monday, and a Saturday a minute after midnight.
	for _, now := range []time.Time{monday, time.Date(2024, 3, 2, 0, 1, 0, 0, time.UTC)} {
		all, m, _ := made(t)
		if now != monday {
			d := pgtest.Migrated(t)
			var err error
			if m, err = fill(t.Context(), d, now); err != nil {
				t.Fatal(err)
			}
			all = open(t, d, now)
		}
		proofs := dbtest.ProofsOf(t, all.Proof, m.Firm)
		if len(proofs) != 2 {
			t.Fatalf("%d diaries", len(proofs))
		}
		for _, p := range proofs {
			if len(p.Findings) > 0 || p.Entries < 50 {
				t.Errorf("%d entries, %v", p.Entries, p.Findings)
			}
			last := time.Time{}
			for after := int64(0); ; {
				es, err := all.Diary.Read(t.Context(), firm.Person{Firm: m.Firm, Role: firm.Foreman}, p.Job, after)
				if err != nil {
					t.Fatal(err)
				}
				for _, e := range es {
					if e.At.Before(last) || e.At.After(now) {
						t.Fatalf("entry %d, %q, is at %s, after one at %s; now is %s", e.Seq, e.Says, e.At, last, now)
					}
					last, after = e.At, e.Seq
				}
				if len(es) == 0 {
					break
				}
			}
		}
	}
}

// The client's links lead to what a client may see.
func TestTheClientsLinks(t *testing.T) {
	all, m, _ := made(t)
	decisions := 0
	for _, l := range m.Links {
		p, err := all.Book.Progress(t.Context(), l.Token)
		if err != nil || p.Job != l.Job || len(p.Rooms) < 4 {
			t.Errorf("%s: %+v, %v", l.Job, p, err)
		}
		for _, r := range p.Rooms {
			decisions += len(r.Decisions)
		}
	}
	if decisions != 1 {
		t.Errorf("the clients have %d things to decide", decisions)
	}
}
