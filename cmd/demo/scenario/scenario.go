// Package scenario fills an empty database with an invented firm at work, for
// the demo and for whoever wants rooms in every state: two jobs, ten rooms, and
// every obstacle and outcome that people can bring about.
//
// Nothing is written behind the services' backs. What people did over the past
// weeks is done again in the order in which they did it, with a clock that
// stands at that moment, so that the diary, the sign-offs and the refusals are
// those of real work. Readings are taken of a simulated truth with the noise
// that a tape has, and a few are wrong on purpose.
package scenario

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/words"
	"lathmark/persistence"
)

// Made is what somebody has to know to look round.
type Made struct {
	Firm   id.Firm
	Name   string
	People []Person
	Links  []Link
}

// Person is somebody to sign in as, and what to try as that person.
type Person struct {
	Name, Role, Try string
}

// Link is a client's private link to the progress of one job.
type Link struct {
	Job   string
	Token string // as job.Service.ClientLink gives it
}

// site is the firm while it is being made.
type site struct {
	persistence.Services
	ctx   context.Context
	clock *clock
	chance
	steps []step

	owner, foreman, electrician, plumber, dryLiner, plasterer, tiler, decorator firm.Person

	quarry, mill job.Job
	made         Made
}

// seed of everything that is left to chance: the same scenario every time, but
// for its days.
const seed = 14

// Make makes the firm in the database, as its people would have come to stand
// at now. It is for a database without firms: a second call makes a second firm.
func Make(ctx context.Context, db *persistence.DB, now time.Time) (Made, error) {
	c := &clock{today: zone.Day(now)}
	s := &site{Services: persistence.NewServices(db, c.now), ctx: ctx, clock: c,
		chance: chance{rand.New(rand.NewPCG(seed, 0))}}
	if err := s.begin(); err != nil {
		return Made{}, err
	}
	for _, tell := range []func(){s.hall, s.sittingRoom, s.kitchen, s.utility, s.bathroom, s.bedroom, s.landing, s.studio,
		s.showerRoom, s.store} {
		tell()
	}
	if err := s.play(); err != nil {
		return Made{}, err
	}
	err := s.programme()
	return s.made, err
}

// begin founds the firm and opens its jobs, before the first room.
func (s *site) begin() (err error) {
	s.clock.at = s.clock.before(45, "07:30")
	const name = "Aldous & Daughters"
	if s.owner, _, err = s.Firm.Found(s.ctx, name, string(zone), "Maud Aldous"); err != nil {
		return err
	}
	s.made = Made{Firm: s.owner.Firm, Name: name,
		People: []Person{{s.owner.Name, "owner", "the standard build-ups, and all that the foreman does"}}}
	for _, p := range []struct {
		to    *firm.Person
		name  string
		role  firm.Role
		trade words.Trade
		try   string
	}{
		{&s.foreman, "Ruth Aldous", firm.Foreman, "",
			"sign off first fix in the studio; see why boarding in the bathroom cannot be signed off"},
		{&s.electrician, "Ola Brandt", firm.Trade, words.Electrician,
			"measure D4 in the utility; open the next hole in the kitchen"},
		{&s.plumber, "Joss Penhale", firm.Trade, words.Plumber,
			"measure the tails in the shower room; see W1 in the bathroom free"},
		{&s.dryLiner, "Ines Quill", firm.Trade, words.DryLiner, "record the boards of the bathroom"},
		{&s.plasterer, "Pell Castor", firm.Trade, words.Plasterer,
			"record the skim in the back bedroom and the day it was finished"},
		{&s.tiler, "Nia Strand", firm.Trade, words.Tiler,
			"see what has to be done before the bathroom is ready for tiles; on 14 Quarry Lane only"},
		{&s.decorator, "Wim Harker", firm.Trade, words.Decorator, "see what is holding up painting in the sitting room"},
	} {
		m, err := s.Firm.TakeOn(s.ctx, s.owner, id.Member{}, firm.Particulars{Name: p.name, Role: p.role, Trade: p.trade,
			Team: firm.Team{EveryJob: p.role == firm.Trade}})
		if err != nil {
			return err
		}
		*p.to = m.Person
		role := string(p.role)
		if p.trade != "" {
			role = p.trade.String()
		}
		s.made.People = append(s.made.People, Person{p.name, role, p.try})
	}
	for _, b := range standards {
		if _, err := s.Firm.SaveBuildUp(s.ctx, s.owner, firm.BuildUp{Name: b.name, Layers: b.layers}); err != nil {
			return err
		}
	}
	return s.jobs()
}

func (s *site) jobs() (err error) {
	for _, j := range []struct {
		to            *job.Job
		name, address string
	}{{&s.mill, "Mill Loft", "Weir Street"}, {&s.quarry, "14 Quarry Lane", "Nether Holm"}} {
		if *j.to, err = s.Job.Create(s.ctx, s.foreman, job.Job{Name: j.name, Address: j.address}); err != nil {
			return err
		}
		token, err := s.Job.ClientLink(s.ctx, s.foreman, j.to.ID)
		if err != nil {
			return err
		}
		s.made.Links = append(s.made.Links, Link{j.name, token})
	}
	// The tiler comes from outside, for this one job.
	return s.Firm.NameJobs(s.ctx, s.foreman, s.tiler.ID, firm.Team{Jobs: []id.Job{s.quarry.ID}})
}

// play does every step in the order of time.
func (s *site) play() error {
	slices.SortStableFunc(s.steps, func(a, b step) int { return a.at.Compare(b.at) })
	for _, st := range s.steps {
		s.clock.at = st.at
		for i, do := range st.acts {
			if err := do(); err != nil {
				return fmt.Errorf("%s, %s, act %d: %w", st.where, words.DayTime(zone.In(st.at)), i+1, err)
			}
		}
	}
	return nil
}
