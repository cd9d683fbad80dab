package web

import (
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// Sheet is what every page has: the title block, the one next thing to do, and
// the viewer. Views embed it.
type Sheet struct {
	At     Place
	Person Person // the signed-in person; zero for nobody
	// Nobody says that nobody is signed in; neither is known of a page that is for
	// whoever has its link.
	Nobody bool
	// Token is sent back with every form and tells one submission from another.
	Token string

	// Names are the people of the firm, on pages that name any.
	Names map[id.Member]firm.Person
	// FirmID is the signed-in person's firm.
	FirmID string
	// Seq is the number of the job's last diary entry when the page's records
	// were read; 0 outside jobs. Seqs holds the same, by the job's id, for a
	// page about several jobs.
	Seq  int64
	Seqs map[string]int64

	// The title block.
	Title string // what this sheet shows: "Set-out", "Schedule"
	Firm  string
	Job   string // name, "" outside jobs
	Room  string // name, "" outside rooms
	Date  time.Time
	// Zone is the firm's, in which the page says days and times.
	Zone words.Zone
	// Closed is when the job was closed, zero while it is open: then the page is
	// only read.
	Closed time.Time
	Turn   string // whose turn it is: "Ola Brandt, electrician"; "" if nobody's

	// Links lead to the room's other pages; none outside rooms.
	Links []Option

	Next Next
	// Done says what was just put on record, after a redirect: a sentence.
	Done string
}

// Shown returns the sheet of a view that embeds it.
func (s Sheet) Shown() Sheet { return s }

// Named returns the name of one of the firm's people; "" if it is nobody's.
func (s Sheet) Named(of id.Member) string { return s.Names[of].Name }

// Person is somebody of the firm, as pages name them.
type Person struct {
	ID       string
	Name     string
	Initials string
	Trade    string // "foreman", "electrician", ...
	// Foreman says that the person sees the dashboard; others see their tasks
	// first.
	Foreman bool
}

// Next is the one thing to do: a sentence, and the one action that is drawn
// blue. A Next without an Action is only a sentence.
type Next struct {
	Sentence string
	Action   string // on the button: "Measure D4"
	Href     string
}

// Stages are the five stages in their order.
var Stages = [5]string{"first fix", "boarding", "plaster", "second fix", "decoration"}

// State is the state of a gate.
type State string

// The states of a gate.
const (
	Waiting   State = "waiting"
	InHand    State = "in hand"
	Offered   State = "offered"
	SignedOff State = "signed off"
)

// Gate is one frame of a room against a stage.
type Gate struct {
	Stage    string // "first fix"
	Slug     string // "first-fix", for Place.Gate
	State    State
	Initials string    // of the signer
	Date     time.Time // of the sign-off
	Hard     int       // obstacles that nobody can accept
	Soft     int       // obstacles that need a reason
}

// Obstacles returns how many obstacles the gate has in all.
func (g Gate) Obstacles() int { return g.Hard + g.Soft }
