package firm_test

import (
	"slices"
	"testing"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
)

// A trade sees the jobs that name it, from one request to the next.
func TestATradeSeesHisJobs(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	var jobs []id.Job
	for _, name := range []string{"14 Orchard Row", "The Old Forge", "Mill Loft"} {
		j, err := s.Job.Create(ctx, s.Foreman, job.Job{Name: name})
		wantKind(t, name, err, "")
		jobs = append(jobs, j.ID)
	}
	sees := func(p firm.Person) (out []id.Job) {
		t.Helper()
		all, err := s.Job.Jobs(ctx, p)
		wantKind(t, "the trade's jobs", err, "")
		for _, j := range all {
			out = append(out, j.ID)
		}
		return out
	}
	tiler := s.AddTo(t, "Pia Lund", firm.Trade, words.Tiler)
	if got := sees(tiler); len(got) != 0 {
		t.Errorf("named on none the trade sees %v", got)
	}
	wantKind(t, "name two, one twice", s.Firm.NameJobs(ctx, s.Foreman, tiler.ID,
		firm.Team{Jobs: []id.Job{jobs[2], jobs[0], jobs[2]}}), "")
	if got := sees(tiler); len(got) != 2 || slices.Contains(got, jobs[1]) {
		t.Errorf("named on two the trade sees %v", got)
	}
	got, err := s.Firm.Team(ctx, tiler, tiler.ID)
	if err != nil || got.EveryJob || !slices.Equal(got.Jobs, []id.Job{jobs[0], jobs[2]}) {
		t.Errorf("the trade's own team is %+v (%v)", got, err)
	}
	_, err = s.Firm.Team(ctx, tiler, s.Plumber.ID)
	wantKind(t, "somebody else's", err, fault.Refused)
	wantKind(t, "every job", s.Firm.NameJobs(ctx, s.Owner, tiler.ID, firm.Team{EveryJob: true}), "")
	if got := sees(tiler); len(got) != 3 {
		t.Errorf("on every job the trade sees %v", got)
	}
	wantKind(t, "none", s.Firm.NameJobs(ctx, s.Owner, tiler.ID, firm.Team{}), "")
	_, err = s.Job.Job(ctx, tiler, jobs[0])
	wantKind(t, "a job that the trade was taken off", err, fault.NotFound)
}

func TestWhoNamesJobsForWhom(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	j, err := s.Job.Create(ctx, s.Foreman, job.Job{Name: "14 Orchard Row"})
	wantKind(t, "a job", err, "")
	stranger := s.Found(t, "Marl & Sons")
	theirs, err := s.Job.Create(ctx, stranger, job.Job{Name: "Elsewhere"})
	wantKind(t, "their job", err, "")
	client := s.AddTo(t, "Wim Haas", firm.Client, "", j.ID)
	one := firm.Team{Jobs: []id.Job{j.ID}}
	for what, c := range map[string]struct {
		by   firm.Person
		of   id.Member
		team firm.Team
		want fault.Kind
	}{
		"by a trade":             {s.Electrician, s.Plumber.ID, one, fault.Refused},
		"by a trade for its own": {s.Electrician, s.Electrician.ID, firm.Team{EveryJob: true}, fault.Refused},
		"by the client":          {client, client.ID, one, fault.Refused},
		"by another firm":        {stranger, s.Plumber.ID, firm.Team{}, fault.NotFound},
		"a job of another firm":  {s.Owner, s.Plumber.ID, firm.Team{Jobs: []id.Job{theirs.ID}}, fault.NotFound},
		"a job that never was":   {s.Owner, s.Plumber.ID, firm.Team{Jobs: []id.Job{id.New[id.Job]()}}, fault.NotFound},
		"for the foreman":        {s.Owner, s.Foreman.ID, one, fault.BadInput},
		"every job for a client": {s.Owner, client.ID, firm.Team{EveryJob: true}, fault.BadInput},
		"nobody":                 {s.Owner, id.New[id.Member](), one, fault.NotFound},
	} {
		wantKind(t, what, s.Firm.NameJobs(ctx, c.by, c.of, c.team), c.want)
	}
	got, err := s.Firm.Team(ctx, s.Foreman, s.Plumber.ID)
	if err != nil || !got.EveryJob {
		t.Errorf("what was refused changed the plumber's jobs: %+v (%v)", got, err)
	}
	wantKind(t, "end the membership", s.Firm.EndMember(ctx, s.Owner, s.Plumber.ID), "")
	wantKind(t, "one who left", s.Firm.NameJobs(ctx, s.Owner, s.Plumber.ID, one), fault.NotFound)
	_, err = s.Firm.TakeOn(ctx, s.Owner, id.Member{}, firm.Particulars{Name: "X", Role: firm.Client,
		Team: firm.Team{EveryJob: true}})
	wantKind(t, "a client put on every job", err, fault.BadInput)
}
