package web

import "time"

// Addresses of the owner's pages.
const (
	PeoplePath = "/people"
	FirmPath   = "/firm"
)

// PersonPage returns the address of the page of somebody of the firm.
func PersonPage(member string) string { return PeoplePath + "/" + part(member) }

// OneTimeLink returns the address at which a POST makes a link that lets a
// member in once.
func OneTimeLink(member string) string { return PersonPage(member) + "/link" }

// EndWaysIn returns the address at which a POST ends whatever lets a member in.
func EndWaysIn(member string) string { return PersonPage(member) + "/sign-out" }

// LetGo returns the address at which a POST ends a membership.
func LetGo(member string) string { return PersonPage(member) + "/let-go" }

// DataOf returns the address of all that is held about a member, as one file.
func DataOf(member string) string { return PersonPage(member) + "/data" }

// Forget returns the address at which a POST takes a former member's name out
// of the records.
func Forget(member string) string { return PersonPage(member) + "/forget" }

// EndSessionOf returns the address at which a POST ends one session of a
// member.
func EndSessionOf(member, session string) string {
	return PersonPage(member) + "/sessions/" + part(session) + "/end"
}

// EndKeyOf returns the address at which a POST deletes one of a member's keys.
func EndKeyOf(member, key string) string { return PersonPage(member) + "/keys/" + part(key) + "/end" }

// EndPasskeyOf returns the address at which a POST deletes one of a member's
// passkeys.
func EndPasskeyOf(member, passkey string) string {
	return PersonPage(member) + "/passkeys/" + part(passkey) + "/end"
}

// TakeBack returns the address at which a POST revokes a code that lets
// somebody into the firm.
func TakeBack(code string) string { return PeoplePath + "/codes/" + part(code) + "/take-back" }

// Team returns the address that lists who is on the job, and at which a POST
// adds somebody.
func (p Place) Team() string { return p.JobPage() + "/team" }

// OffTeam returns the address at which a POST takes somebody off the job.
func (p Place) OffTeam(member string) string { return p.Team() + "/" + part(member) + "/off" }

// People is the page of everybody of the firm.
var People = Page[PeopleView]{"people"}

// PeopleView lists the people and, for the owner, adds one more.
type PeopleView struct {
	Sheet
	Typed
	Rows []PersonRow // present members
	Gone []PersonRow // former members
	// Codes lists the unused codes.
	Codes []CodeRow
	// MayRun says that the viewer is the owner, who may change them.
	MayRun bool
	PersonForm
}

// CodeRow is an unused code.
type CodeRow struct {
	ID, For, By string
	Printed     bool
	Ends        time.Time
}

// Href returns the address at which a POST revokes the code.
func (r CodeRow) Href() string { return TakeBack(r.ID) }

// PersonRow is somebody of the firm.
type PersonRow struct {
	ID, Name string
	Does     string // "electrician"
	On       string // "every job", "14 Quarry Lane"
	Email    string
	Since    time.Time
	Left     time.Time
	Self     bool // the viewer
}

// Href returns the address of the person's own page.
func (r PersonRow) Href() string { return PersonPage(r.ID) }

// PersonForm is what the form of somebody's particulars offers. Its fields: name,
// as ("owner", "foreman", a trade or "client"), every_job, jobs (of each job that
// is ticked), email.
type PersonForm struct{ Kinds, Jobs []Option }

// Member is the page of one person, for the owner.
var Member = Page[MemberView]{"member"}

// MemberView is a person with their ways in.
type MemberView struct {
	Sheet
	Typed
	PersonForm
	Of PersonRow
	// Link is a one-time link that was just made: it is shown only once.
	Link     string
	Lasts    string // "2 days"
	KnownBy  []string
	Sessions []SessionRow
	Keys     []KeyRow
	Passkeys []PasskeyRow
	// Forgotten says that the name was taken out.
	Forgotten bool
}

// EndHref returns the address at which a POST ends one of the person's
// sessions.
func (v MemberView) EndHref(r SessionRow) string { return EndSessionOf(v.Of.ID, r.ID) }

// AwayHref returns the address at which a POST deletes one of the person's
// keys.
func (v MemberView) AwayHref(r KeyRow) string { return EndKeyOf(v.Of.ID, r.ID) }

// PasskeyHref returns the address at which a POST deletes one of the person's
// passkeys.
func (v MemberView) PasskeyHref(r PasskeyRow) string { return EndPasskeyOf(v.Of.ID, r.ID) }

// LinkHref returns the address at which a POST makes a one-time link.
func (v MemberView) LinkHref() string { return OneTimeLink(v.Of.ID) }

// SignOutHref returns the address at which a POST ends whatever lets the person
// in.
func (v MemberView) SignOutHref() string { return EndWaysIn(v.Of.ID) }

// LetGoHref returns the address at which a POST ends the membership.
func (v MemberView) LetGoHref() string { return LetGo(v.Of.ID) }

// DataHref returns the address of all that is held about the person, as one
// file.
func (v MemberView) DataHref() string { return DataOf(v.Of.ID) }

// ForgetHref returns the address at which a POST takes the person's name out.
func (v MemberView) ForgetHref() string { return Forget(v.Of.ID) }

// Team is the page of who is on a job.
var Team = Page[TeamView]{"team"}

// TeamView lists who is on the job. Field: person.
type TeamView struct {
	Sheet
	Typed
	Rows []TeamRow
	// Others lists those who can be added.
	Others []Option
	// MayRun says that the viewer is the owner, who may add people to the firm.
	MayRun bool
}

// TeamRow is somebody on a job.
type TeamRow struct {
	At             Place
	ID, Name, Does string
	// Named says that the person is on this job by name, and not because of
	// being on every job.
	Named bool
	// MayTakeOff says that the viewer may take the person off.
	MayTakeOff bool
}

// Href returns the address at which a POST takes the person off
// the job.
func (r TeamRow) Href() string { return r.At.OffTeam(r.ID) }

// Firm is the page of the firm's settings.
var Firm = Page[FirmView]{"firm"}

// FirmView is how long the firm's people stay signed in. Fields: idle, idle_in,
// absolute, absolute_in; the last of each is "minutes", "hours" or "days".
type FirmView struct {
	Sheet
	Typed
	Units []Option
}
