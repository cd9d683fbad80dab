package web

import (
	"maps"
	"net/url"
	"slices"
)

// Confirm is the page that asks somebody who is signed in who they are.
var Confirm = Page[ConfirmView]{"confirm"}

// ConfirmView asks for a passkey where there is one, and else for a sign-in again. Field of
// the form to a provider: again.
type ConfirmView struct {
	Sheet
	Minutes    int  // after which a sign-in is too old for what was asked
	Wanted     bool // the firm wants a passkey
	HasPasskey bool
	Make       bool // one has to be made, and can be
	Owner      bool
	Ways       []WayIn
	Demo       string // whom the demo signs in at once; empty: nobody
	// Method and Again are how and where what was typed is sent on.
	Method, Again string
	Typed         []SentAgain
}

// Say writes what comes next.
func (v *ConfirmView) Say() {
	switch {
	case v.Make:
		v.Title, v.Next.Sentence = "Make a passkey", "The firm wants you to have a passkey. "+
			"Make yours, and go on."
	case v.HasPasskey:
		v.Next.Sentence = "Confirm with your passkey, and go on where you were."
	default:
		v.Next.Sentence = "Sign in once more, and go on where you were."
	}
}

// Sent are the fields of a form, as a page carries them, in the order of their names.
func Sent(typed url.Values) (out []SentAgain) {
	for _, name := range slices.Sorted(maps.Keys(typed)) {
		for _, value := range typed[name] {
			out = append(out, SentAgain{name, value})
		}
	}
	return out
}
