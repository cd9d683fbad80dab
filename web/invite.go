package web

import (
	"html/template"
	"time"

	"lathmark/web/drawing"
)

// CodeSheet is a code that was just made: it is shown this once. The zero
// CodeSheet is none.
type CodeSheet struct {
	// Picture is the QR code of Href, the address in full.
	Picture template.HTML
	Href    string
	// For says what whoever uses it becomes: "electrician on 14 Orchard Row".
	For     string
	Ends    time.Time
	Printed bool // for paper; else for the glass of this phone
}

// NewCodeSheet draws the code of an address. The error is that of an address
// that is too long.
func NewCodeSheet(href, says string, ends time.Time, printed bool) (CodeSheet, error) {
	picture, err := drawing.Code(href, "The code, to be read with a phone's camera")
	return CodeSheet{picture, href, says, ends, printed}, err
}

// Invite is the page on which a foreman asks somebody in.
var Invite = Page[InviteView]{"invite"}

// InviteView makes codes for a job and lists those that wait. Fields: as (what
// the person will be), on ("glass" or "paper").
type InviteView struct {
	Sheet
	Typed
	Code    CodeSheet
	As      string
	Trades  []Option
	Waiting []InvitationRow
}

// InvitationRow is a code that waits.
type InvitationRow struct {
	ID, For, By string
	Printed     bool
	Ends        time.Time
	At          Place // of the job whose page lists it
}

// Href returns the address at which a POST takes the code back.
func (r InvitationRow) Href() string { return r.At.TakeBack(r.ID) }

// Invited is the page that a code leads to.
var Invited = Page[InvitedView]{"invited"}

// InvitedView says what a code is for and asks for the name. Its Sheet's Person
// is who is signed in on this device already. Field: name.
type InvitedView struct {
	Sheet
	Typed
	Code string // the secret in the address
	Name string
	// Of is the firm, For what one becomes, By who asks.
	Of, For, By string
	Ends        time.Time
}

// Href returns the address at which a POST uses the code up.
func (v InvitedView) Href() string { return InvitedPath + v.Code }

// NoCode is what is shown for a code that leads nowhere, whatever the cause.
var NoCode = Page[NoCodeView]{"no-code"}

// NoCodeView has nothing but its sheet.
type NoCodeView struct{ Sheet }
