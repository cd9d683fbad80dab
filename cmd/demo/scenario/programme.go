package scenario

import (
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/programme"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// ahead returns the n-th working day after today.
func (c *clock) ahead(n int) time.Time {
	on := c.today
	for n > 0 {
		on = on.AddDate(0, 0, 1)
		if w := on.Weekday(); w != time.Saturday && w != time.Sunday {
			n--
		}
	}
	return on
}

// programme says what the firm's programme rests on, as of yesterday; this morning the
// plasterer called in sick.
func (s *site) programme() error {
	s.clock.at = s.clock.before(1, "16:30")
	if err := s.Programme.SetWeek(s.ctx, s.foreman, [7]bool{1: true, 2: true, 3: true, 4: true, 5: true},
		programme.England); err != nil {
		return err
	}
	var plasterer id.Crew
	for _, p := range []firm.Person{s.electrician, s.plumber, s.dryLiner, s.plasterer, s.tiler, s.decorator} {
		people := 1
		if p.Trade == words.DryLiner {
			people = 2
		}
		c, err := s.Programme.SaveCrew(s.ctx, s.foreman, programme.Crew{Trade: p.Trade, Name: p.Name, People: people,
			Member: p.ID})
		if err != nil {
			return err
		}
		if p.Trade == words.Plasterer {
			plasterer = c.ID
		}
	}
	if err := s.promises(); err != nil {
		return err
	}
	if _, _, err := s.Planner.Work(s.ctx, s.owner.Firm); err != nil {
		return err
	}
	s.clock.at = zone.Begins(s.clock.today) // whenever today the demo is made, it is not to come
	if _, err := s.Programme.SayAway(s.ctx, s.foreman, programme.Away{Crew: plasterer, From: s.clock.today,
		To: s.clock.ahead(2), Why: "called in sick"}); err != nil {
		return err
	}
	_, _, err := s.Planner.Work(s.ctx, s.owner.Firm)
	return err
}

// promises gives days, and lists what is owed.
func (s *site) promises() error {
	heads, err := s.Book.Heads(s.ctx, s.foreman, room.Scope{})
	if err != nil {
		return err
	}
	rooms := map[string]id.Room{}
	for _, h := range heads {
		rooms[h.Name] = h.Room
	}
	if _, err := s.Programme.Give(s.ctx, s.foreman, programme.Promise{Job: s.quarry.ID, To: words.Client,
		Stage: words.Decoration, On: s.clock.ahead(15)}); err != nil {
		return err
	}
	if _, err := s.Programme.Give(s.ctx, s.foreman, programme.Promise{Job: s.quarry.ID, Room: rooms["Kitchen"],
		To: words.Client, Stage: words.SecondFix, On: s.clock.ahead(4)}); err != nil {
		return err
	}
	for _, o := range []programme.Owed{
		{Room: rooms["Bathroom"], For: words.SecondFix, What: "the extractor fan", Lead: 14, By: words.Foreman,
			Since: zone.Day(s.clock.before(6, "08:00"))},
		{Room: rooms["Utility"], For: words.SecondFix, What: "which pendant goes over the table", Lead: 10,
			By: words.Client},
	} {
		if _, err := s.Programme.SaveOwed(s.ctx, s.foreman, o); err != nil {
			return err
		}
	}
	return s.Programme.SetThrough(s.ctx, s.foreman, rooms["Kitchen"], []id.Room{rooms["Hall"]})
}
