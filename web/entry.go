package web

import (
	"net/url"

	"github.com/google/uuid"
)

// SignIn is the sign-in page.
var SignIn = Page[SignInView]{"sign-in"}

// SignInView offers the demo firm's people in the demo; elsewhere it says that
// people sign in with a one-time link. Field of each form: person.
type SignInView struct {
	Passkeys bool // this server accepts passkeys
	Sheet
	Typed
	People []DemoPerson
	Ways   []WayIn
}

// DemoPerson is one of the demo firm's people, with what to try as that person; Try
// may be empty.
type DemoPerson struct {
	Person
	Try string
}

// WayIn is an account elsewhere to sign in with.
type WayIn struct {
	Label string // follows "Sign in with"
	Href  string // where a form asks for it
	Link  string // a one-time link that is used with it; empty: none
}

// Onward is the page that leads to a provider.
var Onward = Page[OnwardView]{"onward"}

// OnwardView says where its next action leads.
type OnwardView struct{ Sheet }

// ChooseFirm is the page of somebody whom several firms know, or whose account is
// about to be tied to a person.
var ChooseFirm = Page[ChooseFirmView]{"choose-firm"}

// ChooseFirmView offers the firms. Fields of each form: firm, person, asked.
type ChooseFirmView struct {
	Sheet
	Account string // as the provider knows whoever signs in
	Label   string // the provider
	Asked   string // which attempt it is about
	Places  []Workplace
	Ties    bool // one of them at least
}

// Workplace is a firm with whom one is there; Ties says that the account is going to be
// tied to that person.
type Workplace struct {
	Firm, FirmName string
	Person         Person
	Ties           bool
}

// ComeIn is the page of a one-time link.
var ComeIn = Page[ComeInView]{"come-in"}

// ComeInView is a one-time link before it is used: looking at it does not use
// it up, since programs that preview messages follow their links.
type ComeInView struct {
	Sheet
	Link string // the link's secret
	Ways []WayIn
}

// Trouble is the page for everything that cannot be shown.
var Trouble = Page[TroubleView]{"trouble"}

// TroubleView says in the user's words why there is no page here.
type TroubleView struct {
	Sheet
	Says string // what happened, one sentence
	Way  string // what to do, one sentence
	// Again is where what was typed is sent once more; empty: nothing was.
	Again string
	Typed []SentAgain
	// Mark is a number that the log has too; "" if none is needed.
	Mark string
}

// NotFoundView returns the view for an address that leads nowhere.
func NotFoundView(s Sheet) TroubleView {
	s.Title = "Nothing here"
	s.Next = Next{Sentence: "Go back to your jobs.", Action: "Go to your jobs", Href: Home}
	return TroubleView{Sheet: s,
		Says: "There is no such page, or you may not see it.",
		Way:  "If somebody sent you the address, ask them for it again."}
}

// BrokenView returns the view for an internal error; mark identifies it in the
// log.
func BrokenView(s Sheet, mark string) TroubleView {
	s.Title = "Something went wrong"
	s.Next = Next{Sentence: "Try again in a minute.", Action: "Go to your jobs", Href: Home}
	return TroubleView{Sheet: s, Mark: mark,
		Says: "Something went wrong here. Everything saved before is safe.",
		Way:  "What you just entered may not be saved: look before you enter it again."}
}

// UnreadableView returns the view of a room whose record can't be read; says is that.
func UnreadableView(s Sheet, says string) TroubleView {
	s.Title = "Can't be read"
	s.Next = Next{Sentence: "Carry on with the other rooms.", Action: "Go to your jobs", Href: Home}
	return TroubleView{Sheet: s, Says: says,
		Way: "Tell the person who runs Lathmark for you. All other rooms are as they were."}
}

// SentAgain is one field of a form that was not taken.
type SentAgain struct{ Name, Value string }

// Words returns what somebody may have written or chosen in the field; empty for what
// only the page knows.
func (f SentAgain) Words() string {
	if f.Name == "token" || uuid.Validate(f.Value) == nil {
		return ""
	}
	return f.Value
}

// DownView returns the view while the records cannot be reached or not written to; says
// is a sentence on that. posted says that a form was sent to the address at, with what
// was typed in it; nil: that cannot be kept.
func DownView(s Sheet, says, at string, posted bool, typed url.Values) TroubleView {
	s.Title = "Not just now"
	v := TroubleView{Sheet: s, Says: says, Way: "Everything saved before is safe. Try again in a minute."}
	switch {
	case !posted:
		v.Next = Next{Sentence: "Try again in a minute.", Action: "Try again", Href: at}
	case typed == nil:
		v.Next = Next{Sentence: "Go back, and send it again in a minute."}
		v.Way = "Everything saved before is safe. Go back, where what you filled in still is, and send it again in a minute."
	default:
		v.Next = Next{Sentence: "Send it again in a minute."}
		v.Again, v.Way = at, "What you typed is not saved yet. It stays on this page: send it again in a minute."
		v.Typed = Sent(typed)
	}
	return v
}

// Conflict is the page for two people who changed the same thing.
var Conflict = Page[ConflictView]{"conflict"}

// ConflictView shows both versions.
type ConflictView struct {
	Sheet
	What string // what both changed: "the south wall"
	Who  string // who was first
	When string // "Wed 25 Nov 2026, 14:05"
	Rows []ConflictRow
	// Again is the address of the form with their version in it.
	Again string
}

// ConflictRow is one field in both versions.
type ConflictRow struct {
	Name, Theirs, Yours string
}

// Differs reports whether the two versions of the field are not the same.
func (r ConflictRow) Differs() bool { return r.Theirs != r.Yours }
