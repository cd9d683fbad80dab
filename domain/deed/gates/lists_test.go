package gates_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
)

// The lists are worked out from the gates: nobody keeps them.
func TestListsFollowTheGates(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.Utility(t, "D1", "D2")
	of := r.Record.ID

	sheets, err := s.Book.Overview(ctx, s.Foreman)
	if err != nil || len(sheets) != 1 || len(sheets[0].Rows) != 1 || sheets[0].Name != "14 Orchard Row" {
		t.Fatalf("%+v (%v)", sheets, err)
	}
	row := sheets[0].Rows[0]
	if c := row.Cells[words.FirstFix]; c.State != words.InHand || c.Hard != 2 || c.Soft != 0 {
		t.Errorf("first fix: %+v", c)
	}
	if c := row.Cells[words.Boarding]; c.State != words.Waiting || c.Hard != 0 {
		t.Errorf("boarding: %+v", c)
	}
	if len(row.Turn) != 1 || row.Turn[0] != words.Electrician {
		t.Errorf("it is the turn of %v", row.Turn)
	}
	tasks, err := s.Book.Tasks(ctx, s.Electrician)
	if err != nil || len(tasks) != 1 || len(tasks[0].Tasks) != 2 || tasks[0].Tasks[0].Code != "no_record" ||
		tasks[0].Next.Sentence == "" {
		t.Errorf("the electrician's: %+v (%v)", tasks, err)
	}
	if tasks, err = s.Book.Tasks(ctx, s.DryLiner); err != nil || len(tasks) != 0 {
		t.Errorf("the dry liner's: %+v (%v)", tasks, err)
	}
	if ready, err := s.Book.Ready(ctx, s.DryLiner); err != nil || len(ready) != 0 {
		t.Errorf("ready for boards: %+v (%v)", ready, err)
	}
	// The foreman may come to a room in which they have nothing to do; a trade only where it has something.
	for _, c := range []struct {
		who   firm.Person
		rooms int
	}{{s.Foreman, 1}, {s.Electrician, 1}, {s.DryLiner, 0}} {
		visits, err := s.Book.Visits(ctx, c.who)
		if err != nil || len(visits) != c.rooms || c.rooms > 0 && visits[0].InHand != words.FirstFix {
			t.Errorf("%s may come to %+v (%v)", c.who.Name, visits, err)
		}
	}

	r = s.SignFirstFix(t, r)
	for _, p := range r.Record.Positions {
		if _, err := s.Desk.Do(ctx, s.Electrician, of, deed.SeeTails{Positions: []id.Position{p.ID}}); err != nil {
			t.Fatal(err)
		}
	}
	if ready, err := s.Book.Ready(ctx, s.DryLiner); err != nil || len(ready) != 1 || ready[0].Stage != words.Boarding ||
		ready[0].Since.IsZero() {
		t.Errorf("ready for boards: %+v (%v)", ready, err)
	}
	one, err := s.Book.JobSheet(ctx, s.DryLiner, r.Record.Job)
	if err != nil || one.Rows[0].Cells[words.FirstFix].Initials != "BO" || one.Rows[0].Cells[words.Boarding].Hard != 2 {
		t.Errorf("%+v (%v)", one, err)
	}
	if _, err := s.Book.JobSheet(ctx, s.Found(t, "Marl & Sons"), r.Record.Job); fault.KindOf(err) != fault.NotFound {
		t.Errorf("another firm's job: %v", err)
	}
}

// The client sees how it goes: no name of anybody, no measurement, no
// mistake.
func TestTheClientSeesProgressOnly(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.SignFirstFix(t, s.Utility(t, "D1", "D2"))
	if _, err := s.Desk.Do(ctx, s.Foreman, r.Record.ID,
		deed.NoteSnag{Snag: room.Snag{Says: "scratch on the sill"}}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Desk.Do(ctx, s.Foreman, r.Record.ID, deed.Hold{Position: r.Record.Positions[0].ID, Version: 0,
		Why: "the lamp is not chosen"}); err != nil {
		t.Fatal(err)
	}
	link, err := s.Job.ClientLink(ctx, s.Foreman, r.Record.Job)
	if err != nil {
		t.Fatal(err)
	}
	p, err := s.Book.Progress(ctx, link)
	if err != nil || p.Job != "14 Orchard Row" || len(p.Rooms) != 1 {
		t.Fatalf("%+v (%v)", p, err)
	}
	got := p.Rooms[0]
	if got.States[words.FirstFix] != words.SignedOff || got.Next != words.Boarding || got.Done ||
		len(got.Decisions) != 1 ||
		got.Decisions[0].Why != "the lamp is not chosen" {
		t.Errorf("%+v", got)
	}
	text, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	for _, word := range []string{"Okafor", "Carro", "BO", "scratch", "600", "601", "wall"} {
		if strings.Contains(string(text), word) {
			t.Errorf("the client reads %q in %s", word, text)
		}
	}
	if _, err := s.Book.Progress(ctx, link[:len(link)-2]+"AA"); fault.KindOf(err) != fault.NotFound {
		t.Errorf("a link with a slip: %v", err)
	}
}

// boarded is a room with one position whose boarding was just signed off.
func boarded(t *testing.T, s *dbtest.Site) *walk {
	t.Helper()
	ctx := t.Context()
	r := s.SignFirstFix(t, s.Utility(t, "D1"))
	w := &walk{Site: s, t: t, ctx: ctx, at: r}
	of := r.Record.ID
	w.ok(s.Desk.Do(ctx, s.Electrician, of, deed.SeeTails{Positions: []id.Position{r.Record.Positions[0].ID}}))
	for _, name := range []string{"south wall", "west wall"} {
		w.ok(s.Desk.Do(ctx, s.DryLiner, of,
			deed.PutOn{List: []deed.Coat{{Datum: dbtest.Datum(t, r, name), Through: "board", Thickness: 25, By: "rule"}}}))
	}
	w.ok(s.Desk.Do(ctx, s.DryLiner, of, deed.Offer{Stage: words.Boarding}))
	w.sign(words.Boarding)
	return w
}

// Second fix waits for the plaster: the client is told the day, the foreman
// may accept it.
func TestTheEarliestDryDay(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	w := boarded(t, s)
	r, of := w.at, w.at.Record.ID
	finished := s.Clock.Now()
	for _, name := range []string{"south wall", "west wall"} {
		w.ok(s.Desk.Do(ctx, s.Plasterer, of,
			deed.PutOn{List: []deed.Coat{{Datum: dbtest.Datum(t, r, name), Through: "skim", From: "board", Thickness: 3,
				By: "rule"}}}))
	}
	w.ok(s.Desk.Do(ctx, s.Plasterer, of, deed.Finish{Stage: words.Plaster, On: finished}))
	w.ok(s.Desk.Do(ctx, s.Plasterer, of, deed.Offer{Stage: words.Plaster}))
	w.sign(words.Plaster)
	// Skim on board: three days, common practice (see domain/caution).
	want := time.Date(2026, 3, 5, 0, 0, 0, 0, time.UTC)
	if got := w.at.Gate.EarliestDry; !got.Equal(want) {
		t.Errorf("dry on %s, want %s", got, want)
	}
	link, err := s.Job.ClientLink(ctx, s.Foreman, r.Record.Job)
	if err != nil {
		t.Fatal(err)
	}
	if p, err := s.Book.Progress(ctx, link); err != nil || !p.Rooms[0].Earliest.Equal(want) {
		t.Errorf("the client is told %+v (%v)", p, err)
	}
	soft := map[string]bool{}
	for _, o := range w.at.Obstacles(words.SecondFix) {
		soft[o.Code] = !o.Hard
	}
	if !soft["not_dry"] {
		t.Errorf("obstacles of second fix: %v", soft)
	}
	s.Clock.Pass(72 * time.Hour)
	j, err := s.Desk.Read(ctx, s.Foreman, of)
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range j.Obstacles(words.SecondFix) {
		if o.Code == "not_dry" {
			t.Errorf("three days later: %s", o.Wrong)
		}
	}
}
