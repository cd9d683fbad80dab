package web

import "time"

// Sessions is the page of where one is signed in.
var Sessions = Page[SessionsView]{"sessions"}

// SessionsView lists one's own sessions, this one first.
type SessionsView struct {
	Sheet
	Rows []SessionRow
	// Others: there are more than this one.
	Others bool
	// MayMakeKeys: the page leads to one's keys.
	MayMakeKeys bool
	// Passkeys are one's own; MayAdd: this server takes passkeys.
	Passkeys []PasskeyRow
	MayAdd   bool
	// MayTie: there are accounts to come in with.
	MayTie bool
}

// SessionRow is one device on which one is signed in.
type SessionRow struct {
	ID      string
	Device  string
	Here    bool // the one that looks at the page
	Since   time.Time
	Seen    time.Time // within some minutes
	EndsDay time.Time // at the latest
}

// Href returns the address at which a POST ends the session.
func (r SessionRow) Href() string { return EndSession(r.ID) }

// Keys is the page of one's keys for other programs.
var Keys = Page[KeysView]{"keys"}

// KeysView lists one's own keys and makes more. Fields: name, scope, days.
type KeysView struct {
	Sheet
	Typed
	Rows []KeyRow
	// Secret is that of a key that was just made: it is shown once.
	Secret            string
	Name, Scope, Days string
	Scopes            []Option // what a key can be good for
}

// KeyRow is one key.
type KeyRow struct {
	ID, Name string
	GoodFor  string // "reading"
	Made     time.Time
	Used     time.Time // zero: never
	Ends     time.Time
	Over     bool
}

// Href returns the address at which a POST takes the key away.
func (r KeyRow) Href() string { return EndKey(r.ID) }

// Device is the page with the code for another device of one's own.
var Device = Page[DeviceView]{"device"}

// DeviceView shows that code, this once.
type DeviceView struct {
	Sheet
	Code CodeSheet
	// Ways are accounts that can be tied to the person on this device instead.
	Ways []WayIn
}

// PasskeyRow is one passkey.
type PasskeyRow struct {
	ID, Name string
	Made     time.Time
	Used     time.Time // zero: never
}

// Href returns the address at which a POST takes the passkey
// away.
func (r PasskeyRow) Href() string { return EndPasskey(r.ID) }
