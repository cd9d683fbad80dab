package job_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"

	"golang.org/x/sync/errgroup"
)

// says returns the lines of a job's diary.
func says(t *testing.T, s *dbtest.Site, of id.Job) []string {
	t.Helper()
	entries, err := s.Diary.Read(t.Context(), s.Foreman, of, 0)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		out = append(out, e.Says)
	}
	return out
}

// proved fails if a diary does not hold, or a signed room was altered.
func proved(t *testing.T, s *dbtest.Site) {
	t.Helper()
	s.Holds(t)
}

// busy returns a room with something open of every kind: first fix in progress,
// a snag, a held position, and a correction that conflicts with somebody
// else's.
func busy(t *testing.T, s *dbtest.Site) *standing.Standing {
	t.Helper()
	ctx := t.Context()
	r := s.Utility(t, "D1", "F1")
	of, d1, f1 := r.Record.ID, r.Record.Positions[0].ID, r.Record.Positions[1].ID
	_, err := s.Desk.Do(ctx, s.Foreman, of, deed.Hold{Position: f1, Version: 0, Why: "the client has not chosen the fan."})
	wantKind(t, "hold", err, "")
	_, err = s.Desk.Do(ctx, s.Foreman, of, deed.NoteSnag{Snag: room.Snag{Says: "a nail stands out"}})
	wantKind(t, "snag", err, "")
	reading := room.Reading{ID: id.New[id.Measurement](), Kind: words.Offset, Of: d1,
		From:  dbtest.Datum(t, r, "south wall"),
		State: "bare", Value: 600}
	_, err = s.Desk.Verdict(ctx, s.Electrician, of, deed.Measure{Reading: reading})
	wantKind(t, "measure", err, "")
	before, err := s.Desk.Read(ctx, s.Foreman, of)
	wantKind(t, "read", err, "")
	reading.Value = 610
	_, err = s.Desk.Verdict(ctx, s.Foreman, of, deed.Correct{Version: 0, Reading: reading})
	wantKind(t, "correct", err, "")
	reading.Value = 620
	answer, err := s.Desk.Take(ctx, s.Electrician, deed.Act{ID: id.New[id.Act](), Room: of, Made: s.Clock.Now(),
		Copy: before.Seq, Deed: deed.Correct{Reading: reading}})
	if err != nil || answer.Word != deed.Both {
		t.Fatalf("the act that waits for a choice: %+v (%v)", answer, err)
	}
	r, err = s.Desk.Read(ctx, s.Foreman, of)
	wantKind(t, "read", err, "")
	return r
}

func TestClosingNamesWhatIsOpen(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := busy(t, s)
	of := r.Record.Job
	want := []string{"first fix is in hand", "F1 is held: the client has not chosen the fan",
		"a snag is open: a nail stands out", "one thing was recorded twice and needs a choice"}
	left, err := s.Job.LeftOpen(ctx, s.Electrician, of)
	if err != nil || len(left) != 1 || !slices.Equal(left[0].Says(), want) {
		t.Fatalf("%+v (%v)", left, err)
	}
	_, err = s.Job.Close(ctx, s.Foreman, of, false)
	var f *fault.Error
	if !errors.As(err, &f) || f.Kind != fault.Obstacle || len(f.Fields) != 1 ||
		f.Fields[0].Wrong != "Utility: "+strings.Join(want, "; ") {
		t.Errorf("without a word: %v", err)
	}
	_, err = s.Job.Close(ctx, s.Electrician, of, true)
	wantKind(t, "by a trade", err, fault.Refused)
	_, err = s.Job.Close(ctx, s.Found(t, "Marl & Sons"), of, true)
	wantKind(t, "by another firm", err, fault.NotFound)
	j, err := s.Job.Close(ctx, s.Foreman, of, true)
	if err != nil || j.Open() || j.Version != 2 {
		t.Errorf("closed: %+v (%v)", j, err)
	}
	again, err := s.Job.Close(ctx, s.Owner, of, false)
	if err != nil || again != j {
		t.Errorf("closed again: %+v (%v), was %+v", again, err, j)
	}
	entries, err := s.Diary.Read(ctx, s.Foreman, of, r.Seq)
	if err != nil || len(entries) != 1 || entries[0].Says != "14 Orchard Row was closed. Still open: Utility: "+
		strings.Join(want, "; ")+"." || entries[0].Act != "close_job" || entries[0].Seq != j.Seq {
		t.Fatalf("%+v (%v)", entries, err)
	}
	// The detail's format is permanent: it is always read like this.
	var detail any
	if err := json.Unmarshal(entries[0].Detail, &detail); err != nil {
		t.Fatal(err)
	}
	if got, want := fmt.Sprint(detail), "map[left:[map[choices:1 held:[map[name:F1 why:the client has not chosen "+
		"the fan.]] name:Utility room:"+r.Record.ID.String()+
		" snags:[a nail stands out] stage:first_fix state:in_hand]]]"; got != want {
		t.Errorf("detail %s, want %s", got, want)
	}
	j, err = s.Job.Reopen(ctx, s.Owner, of)
	if err != nil || !j.Open() {
		t.Errorf("opened again: %+v (%v)", j, err)
	}
	_, err = s.Job.Reopen(ctx, s.Foreman, of)
	wantKind(t, "again", err, "")
	_, err = s.Job.Reopen(ctx, s.Electrician, of)
	wantKind(t, "by a trade", err, fault.Refused)
	if got := says(t, s, of); got[len(got)-1] != "14 Orchard Row is open again." || len(got) != len(entries)+
		int(r.Seq)+1 {
		t.Errorf("%q", got)
	}
	proved(t, s)
}

// A finished job has nothing open, and is closed without a question.
func TestAFinishedJob(t *testing.T) {
	s := dbtest.New(t)
	j, err := s.Job.Create(t.Context(), s.Foreman, job.Job{Name: "The Old Forge"})
	wantKind(t, "create", err, "")
	_, err = s.Job.Close(t.Context(), s.Foreman, j.ID, false)
	wantKind(t, "close", err, "")
	if got := says(t, s, j.ID); got[1] != "The Old Forge was closed. Nothing was open in it." {
		t.Errorf("%q", got)
	}
}

// Everything done to a closed job or in one of its rooms is refused, and the
// refusal says how it would be accepted; a repeat of what was done before is
// answered as before.
func TestNothingIsWrittenToAClosedJob(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := busy(t, s)
	of, at, d1 := r.Record.Job, r.Record.ID, r.Record.Positions[0].ID
	south := dbtest.Datum(t, r, "south wall")
	reading := room.Reading{ID: id.New[id.Measurement](), Kind: words.Offset, Of: d1, From: south, State: "bare",
		Value: 601}
	_, err := s.Desk.Verdict(ctx, s.Electrician, at, deed.Measure{Reading: reading})
	wantKind(t, "a reading before", err, "")
	act := deed.Act{ID: id.New[id.Act](), Room: at, Made: s.Clock.Now(), Deed: deed.NoteSnag{Snag: room.Snag{
		ID: id.New[id.Snag](), Says: "a dent"}}}
	kept, err := s.Desk.Take(ctx, s.Electrician, act)
	if err != nil || kept.Word != deed.Kept {
		t.Fatalf("%+v (%v)", kept, err)
	}
	waiting, err := s.Desk.PendingIn(ctx, s.Foreman, at)
	if err != nil || len(waiting) != 1 {
		t.Fatalf("%+v (%v)", waiting, err)
	}
	link, err := s.Job.ClientLink(ctx, s.Foreman, of)
	wantKind(t, "a link", err, "")
	draft := room.Draft{ID: id.New[id.Room](), Job: of, Name: "Hall", Height: 2400,
		Outline: r.Record.Outline, Surfaces: []room.SurfaceDraft{{Kind: "ceiling"}}}
	_, err = s.Desk.Create(ctx, s.Foreman, draft)
	wantKind(t, "a room before", err, "")
	_, err = s.Job.Close(ctx, s.Foreman, of, true)
	wantKind(t, "close", err, "")
	lines, name := says(t, s, of), "Scullery"
	other := draft
	other.ID, other.Name = id.New[id.Room](), "Landing"
	for what, do := range map[string]func() error{
		"a measurement": func() error {
			_, err := s.Desk.Verdict(ctx, s.Electrician, at,
				deed.Measure{Reading: room.Reading{Kind: words.Offset, Of: d1, From: south, Value: 7}})
			return err
		},
		"a position": func() error {
			_, err := s.Desk.Do(ctx, s.Foreman, at, deed.Schedule{Surface: r.Record.Surfaces[0].ID,
				Positions: []room.PositionDraft{{Name: "D9"}}})
			return err
		},
		"a hold": func() error {
			_, err := s.Desk.Do(ctx, s.Foreman, at, deed.Release{Position: r.Record.Positions[1].ID, Version: 0})
			return err
		},
		"a snag": func() error {
			_, err := s.Desk.Do(ctx, s.Foreman, at, deed.NoteSnag{Snag: room.Snag{Says: "x"}})
			return err
		},
		"an offer": func() error {
			_, err := s.Desk.Do(ctx, s.Electrician, at, deed.Offer{Stage: words.FirstFix})
			return err
		},
		"a room": func() error { _, err := s.Desk.Create(ctx, s.Foreman, other); return err },
		"a room's name": func() error {
			_, err := s.Desk.Do(ctx, s.Foreman, at, deed.ChangeRoom{Version: 0, Change: room.Change{Name: &name}})
			return err
		},
		"a room's end":  func() error { return s.Desk.Remove(ctx, s.Foreman, draft.ID) },
		"a choice":      func() error { _, err := s.Desk.Choose(ctx, s.Foreman, waiting[0].ID, deed.Mine); return err },
		"a job's name":  func() error { _, err := s.Job.Rename(ctx, s.Foreman, of, 0, "16 Orchard Row", ""); return err },
		"a new link":    func() error { _, err := s.Job.ClientLink(ctx, s.Foreman, of); return err },
		"a longer link": func() error { return s.Job.RenewClientLink(ctx, s.Foreman, of) },
	} {
		if err := do(); fault.KindOf(err) != fault.Obstacle ||
			err.Error() != "14 Orchard Row is closed. Reopen it first." {
			t.Errorf("%s: %v", what, err)
		}
	}
	refused, err := s.Desk.Take(ctx, s.Electrician, deed.Act{ID: id.New[id.Act](), Room: at, Made: s.Clock.Now(),
		Deed: deed.NoteSnag{Snag: room.Snag{ID: id.New[id.Snag](), Says: "another dent"}}})
	if err != nil || refused.Word != deed.Refused || refused.Says != "14 Orchard Row is closed. Reopen it first." {
		t.Errorf("an act: %+v (%v)", refused, err)
	}
	wantKind(t, "a job's end", s.Job.Remove(ctx, s.Foreman, of), fault.Obstacle)
	// A repeat of what came before writes nothing and is told the same.
	_, err = s.Desk.Verdict(ctx, s.Electrician, at, deed.Measure{Reading: reading})
	wantKind(t, "the reading once more", err, "")
	_, err = s.Desk.Create(ctx, s.Foreman, draft)
	wantKind(t, "the room once more", err, "")
	if again, err := s.Desk.Take(ctx, s.Electrician, act); err != nil || again.Says != kept.Says ||
		again.Word != deed.Kept {
		t.Errorf("the act once more: %+v (%v)", again, err)
	}
	if got := says(t, s, of); !slices.Equal(got, lines) {
		t.Errorf("the diary went on: %q", got[len(lines):])
	}
	// Everything is read as before, the client's view too, until the link is ended.
	after, err := s.Desk.Read(ctx, s.Electrician, at)
	if err != nil || len(after.Record.Measurements) != 2 || after.Record.JobClosed.IsZero() {
		t.Errorf("read: %+v (%v)", after, err)
	}
	if p, err := s.Book.Progress(ctx, link); err != nil || len(p.Rooms) != 2 {
		t.Errorf("the client sees %+v (%v)", p, err)
	}
	wantKind(t, "the link's end", s.Job.EndClientLinks(ctx, s.Foreman, of), "")
	proved(t, s)
	_, err = s.Job.Reopen(ctx, s.Foreman, of)
	wantKind(t, "reopen", err, "")
	_, err = s.Desk.Do(ctx, s.Foreman, at, deed.NoteSnag{Snag: room.Snag{Says: "x"}})
	wantKind(t, "a snag then", err, "")
}

// Lists contain open jobs only.
func TestListsAreOfOpenJobs(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := busy(t, s)
	lists := func() [7]int {
		t.Helper()
		jobs, err1 := s.Job.Jobs(ctx, s.Foreman)
		sheets, err2 := s.Book.Overview(ctx, s.Foreman)
		tasks, err3 := s.Book.Tasks(ctx, s.Electrician)
		visits, err4 := s.Book.Visits(ctx, s.Foreman)
		ready, err5 := s.Book.Ready(ctx, s.Electrician)
		seqs, err6 := s.Diary.Last(ctx, s.Foreman)
		choices, err7 := s.Desk.PendingIn(ctx, s.Electrician, id.Room{})
		wantKind(t, "lists", errors.Join(err1, err2, err3, err4, err5, err6, err7), "")
		return [7]int{len(jobs), len(sheets), len(tasks), len(visits), len(ready), len(seqs), len(choices)}
	}
	if got := lists(); got != [7]int{1, 1, 1, 1, 1, 1, 1} {
		t.Errorf("while it is open: %v", got)
	}
	_, err := s.Job.Close(ctx, s.Foreman, r.Record.Job, true)
	wantKind(t, "close", err, "")
	if got := lists(); got != [7]int{} {
		t.Errorf("once it is closed: %v", got)
	}
	if sheet, err := s.Book.JobSheet(ctx, s.Foreman, r.Record.Job); err != nil || len(sheet.Rows) != 1 {
		t.Errorf("by its address: %+v (%v)", sheet, err)
	}
	// Whoever was on it can still read it after the owner has named other jobs.
	trade := s.AddTo(t, "Ned Varley", firm.Trade, words.Plumber)
	wantKind(t, "on it", s.Firm.AddToJob(ctx, s.Foreman, trade.ID, r.Record.Job), "")
	wantKind(t, "others", s.Firm.NameJobs(ctx, s.Owner, trade.ID, firm.Team{}), "")
	_, err = s.Job.Job(ctx, trade, r.Record.Job)
	wantKind(t, "read", err, "")
	wantKind(t, "off it", s.Firm.RemoveFromJob(ctx, s.Foreman, trade.ID, r.Record.Job), "")
	_, err = s.Job.Job(ctx, trade, r.Record.Job)
	wantKind(t, "read then", err, fault.NotFound)
}

func TestRename(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	j, err := s.Job.Create(ctx, s.Foreman, job.Job{Name: "14 Orchard Row", Address: "Nether Appleby"})
	wantKind(t, "create", err, "")
	long := strings.Repeat("ü", 120)
	for _, name := range []string{"", " \t", "a\nb", long + "ü"} {
		_, err := s.Job.Rename(ctx, s.Foreman, j.ID, 0, name, "")
		wantKind(t, "as "+name, err, fault.BadInput)
	}
	_, err = s.Job.Rename(ctx, s.Foreman, j.ID, 0, "x", strings.Repeat("ü", 401))
	wantKind(t, "a long address", err, fault.BadInput)
	_, err = s.Job.Rename(ctx, s.Electrician, j.ID, 0, "x", "")
	wantKind(t, "by a trade", err, fault.Refused)
	_, err = s.Job.Rename(ctx, s.Found(t, "Marl & Sons"), j.ID, 0, "x", "")
	wantKind(t, "by another firm", err, fault.NotFound)
	for i, c := range []struct{ name, address, says string }{
		{"14 Orchard Row", "Nether Appleby", "14 Orchard Row begins."}, // nothing changes
		{"16 Orchard Row", "Nether Appleby", "14 Orchard Row is now called 16 Orchard Row."},
		{"16 Orchard Row", "Over Appleby", "The address of 16 Orchard Row is Over Appleby."},
		{"16 Orchard Row", "", "The address Over Appleby was removed."},
		{long, "Weir Street", "16 Orchard Row is now called " + long + ". The address of " + long + " is Weir Street."},
	} {
		got, err := s.Job.Rename(ctx, s.Owner, j.ID, int64(max(i, 1)), " "+c.name, c.address+" ")
		if err != nil || got.Name != c.name || got.Address != c.address || got.Version != int64(max(i, 1)+min(i, 1)) {
			t.Errorf("%+v (%v)", got, err)
		}
		if stored, err := s.Job.Job(ctx, s.Electrician, j.ID); err != nil || stored != got {
			t.Errorf("stored %+v, given %+v (%v)", stored, got, err)
		}
		if lines := says(t, s, j.ID); lines[len(lines)-1] != c.says {
			t.Errorf("%q", lines)
		}
	}
	_, err = s.Job.Rename(ctx, s.Foreman, j.ID, 2, "Mill Loft", "")
	wantKind(t, "over what somebody else changed", err, fault.Conflict)
	proved(t, s)
}

func TestRemove(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	j, err := s.Job.Create(ctx, s.Foreman, job.Job{Name: "14 Orchard Rwo"})
	wantKind(t, "create", err, "")
	trade := s.AddTo(t, "Ned Varley", firm.Trade, words.Plumber, j.ID)
	_, err = s.Job.Rename(ctx, s.Foreman, j.ID, 1, "14 Orchard Row", "")
	wantKind(t, "rename", err, "")
	wantKind(t, "by a trade", s.Job.Remove(ctx, s.Electrician, j.ID), fault.Refused)
	wantKind(t, "by another firm", s.Job.Remove(ctx, s.Found(t, "Marl & Sons"), j.ID), fault.NotFound)
	code, _, err := s.Firm.Invite(ctx, s.Foreman, firm.Invitation{Role: firm.Trade, Trade: words.Tiler,
		Jobs: []id.Job{j.ID}})
	wantKind(t, "invite", err, "")
	wantKind(t, "with a code that waits", s.Job.Remove(ctx, s.Foreman, j.ID), fault.Obstacle)
	wantKind(t, "take back", s.Firm.RevokeInvitation(ctx, s.Foreman, code.ID), "")
	if keeps, err := s.Job.Keeps(ctx, s.Foreman, j.ID); err != nil || len(keeps) > 0 {
		t.Errorf("kept by %+v (%v)", keeps, err)
	}
	wantKind(t, "remove", s.Job.Remove(ctx, s.Foreman, j.ID), "")
	wantKind(t, "once more", s.Job.Remove(ctx, s.Foreman, j.ID), fault.NotFound)
	_, err = s.Job.Job(ctx, s.Foreman, j.ID)
	wantKind(t, "read", err, fault.NotFound)
	if team, err := s.Firm.Team(ctx, s.Owner, trade.ID); err != nil || len(team.Jobs) > 0 {
		t.Errorf("the plumber is on %+v (%v)", team, err)
	}

	// Once there was a room, the diary has more than its beginning.
	if j, err = s.Job.Create(ctx, s.Foreman, job.Job{Name: "The Old Forge"}); err != nil {
		t.Fatal(err)
	}
	r, err := s.Desk.Create(ctx, s.Foreman, room.Draft{Job: j.ID, Name: "Hall", Height: 2400,
		Walls: []room.Wall{{Length: 3600, Turn: 90}, {Length: 2400, Turn: 90}, {Length: 3600, Turn: 90},
			{Length: 2400, Turn: 90}}})
	wantKind(t, "a room", err, "")
	wantKind(t, "with a room", s.Job.Remove(ctx, s.Foreman, j.ID), fault.Obstacle)
	wantKind(t, "remove the room", s.Desk.Remove(ctx, s.Foreman, r.Record.ID), "")
	wantKind(t, "with a diary", s.Job.Remove(ctx, s.Foreman, j.ID), fault.Obstacle)
	if got := says(t, s, j.ID); !slices.Equal(got, []string{"The Old Forge begins.", "Hall was added.",
		"Hall was removed: nothing was recorded in it."}) {
		t.Errorf("%q", got)
	}
	proved(t, s)
}

// Two at once: one of them is first, and the other is told so.
func TestTwoAtOnce(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	both := func(what string, a, b func() error) (faults []fault.Kind) {
		t.Helper()
		var g errgroup.Group
		errs := make([]error, 2)
		for i, do := range []func() error{a, b} {
			g.Go(func() error { errs[i] = do(); return nil })
		}
		_ = g.Wait() // the errors are in errs
		for _, err := range errs {
			if err != nil {
				if fault.KindOf(err) == "" {
					t.Errorf("%s: %v", what, err)
				}
				faults = append(faults, fault.KindOf(err))
			}
		}
		return faults
	}
	for range 8 {
		r := s.Utility(t, "D1")
		of, south := r.Record.Job, dbtest.Datum(t, r, "south wall")
		named := func(name string) func() error {
			return func() error { _, err := s.Job.Rename(ctx, s.Foreman, of, 1, name, ""); return err }
		}
		if got := both("two names", named("A"), named("B")); !slices.Equal(got, []fault.Kind{fault.Conflict}) {
			t.Errorf("two names: %v", got)
		}
		shut := func() error { _, err := s.Job.Close(ctx, s.Foreman, of, true); return err }
		if got := both("two who close", shut, shut); len(got) > 0 {
			t.Errorf("two who close: %v", got)
		}
		if n := len(slices.DeleteFunc(says(t, s, of),
			func(l string) bool { return !strings.Contains(l, "was closed") })); n != 1 {
			t.Errorf("closed %d times", n)
		}
		_, err := s.Job.Reopen(ctx, s.Foreman, of)
		wantKind(t, "reopen", err, "")
		// A reading, a new room and a new link go in before it is closed, or not at all.
		for what, do := range map[string]func() error{
			"a reading": func() error {
				_, err := s.Desk.Verdict(ctx, s.Electrician, r.Record.ID, deed.Measure{Reading: room.Reading{Kind: words.Offset,
					Of: r.Record.Positions[0].ID, From: south, State: "bare", Value: 600}})
				return err
			},
			"a room": func() error {
				_, err := s.Desk.Create(ctx, s.Foreman, room.Draft{Job: of, Name: "Hall", Height: 2400, Outline: r.Record.Outline})
				return err
			},
			"a link": func() error { _, err := s.Job.ClientLink(ctx, s.Foreman, of); return err },
		} {
			got := both(what, do, shut)
			lines := says(t, s, of)
			last := strings.Contains(lines[len(lines)-1], "was closed")
			if !last || len(got) > 1 || len(got) == 1 && got[0] != fault.Obstacle {
				t.Errorf("%s: %v, then %q", what, got, lines[len(lines)-1])
			}
			_, err := s.Job.Reopen(ctx, s.Foreman, of)
			wantKind(t, "reopen", err, "")
		}
	}
	j, err := s.Job.Create(ctx, s.Foreman, job.Job{Name: "The Old Forge"})
	wantKind(t, "create", err, "")
	removed := both("a room in a job that is removed", func() error { return s.Job.Remove(ctx, s.Foreman, j.ID) },
		func() error {
			_, err := s.Desk.Create(ctx, s.Foreman, room.Draft{Job: j.ID, Name: "Hall", Height: 2400,
				Outline: s.Utility(t).Record.Outline})
			return err
		})
	if len(removed) != 1 {
		t.Errorf("removed and drawn in: %v", removed)
	}
	proved(t, s)
}
