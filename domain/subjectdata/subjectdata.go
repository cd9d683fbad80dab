// Package subjectdata is about the data held on a person: handing it out as one
// file, and taking the name of somebody who left out of the firm's records.
package subjectdata

import (
	"cmp"
	"context"
	"slices"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// Tx is what this package needs of a transaction.
type Tx interface {
	diary.Writer
	Firm(ctx context.Context) (firm.Firm, error)
	firm.OwnersTx
	Member(ctx context.Context, member id.Member) (firm.Member, error)
	LockMember(ctx context.Context, member id.Member) (firm.Member, error)
	SaveMember(ctx context.Context, p firm.Person) error
	MemberJobs(ctx context.Context, member id.Member) ([]id.Job, error)
	Sessions(ctx context.Context, member id.Member, at time.Time) ([]firm.Session, error)
	Keys(ctx context.Context, member id.Member) ([]firm.Key, error)
	Passkeys(ctx context.Context, member id.Member) ([]firm.Passkey, error)
	Identities(ctx context.Context, member id.Member) ([]firm.Identity, error)
	// EntriesOf returns a member's entries in all diaries, job by job in order.
	EntriesOf(ctx context.Context, member id.Member) ([]diary.Entry, error)
	// ActsOf returns what a member's phones sent, in the order it was done.
	ActsOf(ctx context.Context, member id.Member) ([]deed.StoredAct, error)
	// PhotosOf returns the photos that a member took, in order.
	PhotosOf(ctx context.Context, member id.Member) ([]Photo, error)
	// CrewsOf returns the crews that a member is, or was, alone.
	CrewsOf(ctx context.Context, member id.Member) ([]Crew, error)
	// AbsencesOf returns the absences of those crews, and those that the member said.
	AbsencesOf(ctx context.Context, member id.Member) ([]Absence, error)
	// LeaveCrewOut replaces the names of a member's crews, and takes out why they were away.
	LeaveCrewOut(ctx context.Context, member id.Member, as string) error
	// LeaveNameOut replaces an entry's name by e.Who; a later entry has to
	// vouch for that, see diary.Forget.
	LeaveNameOut(ctx context.Context, e diary.Entry) error
}

// Service hands out what is held and takes names out.
type Service struct {
	in, reads firm.In[Tx]
	now       func() time.Time
}

// NewService returns a service. Transactions of reads see one moment and write
// nothing.
func NewService(in, reads firm.In[Tx], now func() time.Time) *Service {
	return &Service{in, reads, now}
}

// File is everything held about one person. Times are in UTC.
type File struct {
	AsOf     time.Time  `json:"as_of"`
	Firm     string     `json:"firm"`
	ID       string     `json:"id"`
	Name     string     `json:"name"`
	Role     string     `json:"role"`
	Trade    string     `json:"trade,omitempty"`
	Email    string     `json:"email,omitempty"`
	Came     time.Time  `json:"came"`
	Left     *time.Time `json:"left,omitempty"`
	EveryJob bool       `json:"every_job"`
	Jobs     []string   `json:"jobs"`
	KnownBy  []Account  `json:"known_by"`
	Sessions []Way      `json:"sessions"`
	Keys     []Way      `json:"keys"`
	Passkeys []Way      `json:"passkeys"`
	Diary    []Entry    `json:"diary"`
	Sent     []Act      `json:"sent_from_a_phone"`
	Photos   []Photo    `json:"photos"`
	Crews    []Crew     `json:"crews"`
	Absences []Absence  `json:"absences"`
}

// Account is a person's account with a provider.
type Account struct {
	Issuer  string `json:"issuer"`
	Subject string `json:"subject"`
}

// Way is one way of signing in: a session by its device, a key or a passkey by its name.
type Way struct {
	Name string     `json:"name"`
	Made time.Time  `json:"made"`
	Used *time.Time `json:"used,omitempty"`
	Ends *time.Time `json:"ends,omitempty"`
}

// Entry is a line of a diary.
type Entry struct {
	Job  string    `json:"job"`
	Seq  int64     `json:"seq"`
	At   time.Time `json:"at"`
	Act  string    `json:"act"`
	Room string    `json:"room,omitempty"`
	Says string    `json:"says"`
}

// Act is what a phone sent, and what came of it.
type Act struct {
	ID     string    `json:"id"`
	Room   string    `json:"room"`
	Kind   string    `json:"kind"`
	Made   time.Time `json:"made"` // by the phone's clock
	Came   time.Time `json:"came"`
	Answer string    `json:"answer"`
}

// Photo is a photo without its picture, which belongs to the room.
type Photo struct {
	ID    string    `json:"id"`
	Room  string    `json:"room"`
	Taken time.Time `json:"taken"`
	Says  string    `json:"says"`
}

// Crew is a crew that the person is alone.
type Crew struct {
	ID    string     `json:"id"`
	Name  string     `json:"name"`
	Trade string     `json:"trade"`
	Ended *time.Time `json:"ended,omitempty"`
}

// Absence is when the person's crew was said not to come, or what the person said of another.
type Absence struct {
	From string    `json:"from"`
	To   string    `json:"to"`
	Why  string    `json:"why"`
	Said time.Time `json:"said"`
}

// Of returns what is held about a member, also on jobs that the member no
// longer sees. People may ask for themselves, the owner for everybody. Faults:
// Refused, NotFound.
func (s *Service) Of(ctx context.Context, by firm.Person, member id.Member) (File, error) {
	may := firm.MayRunFirm
	if member == by.ID {
		may = firm.MayManageSelf
	}
	if err := may(by); err != nil {
		return File{}, err
	}
	return firm.Ask(ctx, s.reads, firm.Whole(by.Firm), firm.Anyone,
		func(tx Tx) (File, error) { return read(ctx, tx, member, s.now().UTC()) })
}

func read(ctx context.Context, tx Tx, member id.Member, now time.Time) (File, error) {
	m, err := tx.Member(ctx, member)
	if err != nil {
		return File{}, err
	}
	of, err := tx.Firm(ctx)
	f := File{AsOf: now, Firm: of.Name, ID: member.String(), Name: m.Name, Role: string(m.Role), Trade: string(m.Trade),
		Email: m.Email, Came: m.CreatedAt.UTC(), Left: known(m.LeftAt), EveryJob: m.EveryJob}
	into(&f.Jobs, &err, id.Job.String)(tx.MemberJobs(ctx, member))
	into(&f.KnownBy, &err, func(i firm.Identity) Account { return Account(i) })(tx.Identities(ctx, member))
	into(&f.Sessions, &err, func(s firm.Session) Way {
		return Way{s.Device, s.CreatedAt.UTC(), known(s.SeenAt), known(s.EndsAt)}
	})(tx.Sessions(ctx, member, now))
	into(&f.Keys, &err, func(k firm.Key) Way {
		return Way{k.Name, k.CreatedAt.UTC(), known(k.UsedAt), known(k.EndsAt)}
	})(tx.Keys(ctx, member))
	into(&f.Passkeys, &err, func(k firm.Passkey) Way {
		return Way{Name: k.Name, Made: k.CreatedAt.UTC(), Used: known(k.UsedAt)}
	})(tx.Passkeys(ctx, member))
	into(&f.Diary, &err, func(e diary.Entry) Entry {
		return Entry{e.Job.String(), e.Seq, e.At.UTC(), e.Act, e.Room.String(), e.Says}
	})(tx.EntriesOf(ctx, member))
	into(&f.Sent, &err, func(a deed.StoredAct) Act {
		return Act{a.ID.String(), a.Room.String(), string(a.Kind), a.Made.UTC(), a.Came.UTC(), string(a.Answer.Word)}
	})(tx.ActsOf(ctx, member))
	into(&f.Photos, &err, func(p Photo) Photo { return p })(tx.PhotosOf(ctx, member))
	into(&f.Crews, &err, func(c Crew) Crew { return c })(tx.CrewsOf(ctx, member))
	into(&f.Absences, &err, func(a Absence) Absence { return a })(tx.AbsencesOf(ctx, member))
	return f, err
}

// into returns a function that fills a list of a file from one that was read, and
// keeps the first error. An empty list says that there is nothing; null would say
// that nobody knows.
func into[A, B any](list *[]B, first *error, to func(A) B) func([]A, error) {
	return func(all []A, err error) {
		*first = cmp.Or(*first, err)
		*list = []B{}
		for _, a := range all {
			*list = append(*list, to(a))
		}
	}
}

// known returns a time, or nil for the zero time.
func known(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	t = t.UTC()
	return &t
}

// NameFor returns what takes the place of a name that was taken out. It differs
// from member to member.
func NameFor(member id.Member) string {
	text := member.String()
	return firm.Left + " (" + text[len(text)-4:] + ")"
}

// Forget takes the name of somebody who left out of the firm's records: every
// entry of the member's gets NameFor for its name, and each diary gets an entry
// that vouches for it, so that the chain still proves the rest. What others
// wrote in their own words stays. It cannot be undone; a repeat does nothing.
// The owner may call it. Faults: Refused, NotFound, Conflict (the member has
// not left).
func (s *Service) Forget(ctx context.Context, by firm.Person, member id.Member) error {
	return s.in.Do(ctx, by, firm.MayRunFirm, func(tx Tx) error {
		if err := firm.StillOwner(ctx, tx, by); err != nil {
			return err
		}
		m, err := tx.LockMember(ctx, member)
		if err != nil {
			return err
		}
		if m.LeftAt.IsZero() {
			return &fault.Error{Kind: fault.Conflict,
				Msg: m.Name + " is still in the firm. Remove them from the firm first; then the name can be removed."}
		}
		all, err := tx.EntriesOf(ctx, member)
		if err != nil {
			return err
		}
		// First the name, which takes the locks of the rooms that it signed: whoever writes
		// to a room locks it before the diary.
		m.Name = NameFor(member)
		if err := tx.SaveMember(ctx, m.Person); err != nil {
			return err
		}
		if err := tx.LeaveCrewOut(ctx, member, m.Name); err != nil {
			return err
		}
		all = slices.DeleteFunc(all, func(e diary.Entry) bool { return e.Who == m.Name })
		for len(all) > 0 {
			n := slices.IndexFunc(all, func(e diary.Entry) bool { return e.Job != all[0].Job })
			if n < 0 {
				n = len(all)
			}
			if err := s.replaceName(ctx, tx, by, all[:n], m.Name); err != nil {
				return err
			}
			all = all[n:]
		}
		return nil
	})
}

// replaceName takes the name out of entries of one job.
func (s *Service) replaceName(ctx context.Context, tx Tx, by firm.Person, es []diary.Entry, as string) error {
	without, vouching, err := diary.Forget(by, es, as, s.now())
	if err == nil {
		_, err = diary.Append(ctx, tx, vouching...)
	}
	for _, e := range without {
		if err == nil {
			err = tx.LeaveNameOut(ctx, e)
		}
	}
	return err
}
