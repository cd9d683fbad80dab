package programme

import (
	"context"
	"slices"
	"strings"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// onSite reports whether a trade comes to a site: the foreman and the client are none.
func onSite(t words.Trade) bool {
	return slices.Contains(words.Trades, t) && t != words.Foreman && t != words.Client
}

// noTrade mends a trade that is none.
const noTrade = "Give electrician, plumber, dry_liner, plasterer, tiler, joiner or decorator"

// farthest is how far ahead a day may lie, in days: what lies beyond is a slip of the keys.
const farthest = 5 * 366

// day checks a day that was given, which has to lie between the first that may be and
// farthest from today.
func day(wrong *fault.Fields, path string, on, first, today time.Time) {
	wrong.If(!on.Equal(on.UTC().Truncate(24*time.Hour)) || on.IsZero(), path, "there is no such day",
		"Give a day, as 2026-12-10")
	wrong.If(!on.IsZero() && on.Before(first), path, words.Date(on)+" is too early",
		"Give "+words.Date(first)+" or a later day")
	wrong.If(on.After(today.AddDate(0, 0, farthest)), path, words.Date(on)+" is too far off",
		"Give a day of the next five years")
}

// text checks a text that was given.
func text(wrong *fault.Fields, path, is string, most int, needed bool) {
	wrong.If(needed && strings.TrimSpace(is) == "", path, "it is empty", "Say it in a few words")
	wrong.If(words.Characters(is) > most, path, "it is too long", "Say it in fewer words")
	wrong.If(strings.ContainsAny(is, "\r\n\x00"), path, "it has more than one line", "Write it on one line")
}

// today returns the day in the firm's zone.
func (s *Service) today(ctx context.Context, tx Tx) (time.Time, error) {
	f, err := tx.Firm(ctx)
	return f.Zone.Day(s.now()), err
}

// SetWeek says on which days of the week the firm works, from Sunday, and which region's
// bank holidays it keeps. Owners and foremen may call it. Faults: Refused, BadInput.
func (s *Service) SetWeek(ctx context.Context, by firm.Person, week [7]bool, region string) error {
	region = strings.TrimSpace(region)
	return s.run(ctx, by, func(tx Tx, _ time.Time) error {
		var wrong fault.Fields
		wrong.If(week == [7]bool{}, "week", "the firm works on no day", "Choose the days on which it works")
		text(&wrong, "region", region, 60, false)
		if err := wrong.Err("The firm's week cannot be kept like that."); err != nil {
			return err
		}
		return tx.SaveWeek(ctx, week, region)
	})
}

// SetHolidays keeps the bank holidays of a region that does not come with the program, as
// ReadHolidays reads them. Owners and foremen may call it. Faults: Refused, BadInput.
func (s *Service) SetHolidays(ctx context.Context, by firm.Person, all []Holiday) error {
	return s.run(ctx, by, func(tx Tx, _ time.Time) error {
		if len(all) > mostHolidays {
			return fault.Bad("These bank holidays cannot be kept.", "file", "there are too many", "Give those of the next years")
		}
		return tx.SaveHolidays(ctx, all)
	})
}

// SaveCrew adds a crew, or changes the one with its id. Owners and foremen may call it.
// Faults: Refused, BadInput, Conflict (it has ended).
func (s *Service) SaveCrew(ctx context.Context, by firm.Person, c Crew) (Crew, error) {
	c.ID, c.Name = id.OrNew(c.ID), strings.TrimSpace(c.Name)
	return c, s.run(ctx, by, func(tx Tx, now time.Time) error {
		var wrong fault.Fields
		wrong.If(!onSite(c.Trade), "trade", "there is no such trade", noTrade)
		text(&wrong, "name", c.Name, 120, true)
		wrong.If(c.People < 1 || c.People > 20, "people", "a crew is of 1 to 20 people",
			"Give how many work at one time")
		if !c.Member.IsZero() {
			m, err := tx.Member(ctx, c.Member)
			if err != nil {
				return err
			}
			wrong.If(m.Role != firm.Trade || m.Trade != c.Trade || !m.LeftAt.IsZero(), "member",
				m.Name+" does not work in the firm as "+c.Trade.String(),
				"Choose somebody of that trade, or nobody")
		}
		if err := wrong.Err("This crew cannot be kept."); err != nil {
			return err
		}
		return tx.SaveCrew(ctx, c, now)
	})
}

// EndCrew ends a crew: it comes no more, and its links end. Owners and foremen may call it.
// Faults: Refused, NotFound.
func (s *Service) EndCrew(ctx context.Context, by firm.Person, crew id.Crew) error {
	return s.run(ctx, by, func(tx Tx, now time.Time) error { return tx.EndCrew(ctx, crew, now) })
}

// SayAway says that a crew does not come on some days, or that nobody of the firm works;
// one with the same id is changed. Owners and foremen may say so of every crew and of the
// firm, a trade of the own crews. Faults: Refused, BadInput, NotFound (the crew).
func (s *Service) SayAway(ctx context.Context, by firm.Person, a Away) (Away, error) {
	a.ID, a.Why, a.By = id.OrNew(a.ID), strings.TrimSpace(a.Why), by.ID
	return a, s.in.Do(ctx, by, firm.MayRecord, func(tx Tx) error {
		given, err := tx.Given(ctx)
		if err != nil {
			return err
		}
		if err := speaksFor(by, &given, a.Crew); err != nil {
			return err
		}
		return s.saveAway(ctx, tx, &given, &a)
	})
}

// saveAway checks an absence and keeps it.
func (s *Service) saveAway(ctx context.Context, tx Tx, given *Given, a *Away) error {
	today, err := s.today(ctx, tx)
	if err != nil {
		return err
	}
	a.At = s.now()
	if err := a.check(given, today); err != nil {
		return err
	}
	return tx.SaveAway(ctx, *a)
}

// check returns what is wrong with an absence that is given today.
func (a *Away) check(given *Given, today time.Time) error {
	var wrong fault.Fields
	first := today.AddDate(0, 0, -31)
	i := slices.IndexFunc(given.Away, func(old Away) bool { return old.ID == a.ID })
	if i >= 0 {
		wrong.If(given.Away[i].Crew != a.Crew, "crew", "it is another crew's", "Say it anew for this crew")
		if given.Away[i].From.Before(first) {
			first = given.Away[i].From
		}
	}
	day(&wrong, "from", a.From, first, today)
	day(&wrong, "to", a.To, a.From, today)
	text(&wrong, "why", a.Why, 400, false)
	return wrong.Err("These days cannot be kept.")
}

// BackAgain says that a crew comes again: an absence that has begun ends yesterday, one to
// come is none. That it has ended is no error. Callers and faults are those of SayAway.
func (s *Service) BackAgain(ctx context.Context, by firm.Person, away id.Away) error {
	return s.in.Do(ctx, by, firm.MayRecord, func(tx Tx) error {
		given, err := tx.Given(ctx)
		if err != nil {
			return err
		}
		i := slices.IndexFunc(given.Away, func(a Away) bool { return a.ID == away })
		if i < 0 {
			return &fault.Error{Kind: fault.NotFound, Msg: "There is no such absence."}
		}
		if err := speaksFor(by, &given, given.Away[i].Crew); err != nil {
			return err
		}
		return s.endAway(ctx, tx, given.Away[i])
	})
}

func (s *Service) endAway(ctx context.Context, tx Tx, a Away) error {
	today, err := s.today(ctx, tx)
	switch {
	case err != nil || a.To.Before(today):
		return err
	case a.From.Before(today):
		a.To = today.AddDate(0, 0, -1)
		return tx.SaveAway(ctx, a)
	}
	return tx.DeleteAway(ctx, a.ID)
}

// SetRate says how long a trade takes for a unit of a stage's work; all zero takes back what
// was said. Owners and foremen may call it. Faults: Refused, BadInput.
func (s *Service) SetRate(ctx context.Context, by firm.Person, r Rate) error {
	return s.run(ctx, by, func(tx Tx, _ time.Time) error {
		var wrong fault.Fields
		wrong.If(!onSite(r.Trade), "trade", "there is no such trade", noTrade)
		wrong.If(r.Stage < words.FirstFix || r.Stage > words.Decoration, "stage", "there is no such stage",
			"Give one of the five stages")
		none := r.Least == 0 && r.Likely == 0 && r.Most == 0
		wrong.If(!none && !(r.Least > 0 && r.Least <= r.Likely && r.Likely <= r.Most && r.Most <= 1000), "likely",
			"the three do not rise, or one is out of range",
			"Give the least, the likely and the most, above 0 and up to 1,000, each at least the one before")
		if err := wrong.Err("This rate cannot be kept."); err != nil {
			return err
		}
		if none {
			return tx.DeleteRate(ctx, r.Trade, r.Stage)
		}
		return tx.SaveRate(ctx, r)
	})
}
