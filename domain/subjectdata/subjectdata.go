// Package subjectdata is about the data held on a person: handing it out as one
// file, and taking the name of somebody who left out of the firm's records.
package subjectdata

import (
	"context"
	"slices"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// InTx runs do in one transaction of the person who asks; see firm.InTx.
type InTx func(ctx context.Context, by firm.Person, do func(Tx) error) error

// Tx is what this package needs of a transaction.
type Tx interface {
	diary.Writer
	Firm(ctx context.Context) (firm.Firm, error)
	LockOwners(ctx context.Context) ([]id.Member, error)
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
	// LeaveNameOut replaces an entry's name by e.Who; a later entry has to
	// vouch for that, see diary.Forget.
	LeaveNameOut(ctx context.Context, e diary.Entry) error
}

// Service hands out what is held and takes names out.
type Service struct {
	in, reads InTx
	now       func() time.Time
}

// NewService returns a service. Transactions of reads see one moment and write
// nothing.
func NewService(in, reads InTx, now func() time.Time) *Service { return &Service{in, reads, now} }

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
}

// Account is a person's account with a provider.
type Account struct {
	Issuer  string `json:"issuer"`
	Subject string `json:"subject"`
}

// Way is a way in: a session by its device, a key or a passkey by its name.
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

// Of returns what is held about a member, also on jobs that the member no
// longer sees. People may ask for themselves, the owner for everybody. Faults:
// Refused, NotFound.
func (s *Service) Of(ctx context.Context, by firm.Person, member id.Member) (f File, err error) {
	may := firm.MayRunFirm
	if member == by.ID {
		may = firm.MayManageSelf
	}
	if err := may(by); err != nil {
		return File{}, err
	}
	err = s.reads(ctx, firm.Whole(by.Firm), func(tx Tx) error {
		f, err = read(ctx, tx, member, s.now().UTC())
		return err
	})
	return f, err
}

func read(ctx context.Context, tx Tx, member id.Member, now time.Time) (File, error) {
	m, err := tx.Member(ctx, member)
	if err != nil {
		return File{}, err
	}
	of, err := tx.Firm(ctx)
	if err != nil {
		return File{}, err
	}
	f := File{AsOf: now, Firm: of.Name, ID: member.String(), Name: m.Name, Role: string(m.Role), Trade: string(m.Trade),
		Email: m.Email,
		Came:  m.CreatedAt.UTC(), Left: known(m.LeftAt), EveryJob: m.EveryJob,
		// An empty list says that there is nothing; null would say that nobody knows.
		Jobs: []string{}, KnownBy: []Account{}, Sessions: []Way{}, Keys: []Way{}, Passkeys: []Way{}, Diary: []Entry{},
		Sent: []Act{}, Photos: []Photo{}}
	jobs, err := tx.MemberJobs(ctx, member)
	if err != nil {
		return File{}, err
	}
	for _, j := range jobs {
		f.Jobs = append(f.Jobs, j.String())
	}
	if err := f.waysIn(ctx, tx, member); err != nil {
		return File{}, err
	}
	entries, err := tx.EntriesOf(ctx, member)
	if err != nil {
		return File{}, err
	}
	for _, e := range entries {
		line := Entry{Job: e.Job.String(), Seq: e.Seq, At: e.At.UTC(), Act: e.Act, Says: e.Says}
		if e.Room != (id.Room{}) {
			line.Room = e.Room.String()
		}
		f.Diary = append(f.Diary, line)
	}
	acts, err := tx.ActsOf(ctx, member)
	if err != nil {
		return File{}, err
	}
	for _, a := range acts {
		f.Sent = append(f.Sent, Act{a.ID.String(), a.Room.String(), string(a.Kind), a.Made.UTC(), a.Came.UTC(),
			string(a.Answer.Word)})
	}
	photos, err := tx.PhotosOf(ctx, member)
	f.Photos = append(f.Photos, photos...)
	return f, err
}

func (f *File) waysIn(ctx context.Context, tx Tx, member id.Member) error {
	sessions, err := tx.Sessions(ctx, member, f.AsOf)
	if err != nil {
		return err
	}
	for _, s := range sessions {
		f.Sessions = append(f.Sessions, Way{s.Device, s.CreatedAt.UTC(), known(s.SeenAt), known(s.EndsAt)})
	}
	keys, err := tx.Keys(ctx, member)
	if err != nil {
		return err
	}
	for _, k := range keys {
		f.Keys = append(f.Keys, Way{k.Name, k.CreatedAt.UTC(), known(k.UsedAt), known(k.EndsAt)})
	}
	passkeys, err := tx.Passkeys(ctx, member)
	if err != nil {
		return err
	}
	for _, k := range passkeys {
		f.Passkeys = append(f.Passkeys, Way{Name: k.Name, Made: k.CreatedAt.UTC(), Used: known(k.UsedAt)})
	}
	accounts, err := tx.Identities(ctx, member)
	for _, i := range accounts {
		f.KnownBy = append(f.KnownBy, Account(i))
	}
	return err
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
	return "Somebody who left (" + text[len(text)-4:] + ")"
}

// Forget takes the name of somebody who left out of the firm's records: every
// entry of the member's gets NameFor for its name, and each diary gets an entry
// that vouches for it, so that the chain still proves the rest. What others
// wrote in their own words stays. It cannot be undone; a repeat does nothing.
// The owner may call it. Faults: Refused, NotFound, Conflict (the member has
// not left).
func (s *Service) Forget(ctx context.Context, by firm.Person, member id.Member) error {
	if err := firm.MayRunFirm(by); err != nil {
		return err
	}
	return s.in(ctx, by, func(tx Tx) error {
		owners, err := tx.LockOwners(ctx)
		if err != nil {
			return err
		}
		if !slices.Contains(owners, by.ID) {
			return firm.MayRunFirm(firm.Person{})
		}
		m, err := tx.LockMember(ctx, member)
		if err != nil {
			return err
		}
		if m.LeftAt.IsZero() {
			return &fault.Error{Kind: fault.Conflict,
				Msg: m.Name + " has not left. Let go first, then the name can be taken out."}
		}
		as := NameFor(member)
		all, err := tx.EntriesOf(ctx, member)
		if err != nil {
			return err
		}
		// First the name, which takes the locks of the rooms that it signed: whoever writes
		// to a room locks it before the diary.
		m.Name = as
		if err := tx.SaveMember(ctx, m.Person); err != nil {
			return err
		}
		all = slices.DeleteFunc(all, func(e diary.Entry) bool { return e.Who == as })
		for len(all) > 0 {
			n := slices.IndexFunc(all, func(e diary.Entry) bool { return e.Job != all[0].Job })
			if n < 0 {
				n = len(all)
			}
			if err := s.replaceName(ctx, tx, by, all[:n], as); err != nil {
				return err
			}
			all = all[n:]
		}
		return nil
	})
}

// leaveOut takes the name out of entries of one job.
func (s *Service) replaceName(ctx context.Context, tx Tx, by firm.Person, es []diary.Entry, as string) error {
	without, vouching, err := diary.Forget(by, es, as, s.now())
	if err != nil {
		return err
	}
	if _, err := diary.Append(ctx, tx, vouching...); err != nil {
		return err
	}
	for _, e := range without {
		if err := tx.LeaveNameOut(ctx, e); err != nil {
			return err
		}
	}
	return nil
}
