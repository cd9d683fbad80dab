package programme

import (
	"context"
	"slices"
	"strings"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/words"
)

// VisitLink is a private address. A crew's reads its visits and says whether it comes, a
// member's is for a calendar alone. Its secret is not stored.
type VisitLink struct {
	Crew          id.Crew
	Member        id.Member
	Made, Expires time.Time
}

// VisitLinkLifetime is how long a crew's address works: a season. A calendar's works a year.
const (
	VisitLinkLifetime    = 90 * 24 * time.Hour
	CalendarLinkLifetime = 366 * 24 * time.Hour
)

// CrewLink makes a private address for a crew, and ends those made before. Owners and
// foremen may call it. Faults: Refused, NotFound.
func (s *Service) CrewLink(ctx context.Context, by firm.Person, crew id.Crew) (token string, err error) {
	token, hash := firm.NewToken(by.Firm)
	return token, s.run(ctx, by, func(tx Tx, now time.Time) error {
		given, err := tx.Given(ctx)
		if err != nil {
			return err
		}
		if err := speaksFor(by, &given, crew); err != nil || crew.IsZero() {
			return cmpErr(err, &fault.Error{Kind: fault.NotFound, Msg: "There is no such crew."})
		}
		return s.link(ctx, tx, hash, VisitLink{Crew: crew, Made: now, Expires: now.Add(VisitLinkLifetime)})
	})
}

// CalendarLink makes a private address for the calendar of whoever asks, and ends those made
// before. Everybody of the firm may call it. Faults: Refused.
func (s *Service) CalendarLink(ctx context.Context, by firm.Person) (token string, err error) {
	token, hash := firm.NewToken(by.Firm)
	return token, s.in.Do(ctx, by, firm.MayManageSelf, func(tx Tx) error {
		now := s.now()
		return s.link(ctx, tx, hash, VisitLink{Member: by.ID, Made: now, Expires: now.Add(CalendarLinkLifetime)})
	})
}

func (s *Service) link(ctx context.Context, tx Tx, hash firm.Hash, l VisitLink) error {
	if _, err := tx.EndVisitLinks(ctx, l.Crew, l.Member, l.Made); err != nil {
		return err
	}
	return tx.InsertVisitLink(ctx, hash, l)
}

// VisitLinks returns the addresses that work: those of all crews for owners and foremen, and
// the asker's own calendar's. Everybody of the firm may call it. Faults: Refused.
func (s *Service) VisitLinks(ctx context.Context, by firm.Person) ([]VisitLink, error) {
	return firm.Ask(ctx, s.look, by, firm.MayManageSelf, func(tx Tx) ([]VisitLink, error) {
		all, err := tx.VisitLinks(ctx, s.now())
		runs := firm.MayRunJobs(by) == nil
		return kept(all, func(l VisitLink) bool { return l.Member == by.ID || l.Member.IsZero() && runs }), err
	})
}

// EndCrewLinks ends the working addresses of a crew. Owners and foremen may call it.
// Faults: Refused.
func (s *Service) EndCrewLinks(ctx context.Context, by firm.Person, crew id.Crew) error {
	return s.run(ctx, by, func(tx Tx, now time.Time) error {
		_, err := tx.EndVisitLinks(ctx, crew, id.Member{}, now)
		return err
	})
}

// EndCalendarLink ends the asker's own calendar's address. Everybody of the firm may call
// it. Faults: Refused.
func (s *Service) EndCalendarLink(ctx context.Context, by firm.Person) error {
	return s.in.Do(ctx, by, firm.MayManageSelf, func(tx Tx) error {
		_, err := tx.EndVisitLinks(ctx, id.Crew{}, by.ID, s.now())
		return err
	})
}

// gone is what whoever has a link that does not work is told.
func gone() error {
	return &fault.Error{Kind: fault.NotFound, Msg: "This link no longer works. Ask for a new one."}
}

// ReadLink returns what a private address shows: the visits of its crew, or those that its
// member sees. Anybody who has the link may ask. Faults: NotFound.
func (s *Service) ReadLink(ctx context.Context, token string) (v View, l VisitLink, err error) {
	of, hash, err := firm.ReadToken(token)
	if err != nil {
		return v, l, err
	}
	by := firm.Whole(of)
	err = s.look(ctx, by, func(tx Tx) error {
		if l, err = tx.VisitLink(ctx, hash, s.now()); err != nil {
			return err
		}
		if !l.Member.IsZero() {
			m, err := tx.Member(ctx, l.Member)
			by = m.Person
			if err == nil && !m.LeftAt.IsZero() {
				err = gone()
			}
			return err
		}
		v, err = s.view(ctx, tx)
		return err
	})
	if err != nil {
		return View{}, l, err
	}
	if !l.Member.IsZero() {
		v, err = s.Read(ctx, by)
		return v, l, err
	}
	crew, err := v.Given.crew(l.Crew)
	if err != nil {
		return View{}, l, err
	}
	// The link stands for the crew wherever it works, and for nobody's account.
	v, err = s.finish(ctx, firm.Person{Firm: of, Role: firm.Owner}, v)
	v.Own = []Crew{crew}
	return v.forCrews(crew.Trade, false), l, err
}

// crew finds a crew. Faults: NotFound, as for a link that does not work.
func (g *Given) crew(of id.Crew) (Crew, error) {
	if i := slices.IndexFunc(g.Crews, func(c Crew) bool { return c.ID == of }); i >= 0 {
		return g.Crews[i], nil
	}
	return Crew{}, gone()
}

// ReadClient returns what a client's private link shows of its job: see seenBy. Anybody who
// has the link may ask. Faults: NotFound.
func (s *Service) ReadClient(ctx context.Context, token string) (v View, err error) {
	of, hash, err := firm.ReadToken(token)
	if err != nil {
		return v, err
	}
	err = s.look(ctx, firm.Whole(of), func(tx Tx) error {
		only, err := tx.ClientLinkJob(ctx, hash, s.now())
		if err != nil {
			return err
		}
		own, err := tx.Job(ctx, only)
		if err != nil {
			return err
		}
		if v.Given, err = tx.SaidOf(ctx, only); err != nil {
			return err
		}
		v.Jobs = []job.Job{own}
		v, err = s.on(ctx, tx, v)
		return err
	})
	if err != nil {
		return View{}, err
	}
	// Whether the firm has written since is not asked: that would look at all its jobs.
	v.Again = v.Programme == nil || !v.Programme.Today.Equal(v.Today)
	return seenBy(firm.Person{Firm: of, Role: firm.Client}, v), nil
}

// WillCome says that a crew will be at a job on a day. A trade says so of the own crews,
// owners and foremen of every crew. Repeating it is no error. Faults: Refused, NotFound (the
// crew, the job), BadInput, Obstacle (the job is closed).
func (s *Service) WillCome(ctx context.Context, by firm.Person, c Coming) error {
	c.By = by.ID
	return s.in.Do(ctx, by, firm.MayRecord, func(tx Tx) error {
		given, err := tx.Given(ctx)
		if err != nil {
			return err
		}
		if err := speaksFor(by, &given, c.Crew); err != nil {
			return err
		}
		crew, err := given.crew(c.Crew)
		if err != nil {
			return err
		}
		return s.willCome(ctx, tx, by, &given, crew, c)
	})
}

// WillComeByLink is WillCome for whoever has a crew's link. Faults: NotFound, BadInput,
// Obstacle.
func (s *Service) WillComeByLink(ctx context.Context, token string, c Coming) error {
	return s.byLink(ctx, token, func(tx Tx, of id.Firm, given *Given, crew Crew) error {
		c.Crew, c.By = crew.ID, id.Member{}
		return s.willCome(ctx, tx, firm.Person{Firm: of, Name: byLinkOf(crew)}, given, crew, c)
	})
}

// byLinkOf names in a diary whoever used a crew's link: nobody knows who that was, and no
// name is there that would have to be taken out.
func byLinkOf(c Crew) string { return words.Capital(c.Trade.String()) + ", by a private link" }

// AwayByLink is SayAway for whoever has a crew's link: of that crew. Faults: NotFound,
// BadInput.
func (s *Service) AwayByLink(ctx context.Context, token string, a Away) error {
	return s.byLink(ctx, token, func(tx Tx, _ id.Firm, given *Given, crew Crew) error {
		a.ID, a.Why, a.Crew, a.By = id.OrNew(a.ID), strings.TrimSpace(a.Why), crew.ID, id.Member{}
		return s.saveAway(ctx, tx, given, &a)
	})
}

// BackByLink is BackAgain for whoever has a crew's link: of that crew. Faults: NotFound.
func (s *Service) BackByLink(ctx context.Context, token string, away id.Away) error {
	return s.byLink(ctx, token, func(tx Tx, _ id.Firm, given *Given, crew Crew) error {
		i := slices.IndexFunc(given.Away, func(a Away) bool { return a.ID == away && a.Crew == crew.ID })
		if i < 0 {
			return &fault.Error{Kind: fault.NotFound, Msg: "There is no such absence."}
		}
		return s.endAway(ctx, tx, given.Away[i])
	})
}

// byLink runs do in a transaction of the firm itself, for the crew of a link that works.
func (s *Service) byLink(ctx context.Context, token string, do func(tx Tx, of id.Firm, given *Given,
	crew Crew) error) error {
	of, hash, err := firm.ReadToken(token)
	if err != nil {
		return err
	}
	return s.in(ctx, firm.Whole(of), func(tx Tx) error {
		l, err := tx.VisitLink(ctx, hash, s.now())
		if err != nil {
			return err
		}
		given, err := tx.Given(ctx)
		if err != nil {
			return err
		}
		crew, err := given.crew(l.Crew)
		if err != nil {
			return err
		}
		return do(tx, of, &given, crew)
	})
}

func (s *Service) willCome(ctx context.Context, tx Tx, by firm.Person, given *Given, crew Crew, c Coming) error {
	j, err := open(ctx, tx, c.Job)
	if err != nil {
		return err
	}
	today, err := s.today(ctx, tx)
	if err != nil {
		return err
	}
	var wrong fault.Fields
	day(&wrong, "on", c.On, today, today)
	if err := wrong.Err("That cannot be said of this day."); err != nil {
		return err
	}
	c.At = s.now()
	if slices.ContainsFunc(given.Coming, func(o Coming) bool {
		return o.Crew == c.Crew && o.Job == c.Job && o.On.Equal(c.On)
	}) {
		return nil
	}
	if err := tx.SaveComing(ctx, c); err != nil {
		return err
	}
	return note(ctx, tx, by, j.ID, id.Room{}, "", ActComing, "The "+crew.Trade.String()+" will be there on "+
		words.Date(c.On)+".",
		c.Detailed(), c.At)
}
