package deed

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

// NoteSnag notes a fault that has to be put right, by a trade or one of its people, and
// the day by which it is to be. A repeat with the same id adds nothing. Faults: BadInput,
// Conflict, Obstacle (decoration is signed off).
type NoteSnag struct {
	Snag room.Snag `json:"snag"`
}

// readNoteSnag reads the form; one from before it said who has what and where alone.
func readNoteSnag(s *Sent) (Deed, error) {
	says := s.Get("what")
	if says == "" {
		s.Bad("what", "it does not say what is wrong", "Say it in a few words")
	}
	if where := s.Get("where"); where != "" {
		says += ", " + where
	}
	n := room.Snag{ID: NewID[id.Snag](s.Form, 0), Says: says}
	n.Trade, n.Person, n.DueOn = s.given()
	return NoteSnag{Snag: n}, nil
}

// given reads who is to put a snag right, "decorator", or "decorator/<person>" for one of
// them, and by which day.
func (f *Form) given() (trade words.Trade, person id.Member, due time.Time) {
	named, one, _ := strings.Cut(f.Get("who"), "/")
	var err error
	if one != "" {
		if person, err = id.Parse[id.Member](one); err != nil {
			f.Bad("who", "there is nobody of that number", "Choose who puts it right")
		}
	}
	if day := f.Get("due"); day != "" {
		if due, err = time.Parse(time.DateOnly, day); err != nil {
			f.Bad("due", day+" is no day", "Write it as 2026-11-25, or leave it empty")
		}
	}
	return words.Trade(named), person, due
}

// checkGiven refuses what no snag can be given to: a trade that is none, somebody who is not on the job, a day far off.
func (w *Writing) checkGiven(ctx context.Context, trade words.Trade, person id.Member, due time.Time) error {
	if trade != "" && (!slices.Contains(words.Trades, trade) || trade == words.Foreman || trade == words.Client) {
		return bad("trade", "there is no such trade", "Give who puts it right, or leave it out")
	}
	if !person.IsZero() {
		m, err := w.Tx.Member(ctx, person)
		if err != nil && fault.KindOf(err) != fault.NotFound {
			return err
		}
		jobs, elsewhere := []id.Job(nil), err != nil || !m.LeftAt.IsZero() || m.Role == firm.Client
		if !elsewhere && m.Role == firm.Trade && !m.EveryJob {
			if jobs, err = w.Tx.MemberJobs(ctx, person); err != nil {
				return err
			}
			elsewhere = !slices.Contains(jobs, w.Record.Job)
		}
		if elsewhere {
			return bad("person", "that person is not on this job", "Choose somebody who is, or put them on the job first")
		}
	}
	if !due.IsZero() && (due.Year() < 2000 || due.Year() > 2150) {
		return bad("due", "the day is many years away", "Give the day by which it is to be done")
	}
	return nil
}

func (d NoteSnag) do(ctx context.Context, t *Taking) error {
	says, s := strings.TrimSpace(d.Snag.Says), d.Snag
	if says == "" || words.Characters(says) > longest {
		return bad("says", "there are no words, or over 400 characters of them", "Say it in a sentence")
	}
	if err := t.checkGiven(ctx, s.Trade, s.Person, s.DueOn); err != nil {
		return err
	}
	if old, err := t.Record.Snag(s.ID); err == nil {
		if old.Says != says {
			return &fault.Error{Kind: fault.Conflict, Msg: "Another snag was noted under this id."}
		}
		return nil
	}
	n := room.Snag{ID: id.OrNew(s.ID), Says: says, Trade: s.Trade, Person: s.Person, DueOn: dayOrNone(s.DueOn),
		NotedBy: t.MadeBy, NotedAt: t.Made}
	put(ctx, t.Writing, &t.Record.Snags, n, Tx.InsertSnag)
	return t.Note("snag", &decoration, "Snag in "+t.Record.Name+": "+says+forWhom(&n), n)
}

func dayOrNone(day time.Time) time.Time {
	if day.IsZero() {
		return day
	}
	return words.UTC.Day(day)
}

// forWhom goes on from what a snag says with who is to put it right, by when.
func forWhom(n *room.Snag) (out string) {
	if n.Trade != "" {
		out = " For the " + n.Trade.String()
	}
	if !n.DueOn.IsZero() {
		if out == "" {
			out = " To be done"
		}
		out += " by " + words.Day(n.DueOn)
	}
	if out == "" {
		return ""
	}
	return "." + out + "."
}

// CloseSnag says that a snag was put right, by whoever put it right; from whoever runs
// the jobs, that it was looked at and is closed. Closed, or put right, already is no
// error. Faults: NotFound, Obstacle (decoration is signed off).
type CloseSnag struct {
	Snag id.Snag `json:"snag"`
}

func (d CloseSnag) do(ctx context.Context, t *Taking) error {
	old, err := t.Record.Snag(d.Snag)
	if err != nil || !old.Open() {
		return err
	}
	now, at := *old, t.told(room.WasClosed, room.Subject{Snag: d.Snag})
	if firm.MayRunJobs(t.By) == nil {
		now.ClosedBy, now.ClosedAt = t.MadeBy, at
		put(ctx, t.Writing, &t.Record.Snags, now, Tx.SaveSnag)
		return t.Note("close_snag", &decoration, "Put right in "+t.Record.Name+", looked at and closed: "+old.Says, d)
	}
	if !old.DoneAt.IsZero() {
		return nil
	}
	now.DoneBy, now.DoneAt = t.MadeBy, at
	put(ctx, t.Writing, &t.Record.Snags, now, Tx.SaveSnag)
	return t.Note("put_right", &decoration, "Put right in "+t.Record.Name+": "+old.Says, d)
}

// GiveSnag assigns an open snag to another trade, person or day. Faults: NotFound, BadInput,
// Conflict (it is closed), Obstacle (decoration is signed off).
type GiveSnag struct {
	Snag   id.Snag     `json:"snag"`
	Trade  words.Trade `json:"trade,omitzero"`
	Person id.Member   `json:"person,omitzero"`
	DueOn  time.Time   `json:"due_on,omitzero"`
}

func readGiveSnag(s *Sent) (Deed, error) {
	of, err := id.Parse[id.Snag](s.One)
	d := GiveSnag{Snag: of}
	d.Trade, d.Person, d.DueOn = s.given()
	return d, err
}

func (d GiveSnag) do(ctx context.Context, t *Taking) error {
	old, err := t.Record.Snag(d.Snag)
	if err == nil && !old.Open() {
		err = &fault.Error{Kind: fault.Conflict, Msg: "The snag is closed. Open it again first."}
	}
	if err == nil {
		err = t.checkGiven(ctx, d.Trade, d.Person, d.DueOn)
	}
	if err != nil {
		return err
	}
	now := *old
	now.Trade, now.Person, now.DueOn = d.Trade, d.Person, dayOrNone(d.DueOn)
	if now.Trade == old.Trade && now.Person == old.Person && now.DueOn.Equal(old.DueOn) {
		return nil
	}
	before := *old
	put(ctx, t.Writing, &t.Record.Snags, now, Tx.SaveSnag)
	return t.Note("give_snag", &decoration, "The snag in "+t.Record.Name+" was given again: "+words.NoStop(now.Says)+
		forWhom(&now), changed[room.Snag]{before, now})
}

// ReopenSnag says that a snag is not put right after all, and why. Open and not put right
// is no error. Faults: NotFound, BadInput (no reason), Obstacle (decoration is signed off).
type ReopenSnag struct {
	Snag id.Snag `json:"snag"`
	Why  string  `json:"why"`
}

func readReopenSnag(s *Sent) (Deed, error) {
	of, err := id.Parse[id.Snag](s.One)
	return ReopenSnag{Snag: of, Why: s.Get("why")}, err
}

func (d ReopenSnag) do(ctx context.Context, t *Taking) error {
	old, err := t.Record.Snag(d.Snag)
	if err != nil || old.Open() && old.DoneAt.IsZero() {
		return err
	}
	why := strings.TrimSpace(d.Why)
	if why == "" || words.Characters(why) > longest {
		return bad("why", "it does not say why, or in over 400 characters", "Say in a sentence what is still wrong")
	}
	before, now := *old, *old
	now.DoneBy, now.DoneAt, now.ClosedBy, now.ClosedAt = id.Member{}, time.Time{}, id.Member{}, time.Time{}
	put(ctx, t.Writing, &t.Record.Snags, now, Tx.SaveSnag)
	return t.Note("reopen_snag", &decoration, "The snag in "+t.Record.Name+" is open again: "+words.NoStop(now.Says)+". "+
		why, changed[room.Snag]{before, now})
}
