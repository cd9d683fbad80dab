package web

import (
	"slices"
	"strings"

	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// Addresses of the owner's pages.
const (
	PeoplePath = "/people"
	FirmPath   = "/firm"
)

// PersonPage returns the address of the page of somebody of the firm.
func PersonPage(member string) string { return PeoplePath + "/" + part(member) }

// PersonAt is the page of somebody of the firm, by their id. Its methods give the
// addresses below it; all but Page and Data are those of a POST.
type PersonAt string

// Page returns the address of the page.
func (p PersonAt) Page() string { return PersonPage(string(p)) }

// Link makes a link that signs the person in once.
func (p PersonAt) Link() string { return p.Page() + "/link" }

// SignOut signs the person out everywhere and stops their links, keys and passkeys.
func (p PersonAt) SignOut() string { return p.Page() + "/sign-out" }

// LetGo ends the membership.
func (p PersonAt) LetGo() string { return p.Page() + "/let-go" }

// Data returns the address of all that is held about the person, as one file.
func (p PersonAt) Data() string { return p.Page() + "/data" }

// Forget takes a former member's name out of the records.
func (p PersonAt) Forget() string { return p.Page() + "/forget" }

// EndSession ends one of the person's sessions.
func (p PersonAt) EndSession(id string) string { return p.Page() + "/sessions/" + part(id) + "/end" }

// EndKey deletes one of the person's keys.
func (p PersonAt) EndKey(id string) string { return p.Page() + "/keys/" + part(id) + "/end" }

// EndPasskey deletes one of the person's passkeys.
func (p PersonAt) EndPasskey(id string) string { return p.Page() + "/passkeys/" + part(id) + "/end" }

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
	Rows, Gone []firm.Profile // present and former members
	// Codes lists the unused codes.
	Codes []firm.Invitation
	// MayRun says that the viewer is the owner, who may change them.
	MayRun bool
	PersonForm
}

// On says which jobs somebody sees: "every job", "Mill Loft and 14 Quarry Lane".
func (v PeopleView) On(p firm.Profile) string {
	if p.EveryJob || p.Role == firm.Owner || p.Role == firm.Foreman {
		return "every job"
	}
	var names []string
	for _, j := range v.Jobs {
		if slices.ContainsFunc(p.Team.Jobs, func(of id.Job) bool { return of.String() == j.Value }) {
			names = append(names, j.Label)
		}
	}
	switch n := len(names); n {
	case 0:
		return "no job"
	case 1:
		return names[0]
	default:
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
}

// PersonForm is what the form of somebody's particulars offers. Its fields: name,
// as ("owner", "foreman", a trade or "client"), every_job, jobs (of each job that
// is ticked), email.
type PersonForm struct{ Kinds, Jobs []Option }

// Member is the page of one person, for the owner.
var Member = Page[MemberView]{"member"}

// MemberView is a person with their sessions, links, keys and passkeys.
type MemberView struct {
	Sheet
	Typed
	PersonForm
	Of   firm.Profile
	Way  PersonAt
	Self bool       // the viewer
	Here id.Session // the one that shows the page
	// Link is a one-time link that was just made: it is shown only once.
	Link    string
	Lasts   string // "2 days"
	Changed bool   // the viewer's own e-mail just was
	KnownBy []string
	// Forgotten says that the name was removed.
	Forgotten bool
}

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
	ID, Name, Does string
	// Named says that the person is on this job by name, and not because of
	// being on every job.
	Named bool
	// MayTakeOff says that the viewer may take the person off.
	MayTakeOff bool
}

// Firm is the page of the firm's settings.
var Firm = Page[FirmView]{"firm"}

// FirmView is the firm's time zone, and how long its people stay signed in and who
// needs a passkey. Fields: need_passkey;
// zone; idle, idle_in, absolute, absolute_in, where the last of each is "minutes",
// "hours" or "days".
type FirmView struct {
	Sheet
	Typed
	Units, PasskeysOf []Option
}
