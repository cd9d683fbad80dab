package job_test

import (
	"strings"
	"testing"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/pgtest"
)

func TestMain(m *testing.M) { pgtest.Main(m) }

func wantKind(t *testing.T, what string, err error, kind fault.Kind) {
	t.Helper()
	if fault.KindOf(err) != kind || kind == "" && err != nil {
		t.Errorf("%s: want %q, got %v", what, kind, err)
	}
}

func TestJobs(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	orchard := job.Job{ID: id.New[id.Job](), Name: "14 Orchard Row", Address: "Nether Appleby"}
	for range 2 {
		_, err := s.Job.Create(ctx, s.Foreman, orchard)
		wantKind(t, "create", err, "")
	}
	other := orchard
	other.Name = "16 Orchard Row"
	_, err := s.Job.Create(ctx, s.Foreman, other)
	wantKind(t, "another under its id", err, fault.Conflict)
	_, err = s.Job.Create(ctx, s.Foreman, job.Job{Name: "\t"})
	wantKind(t, "no name", err, fault.BadInput)
	stranger := s.Found(t, "Marl & Sons")
	umlauts := job.Job{ID: id.New[id.Job](), Name: strings.Repeat("ü", 120), Address: strings.Repeat("ü", 400)}
	_, err = s.Job.Create(ctx, stranger, umlauts)
	wantKind(t, "as long as a name may be, in characters", err, "")
	for what, change := range map[string]func(*job.Job){
		"name":    func(j *job.Job) { j.Name += "ü" },
		"address": func(j *job.Job) { j.Address += "ü" },
	} {
		long := job.Job{Name: umlauts.Name, Address: umlauts.Address}
		change(&long)
		_, err = s.Job.Create(ctx, stranger, long)
		wantKind(t, "a longer "+what, err, fault.BadInput)
	}
	_, err = s.Job.Create(ctx, s.Electrician, job.Job{Name: "x"})
	wantKind(t, "by a trade", err, fault.Refused)
	if _, err := s.Job.Create(ctx, s.Owner, job.Job{Name: "The Old Forge"}); err != nil {
		t.Fatal(err)
	}
	all, err := s.Job.Jobs(ctx, s.Electrician)
	if err != nil || len(all) != 2 || all[0].Name != "The Old Forge" || all[1].Address != "Nether Appleby" {
		t.Errorf("%+v (%v)", all, err)
	}
	_, err = s.Job.Job(ctx, stranger, orchard.ID)
	wantKind(t, "another firm's", err, fault.NotFound)
	// The id of a job of another firm is free: no firm learns what another has.
	_, err = s.Job.Create(ctx, stranger, orchard)
	wantKind(t, "the same id in another firm", err, "")
	entries, err := s.Diary.Read(ctx, s.Foreman, orchard.ID, 0)
	if err != nil || len(entries) != 1 || entries[0].Says != "14 Orchard Row begins." {
		t.Errorf("%+v (%v)", entries, err)
	}
}

// A client's link leads to its job until it is made anew or ended.
func TestTheClientsLink(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	j, err := s.Job.Create(ctx, s.Foreman, job.Job{Name: "14 Orchard Row"})
	wantKind(t, "create", err, "")
	first, err := s.Job.ClientLink(ctx, s.Foreman, j.ID)
	wantKind(t, "a link", err, "")
	if got, err := s.Desk.Progress(ctx, first); err != nil || got.Job != j.Name {
		t.Errorf("it leads to %+v (%v)", got, err)
	}
	second, err := s.Job.ClientLink(ctx, s.Owner, j.ID)
	wantKind(t, "a second link", err, "")
	_, err = s.Desk.Progress(ctx, first)
	wantKind(t, "the first one then", err, fault.NotFound)
	_, err = s.Job.ClientLink(ctx, s.Electrician, j.ID)
	wantKind(t, "by a trade", err, fault.Refused)
	_, err = s.Job.ClientLink(ctx, s.Found(t, "Marl & Sons"), j.ID)
	wantKind(t, "by another firm", err, fault.NotFound)
	s.Clock.Pass(job.LinkLifetime - time.Hour)
	_, err = s.Desk.Progress(ctx, second)
	wantKind(t, "on its last day", err, "")
	wantKind(t, "renewed by a trade", s.Job.RenewClientLink(ctx, s.Electrician, j.ID), fault.Refused)
	wantKind(t, "renewed by another firm", s.Job.RenewClientLink(ctx, s.Found(t, "Marl & Sons"), j.ID), fault.NotFound)
	wantKind(t, "renewed", s.Job.RenewClientLink(ctx, s.Foreman, j.ID), "")
	s.Clock.Pass(job.LinkLifetime - time.Hour)
	_, err = s.Desk.Progress(ctx, second)
	wantKind(t, "when it was renewed", err, "")
	s.Clock.Pass(2 * time.Hour)
	_, err = s.Desk.Progress(ctx, second)
	wantKind(t, "when it is over", err, fault.NotFound)
	wantKind(t, "renewed when it is over", s.Job.RenewClientLink(ctx, s.Foreman, j.ID), fault.NotFound)
	if l, err := s.Job.Link(ctx, s.Foreman, j.ID); err != nil || !l.EndsAt.IsZero() {
		t.Errorf("%+v works (%v)", l, err)
	}
	second, err = s.Job.ClientLink(ctx, s.Foreman, j.ID)
	wantKind(t, "a third link", err, "")
	if l, err := s.Job.Link(ctx, s.Foreman, j.ID); err != nil || l.EndsAt.Sub(l.MadeAt) != 90*24*time.Hour {
		t.Errorf("%+v (%v)", l, err)
	}
	wantKind(t, "end", s.Job.EndClientLinks(ctx, s.Foreman, j.ID), "")
	wantKind(t, "end again", s.Job.EndClientLinks(ctx, s.Foreman, j.ID), "")
	_, err = s.Desk.Progress(ctx, second)
	wantKind(t, "the second one then", err, fault.NotFound)
	client := s.Add(t, "Wim Haas", firm.Client, "")
	_, err = s.Job.Jobs(ctx, client)
	wantKind(t, "the client asks for all jobs", err, fault.Refused)
	_, err = s.Diary.Read(ctx, client, j.ID, 0)
	wantKind(t, "the client asks for the diary", err, fault.Refused)
}
