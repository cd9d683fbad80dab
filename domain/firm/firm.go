// Package firm holds a firm, its people and the ways in, and its standard
// build-ups.
package firm

import (
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
}

// BuildUp is a standard build-up: what usually goes on a face.
type BuildUp struct {
	ID     id.BuildUp `json:"id" format:"uuid"`
	Name   string     `json:"name" minLength:"1" maxLength:"120"` // "dot and dab, board and skim"
	Layers []Layer    `json:"layers" minItems:"1" maxItems:"12" doc:"In the order they go on."`
}

// Layer is one layer of a build-up, in the order they go on.
type Layer struct {
	Name      string      `json:"name,omitzero" required:"true" minLength:"1" maxLength:"120"`
	Thickness float64     `json:"thickness,omitzero" required:"true" exclusiveMinimum:"0"`    // mm
	Sigma     float64     `json:"sigma,omitzero" minimum:"0" doc:"0: 20 % of the thickness."` // mm
	Stage     words.Stage `json:"stage"`
}

// Check returns what is wrong with a build-up.
func (b *BuildUp) Check() error {
	var wrong []fault.Field
	if strings.TrimSpace(b.Name) == "" {
		wrong = append(wrong, fault.Field{Path: "name", Wrong: "the build-up has no name", Mend: "Call it by its layers"})
	}
	if len(b.Layers) == 0 || len(b.Layers) > 12 {
		wrong = append(wrong, fault.Field{Path: "layers", Wrong: "a build-up has one to twelve layers",
			Mend: "Give them in the order they go on"})
	}
	seen := map[string]bool{}
	for _, l := range b.Layers {
		switch {
		case strings.TrimSpace(l.Name) == "" || l.Name == "bare":
			wrong = append(wrong, fault.Field{Path: "layers", Wrong: "a layer has no name of its own",
				Mend: "Name it: board, skim, tile"})
		case seen[l.Name]:
			wrong = append(wrong, fault.Field{Path: "layers", Wrong: "two layers are called " + l.Name,
				Mend: "Give each a name of its own"})
		case !(l.Thickness > 0 && l.Thickness <= 1000) || l.Sigma < 0 || l.Sigma > 1000:
			wrong = append(wrong, fault.Field{Path: "layers", Wrong: "the thickness of " + l.Name + " is out of range",
				Mend: "Give it in millimetres, above 0"})
		}
		seen[l.Name] = true
	}
	if len(wrong) > 0 {
		return &fault.Error{Kind: fault.BadInput, Msg: "This build-up cannot be kept.", Fields: wrong}
	}
	return nil
}

// checkMember returns what is wrong with a person.
func checkMember(p Person) error {
	var wrong []fault.Field
	if n := utf8.RuneCountInString(strings.TrimSpace(p.Name)); n == 0 || n > 120 || strings.ContainsAny(p.Name, "\r\n") {
		wrong = append(wrong, fault.Field{Path: "name", Wrong: "there is no name",
			Mend: "Give first and last name on one line"})
	}
	isTrade := false
	for _, t := range words.Trades {
		isTrade = isTrade || t == p.Trade && t != words.Foreman && t != words.Client
	}
	switch {
	case p.Role != Owner && p.Role != Foreman && p.Role != Trade && p.Role != Client:
		wrong = append(wrong, fault.Field{Path: "role", Wrong: "there is no such role",
			Mend: "Give owner, foreman, trade or client"})
	case p.Role == Trade && !isTrade:
		wrong = append(wrong, fault.Field{Path: "trade", Wrong: "there is no such trade",
			Mend: "Give electrician, plumber, dry_liner, plasterer, tiler, joiner or decorator"})
	case p.Role != Trade && p.EveryJob:
		wrong = append(wrong, fault.Field{Path: "jobs", Wrong: "only a trade is put on every job",
			Mend: "Leave it out: owner and foreman see all jobs, a client those that they are named on"})
	case p.Role != Trade && p.Trade != "":
		wrong = append(wrong, fault.Field{Path: "trade", Wrong: "a trade is given for somebody who has none",
			Mend: "Leave it out"})
	}
	if len(wrong) > 0 {
		return &fault.Error{Kind: fault.BadInput, Msg: "This person cannot be added.", Fields: wrong}
	}
	return nil
}
