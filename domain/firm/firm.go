// Package firm holds a firm, its people and how they sign in, and its standard
// build-ups.
package firm

import (
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// Role is what a person may do; see policy.go.
type Role string

// The roles, as stored.
const (
	Owner   Role = "owner"   // everything, and the firm's people and build-ups
	Foreman Role = "foreman" // every job: rooms, schedules, sign-offs
	Trade   Role = "trade"   // what a visit leaves: measurements, outcomes, offers
	Client  Role = "client"  // sees how one job goes
)

// Roles lists all of them.
var Roles = []Role{Owner, Foreman, Trade, Client}

// Firm is a building firm: everything else belongs to one.
type Firm struct {
	ID        id.Firm
	Name      string
	CreatedAt time.Time
	Limits    Limits // how long its sessions last
	Zone      words.Zone
	// NeedPasskey says who opens nothing without a passkey.
	NeedPasskey PasskeyOf
}

// Person is a person of a firm, as every service needs to know who asks.
type Person struct {
	Firm  id.Firm
	ID    id.Member
	Name  string
	Role  Role
	Trade words.Trade // of a Trade; else empty
	// EveryJob marks a trade of the firm's own, who works on all of its jobs,
	// future ones included. Other trades, and clients, see the jobs that they
	// are named on; see Service.NameJobs. Owners and foremen see them all
	// anyway.
	EveryJob bool
	// Key is the scope of the key that the request is made with, and NoKey if
	// the person asks directly. It is never stored with a person.
	Key Scope
}

// Whole returns a stand-in for the firm itself, limited to no job: for what the
// program does by itself, and for finding somebody who is not known yet.
func Whole(of id.Firm) Person { return Person{Firm: of} }

// Initials returns the initials that mark a sign-off: "Ada Byron" signs "AB".
func (p Person) Initials() string {
	var out strings.Builder
	for _, word := range strings.Fields(p.Name) {
		r, _ := utf8.DecodeRuneInString(word)
		out.WriteString(strings.ToUpper(string(r)))
	}
	return out.String()
}

// Member is a person with the time during which they belong to the firm.
type Member struct {
	Person
	Email     string // by which a provider may know the member; empty: none; shown to the owner and the member
	CreatedAt time.Time
	LeftAt    time.Time // zero for those who have not left
	// HasSignedIn says that the member has been signed in at some time.
	HasSignedIn bool
}

// LinkLasts returns how long a new one-time link of a member works: for a newcomer it begins
// the membership (OWASP ASVS 5.0, 6.4.1), later it only signs in (6.5.5).
func (m Member) LinkLasts() time.Duration {
	if m.HasSignedIn {
		return CodeLifetime
	}
	return LinkLifetime
}

// BuildUp is a standard build-up: what usually goes on a face.
type BuildUp struct {
	ID     id.BuildUp `json:"id" format:"uuid"`
	Name   string     `json:"name" minLength:"1" maxLength:"120"` // "dot and dab, board and skim"
	Layers []Layer    `json:"layers" minItems:"1" maxItems:"12" doc:"In the order they go on."`
}

// Layer is one layer of a build-up, in the order they go on.
type Layer struct {
	Name      string      `json:"name,omitzero" required:"true" minLength:"1" maxLength:"60"`
	Thickness float64     `json:"thickness,omitzero" required:"true" exclusiveMinimum:"0" maximum:"1000"`    // mm
	Sigma     float64     `json:"sigma,omitzero" minimum:"0" maximum:"1000" doc:"0: 20 % of the thickness."` // mm
	Stage     words.Stage `json:"stage"`
}

// Check returns what is wrong with a build-up.
func (b *BuildUp) Check() error {
	var wrong fault.Fields
	wrong.If(strings.TrimSpace(b.Name) == "" || utf8.RuneCountInString(b.Name) > 120, "name",
		"the build-up has no name, or one of more than 120 letters", "Call it by its layers")
	wrong.If(len(b.Layers) == 0 || len(b.Layers) > 12, "layers", "a build-up has one to twelve layers",
		"Give them in the order they go on")
	seen := map[string]bool{}
	for _, l := range b.Layers {
		switch {
		case strings.TrimSpace(l.Name) == "" || l.Name == "bare":
			wrong.If(true, "layers", "a layer has no name", "Name it: board, skim, tile")
		case utf8.RuneCountInString(l.Name) > 60:
			wrong.If(true, "layers", "a layer's name has more than 60 letters", "Name it: board, skim, tile")
		case seen[l.Name]:
			wrong.If(true, "layers", "two layers are called "+l.Name, "Give each a name of its own")
		default:
			wrong.If(!(l.Thickness > 0 && l.Thickness <= 1000) || l.Sigma < 0 || l.Sigma > 1000, "layers",
				"the thickness of "+l.Name+" is out of range", "Give it in millimetres, above 0")
		}
		seen[l.Name] = true
	}
	return wrong.Err("This build-up cannot be saved.")
}

// cannotBeAdded begins the faults of a person.
const cannotBeAdded = "This person cannot be added."

// checkMember returns what is wrong with a person.
func checkMember(p Person) error {
	var wrong fault.Fields
	n := utf8.RuneCountInString(strings.TrimSpace(p.Name))
	wrong.If(seen(p.Name) == "" || n > 120 || strings.ContainsAny(p.Name, "\r\n"), "name", "there is no name",
		"Give first and last name on one line")
	wrong.If(readsAsLeft(p.Name), "name", "that stands for people who left and had their name removed",
		"Give first and last name")
	switch {
	case !slices.Contains(Roles, p.Role):
		wrong.If(true, "role", "there is no such role", "Give owner, foreman, trade or client")
	case p.Role == Trade:
		wrong.If(!worksAs(p.Trade), "trade", "there is no such trade",
			"Give electrician, plumber, dry_liner, plasterer, tiler, joiner or decorator")
	case p.EveryJob:
		wrong.If(true, "jobs", "only a trade can be on every job",
			"Leave it out: owner and foreman see all jobs, a client those that they are named on")
	default:
		wrong.If(p.Trade != "", "trade", "a trade is given for somebody who has none", "Leave it out")
	}
	return wrong.Err(cannotBeAdded)
}

// worksAs reports whether somebody with the role Trade can have a trade.
func worksAs(t words.Trade) bool {
	return slices.Contains(words.Trades, t) && t != words.Foreman && t != words.Client
}
