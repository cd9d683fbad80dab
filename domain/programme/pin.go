package programme

import (
	"context"
	"slices"
	"strings"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// Pin puts a piece of work on a day, where it stays until Unpin. Repeating it changes
// nothing. Owners and foremen may call it. Faults: Refused, BadInput, NotFound (the room),
// Obstacle (the job is closed).
func (s *Service) Pin(ctx context.Context, by firm.Person, p Pin) error {
	return s.inRoom(ctx, by, p.Piece.Room, func(tx Tx, h room.Head, given *Given, now time.Time) error {
		today, err := s.today(ctx, tx)
		if err != nil {
			return err
		}
		if err := p.check(today); err != nil {
			return err
		}
		if i := given.pinned(p.Piece); i >= 0 && given.Pins[i].On.Equal(p.On) {
			return nil
		}
		p.By, p.At = by.ID, now
		if err := tx.SavePin(ctx, p); err != nil {
			return err
		}
		return note(ctx, tx, by, h.Job, h.Room, p.Piece.Stage.Code(), ActPin, words.Capital(p.Piece.says(h.Name))+
			" was put on "+words.Date(p.On)+".", p.Detailed(), now)
	})
}

// Unpin lets a piece of work move again; that it is not pinned is no error. Callers and
// faults are those of Pin.
func (s *Service) Unpin(ctx context.Context, by firm.Person, of Piece) error {
	return s.inRoom(ctx, by, of.Room, func(tx Tx, h room.Head, given *Given, now time.Time) error {
		if given.pinned(of) < 0 {
			return nil
		}
		if err := tx.DeletePin(ctx, of); err != nil {
			return err
		}
		p := Pin{Piece: of}
		return note(ctx, tx, by, h.Job, h.Room, of.Stage.Code(), ActUnpin, words.Capital(of.says(h.Name))+
			" is on no fixed day any more.", p.Detailed(), now)
	})
}

// pinned returns the place of a piece's pin, or -1.
func (g *Given) pinned(of Piece) int {
	return slices.IndexFunc(g.Pins, func(p Pin) bool { return p.Piece == of })
}

// says names a piece: "the electrician's second fix in the kitchen".
func (p Piece) says(roomName string) string {
	return "the " + p.Trade.String() + "'s " + p.Stage.String() + " in " + words.InWords(roomName)
}

func (p *Pin) check(today time.Time) error {
	var wrong fault.Fields
	wrong.If(!onSite(p.Piece.Trade), "trade", "there is no such trade", noTrade)
	wrong.If(p.Piece.Stage < words.FirstFix || p.Piece.Stage > words.Decoration, "stage", "there is no such stage",
		"Give one of the five stages")
	day(&wrong, "on", p.On, today, today)
	return wrong.Err("This work cannot be put on that day.")
}

// inRoom runs do in a transaction in which a room's job is open and locked.
func (s *Service) inRoom(ctx context.Context, by firm.Person, of id.Room,
	do func(tx Tx, h room.Head, given *Given, now time.Time) error) error {
	return s.run(ctx, by, func(tx Tx, now time.Time) error {
		h, err := openRoom(ctx, tx, of)
		if err != nil {
			return err
		}
		given, err := tx.Given(ctx)
		if err != nil {
			return err
		}
		return do(tx, h, &given, now)
	})
}

// SaveOwed adds what has to arrive or to be decided before a stage, or changes the one with
// its id. Owners and foremen may call it. Faults: Refused, BadInput, NotFound (the room),
// Obstacle (the job is closed).
func (s *Service) SaveOwed(ctx context.Context, by firm.Person, o Owed) (Owed, error) {
	o.ID, o.What = id.OrNew(o.ID), strings.TrimSpace(o.What)
	return o, s.inRoom(ctx, by, o.Room, func(tx Tx, h room.Head, given *Given, now time.Time) error {
		today, err := s.today(ctx, tx)
		if err != nil {
			return err
		}
		i := given.owed(o.ID)
		if err := o.check(given, i, today); err != nil {
			return err
		}
		if i >= 0 && given.Owed[i].Detailed() == o.Detailed() {
			return nil
		}
		return s.saveOwed(ctx, tx, by, h, o, now)
	})
}

// Came says on which day something that was owed was there, the zero day that it is not
// there after all. Callers and faults are those of SaveOwed.
func (s *Service) Came(ctx context.Context, by firm.Person, of id.Owed, on time.Time) error {
	return s.ofOwed(ctx, by, of, func(tx Tx, h room.Head, o Owed, now time.Time) error {
		today, err := s.today(ctx, tx)
		if err != nil || o.Came.Equal(on) {
			return err
		}
		if o.Came = on; !on.IsZero() && o.Since.IsZero() {
			o.Since = on
		}
		given := Given{Owed: []Owed{o}}
		if err := o.check(&given, 0, today); err != nil {
			return err
		}
		return s.saveOwed(ctx, tx, by, h, o, now)
	})
}

// DropOwed takes out what was listed as owed by mistake. Callers and faults are those of
// SaveOwed.
func (s *Service) DropOwed(ctx context.Context, by firm.Person, of id.Owed) error {
	return s.ofOwed(ctx, by, of, func(tx Tx, h room.Head, o Owed, now time.Time) error {
		if err := tx.DeleteOwed(ctx, of); err != nil {
			return err
		}
		return note(ctx, tx, by, h.Job, h.Room, o.For.Code(), ActDropOwed, "No longer waited for in "+words.InWords(h.Name)+
			": "+o.What+".", DropDetail{version, of}, now)
	})
}

func (s *Service) ofOwed(ctx context.Context, by firm.Person, of id.Owed,
	do func(tx Tx, h room.Head, o Owed, now time.Time) error) error {
	return s.run(ctx, by, func(tx Tx, now time.Time) error {
		given, err := tx.Given(ctx)
		if err != nil {
			return err
		}
		i := given.owed(of)
		if i < 0 {
			return &fault.Error{Kind: fault.NotFound, Msg: "Nothing of the kind is waited for."}
		}
		h, err := openRoom(ctx, tx, given.Owed[i].Room)
		if err != nil {
			return err
		}
		return do(tx, h, given.Owed[i], now)
	})
}

func (s *Service) saveOwed(ctx context.Context, tx Tx, by firm.Person, h room.Head, o Owed, now time.Time) error {
	if err := tx.SaveOwed(ctx, o, now); err != nil {
		return err
	}
	return note(ctx, tx, by, h.Job, h.Room, o.For.Code(), ActOwed, o.says(h.Name), o.Detailed(), now)
}

func (g *Given) owed(of id.Owed) int {
	return slices.IndexFunc(g.Owed, func(o Owed) bool { return o.ID == of })
}

func (o *Owed) check(given *Given, at int, today time.Time) error {
	var wrong fault.Fields
	wrong.If(o.For < words.FirstFix || o.For > words.Decoration, "stage", "there is no such stage",
		"Give one of the five stages")
	text(&wrong, "what", o.What, 200, true)
	wrong.If(o.Lead < 0 || o.Lead > 730, "lead", "it takes less than no time, or more than two years",
		"Give the days from the order, 0 to 730")
	wrong.If(o.By != words.Client && o.By != words.Foreman, "by", "nobody sees to it",
		"Give client for a decision, foreman for an order")
	wrong.If(at >= 0 && given.Owed[at].Room != o.Room, "room", "it is for another room",
		"List it anew for this room")
	for path, on := range map[string]time.Time{"since": o.Since, "came": o.Came} {
		if !on.IsZero() {
			day(&wrong, path, on, today.AddDate(-2, 0, 0), today)
			wrong.If(on.After(today), path, words.Date(on)+" is still to come", "Give "+words.Date(today)+" or a day before")
		}
	}
	wrong.If(!o.Came.IsZero() && o.Came.Before(o.Since), "came", "it came before it was ordered",
		"Give "+words.Date(o.Since)+" or a later day")
	slices.SortFunc(wrong, func(a, b fault.Field) int { return strings.Compare(a.Path, b.Path) })
	return wrong.Err("This cannot be listed.")
}

// says is the line of the diary.
func (o *Owed) says(roomName string) string {
	where := o.For.String() + " in " + words.InWords(roomName)
	switch {
	case !o.Came.IsZero():
		return words.Capital(o.What) + " for " + where + " came on " + words.Date(o.Came) + "."
	case !o.Since.IsZero():
		return words.Capital(o.What) + " for " + where + " is on its way since " + words.Date(o.Since) + "; it takes " +
			words.Count(o.Lead, "day") + "."
	}
	who := "To order: "
	if o.By == words.Client {
		who = "For the client to decide: "
	}
	return who + o.What + ", for " + where + "; it takes " + words.Count(o.Lead, "day") + "."
}

// SetThrough says through which rooms of its job one is reached; none: it is reached
// directly. Owners and foremen may call it. Faults: Refused, BadInput, NotFound, Obstacle.
func (s *Service) SetThrough(ctx context.Context, by firm.Person, of id.Room, through []id.Room) error {
	through = slices.Clone(through)
	slices.SortFunc(through, func(a, b id.Room) int { return slices.Compare(a[:], b[:]) })
	through = slices.Compact(through)
	return s.inRoom(ctx, by, of, func(tx Tx, h room.Head, given *Given, now time.Time) error {
		heads, err := tx.Heads(ctx, room.Scope{Job: h.Job})
		if err != nil {
			return err
		}
		names, err := given.wayTo(of, through, heads)
		if err != nil || slices.Equal(given.through(of), through) {
			return err
		}
		if err := tx.SetThrough(ctx, of, through); err != nil {
			return err
		}
		says := "Nothing is carried through another room into " + words.InWords(h.Name) + "."
		if len(names) > 0 {
			says = "What goes into " + words.InWords(h.Name) + " is carried through " + words.List(names) + "."
		}
		return note(ctx, tx, by, h.Job, of, "", ActThrough, says,
			WayDetail(of, through), now)
	})
}

// through returns the rooms through which one is reached, by their ids.
func (g *Given) through(of id.Room) (out []id.Room) {
	for _, t := range g.Through {
		if t.Room == of {
			out = append(out, t.By)
		}
	}
	slices.SortFunc(out, func(a, b id.Room) int { return slices.Compare(a[:], b[:]) })
	return out
}

// wayTo checks the rooms through which one is to be reached and returns their names. A room
// that is reached through itself would never be begun.
func (g *Given) wayTo(of id.Room, through []id.Room, heads []room.Head) (names []string, err error) {
	var wrong fault.Fields
	for _, by := range through {
		i := slices.IndexFunc(heads, func(h room.Head) bool { return h.Room == by })
		if i < 0 {
			wrong.If(true, "through", "there is no such room in this job", "Choose rooms of the same job")
			continue
		}
		names = append(names, words.InWords(heads[i].Name))
		wrong.If(by == of || g.reaches(by, of, nil), "through", words.InWords(heads[i].Name)+
			" is reached through this room", "Take one of the two ways out")
	}
	return names, wrong.Err("What this room is reached through cannot be kept.")
}

// reaches reports whether a room is reached through another, directly or through more.
func (g *Given) reaches(from, through id.Room, seen []id.Room) bool {
	for _, next := range g.through(from) {
		if next == through || !slices.Contains(seen, next) && g.reaches(next, through, append(seen, from)) {
			return true
		}
	}
	return false
}
