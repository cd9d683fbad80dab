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

// Give promises a day to the client or to a trade. It stays on record: see GiveInstead.
// Repeating it with the same id is no error. Owners and foremen may call it. Faults: Refused,
// BadInput, NotFound (the job, the room), Obstacle (the job is closed), Conflict.
func (s *Service) Give(ctx context.Context, by firm.Person, p Promise) (Promise, error) {
	return s.promise(ctx, by, p, id.Promise{})
}

// GiveInstead promises another day in the place of one that was promised, with the reason
// why; of the new one only the id, the day and the reason are read. Callers and faults are
// those of Give; Conflict: another was given in its place.
func (s *Service) GiveInstead(ctx context.Context, by firm.Person, old id.Promise, p Promise) (Promise, error) {
	if old.IsZero() {
		return p, &fault.Error{Kind: fault.NotFound, Msg: "No such day was promised."}
	}
	return s.promise(ctx, by, p, old)
}

func (s *Service) promise(ctx context.Context, by firm.Person, p Promise, instead id.Promise) (Promise, error) {
	p.ID, p.Why, p.Instead, p.GivenBy = id.OrNew(p.ID), strings.TrimSpace(p.Why), id.Promise{}, by.ID
	err := s.run(ctx, by, func(tx Tx, now time.Time) error {
		given, err := tx.Given(ctx)
		if err != nil {
			return err
		}
		if err := p.follow(&given, instead); err != nil {
			return err
		}
		if p.GivenAt = now; given.has(&p) {
			return nil
		}
		j, err := open(ctx, tx, p.Job)
		if err != nil {
			return err
		}
		where, err := placeSays(ctx, tx, &p)
		if err != nil {
			return err
		}
		today, err := s.today(ctx, tx)
		if err != nil {
			return err
		}
		if err := p.check(today, !instead.IsZero()); err != nil {
			return err
		}
		if err := tx.InsertPromise(ctx, p, instead); err != nil {
			return err
		}
		return note(ctx, tx, by, j.ID, p.Room, p.Stage.Code(), ActPromise, p.says(where), p.Detailed(instead), now)
	})
	return p, err
}

// follow takes over what was promised from the promise in whose place it is given.
func (p *Promise) follow(given *Given, instead id.Promise) error {
	if instead.IsZero() {
		p.Why = ""
		return nil
	}
	i := slices.IndexFunc(given.Promises, func(o Promise) bool { return o.ID == instead })
	if i < 0 {
		return &fault.Error{Kind: fault.NotFound, Msg: "No such day was promised."}
	}
	old := given.Promises[i]
	if !old.Instead.IsZero() && old.Instead != p.ID {
		return &fault.Error{Kind: fault.Conflict, Msg: "Another day was given in its place already."}
	}
	p.Job, p.Room, p.To, p.Stage = old.Job, old.Room, old.To, old.Stage
	return nil
}

// has reports whether a promise is on record as it is given, and takes over by whom and when.
func (g *Given) has(p *Promise) bool {
	i := slices.IndexFunc(g.Promises, func(o Promise) bool { return o.ID == p.ID })
	if i < 0 {
		return false
	}
	old := g.Promises[i]
	same := p.Detailed(id.Promise{}) == old.Detailed(id.Promise{}) && p.Job == old.Job
	if same {
		*p = old
	}
	return same
}

// placeSays says in words what a promise is about: a room, or the whole job. Faults: NotFound.
func placeSays(ctx context.Context, tx Tx, p *Promise) (string, error) {
	if p.Room.IsZero() {
		return "the whole job", nil
	}
	heads, err := tx.Heads(ctx, room.Scope{Room: p.Room})
	if err != nil || len(heads) == 0 || heads[0].Job != p.Job {
		return "", cmpErr(err, &fault.Error{Kind: fault.NotFound, Msg: "There is no such room in this job."})
	}
	return words.InWords(heads[0].Name), nil
}

// cmpErr returns the first error that is one.
func cmpErr(err, other error) error {
	if err != nil {
		return err
	}
	return other
}

func (p *Promise) check(today time.Time, instead bool) error {
	var wrong fault.Fields
	wrong.If(p.To != words.Client && !onSite(p.To), "to", "nobody is promised anything", "Give client or a trade")
	wrong.If(p.Stage < words.FirstFix || p.Stage > words.Decoration, "stage", "there is no such stage",
		"Give one of the five stages")
	day(&wrong, "on", p.On, today, today)
	text(&wrong, "why", p.Why, 400, instead)
	return wrong.Err("This day cannot be promised.")
}

// says is the line of the diary.
func (p *Promise) says(where string) string {
	out := "The " + p.To.String() + " was promised that " + p.Stage.String() + " in " + where + " begins on "
	if p.To == words.Client {
		out = "The client was promised that " + p.Stage.String() + " in " + where + " is finished by "
	}
	out += words.Date(p.On)
	if p.Why != "" {
		out += ", in place of another day: " + words.NoStop(p.Why)
	}
	return out + "."
}
