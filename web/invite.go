package web

import (
	"html/template"
	"time"

	"lathmark/domain/firm"
	"lathmark/web/drawing"
)

// CodeSheet is a code that was just made: it is shown only once. The zero
// CodeSheet is none.
type CodeSheet struct {
	// Picture is the QR code of Href, the address in full.
	Picture template.HTML
	Href    string
	// For says what the person who uses it becomes: "electrician on 14 Orchard
	// Row".
	For     string
	Ends    time.Time
	Printed bool // for paper; else for the screen of this phone
}

// NewCodeSheet draws the code of an address. The error is that of an address
// that is too long.
func NewCodeSheet(href, says string, ends time.Time, printed bool) (CodeSheet, error) {
	picture, err := drawing.Code(href, "The code, to be read with a phone's camera")
	return CodeSheet{picture, href, says, ends, printed}, err
}

// Invite is the page on which a foreman invites somebody.
var Invite = Page[InviteView]{"invite"}

// InviteView makes codes for a job and lists the unused ones. Fields: as (what
// the person will be), on ("glass" or "paper").
type InviteView struct {
	Sheet
	Typed
	Code    CodeSheet
	Trades  []Option
	Waiting []firm.Invitation
}

// Invited is the page that a code leads to.
var Invited = Page[InvitedView]{"invited"}

// InvitedView says what a code is for and asks for the name. Its Sheet's Person
// is whoever is signed in on this device already. Field: name.
type InvitedView struct {
	Sheet
	Typed
	Code string // the secret in the address
	// Of is the firm, For what the person becomes, By who invites.
	Of, For, By string
	Ends        time.Time
}

// Href returns the address at which a POST uses the code.
func (v InvitedView) Href() string { return InvitedPath + v.Code }

// NoCode is the page for a code that leads nowhere, whatever the cause.
var NoCode = Page[NoCodeView]{"no-code"}

// NoCodeView has nothing but its sheet.
type NoCodeView struct{ Sheet }
