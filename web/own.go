package web

import "time"

// Sessions is the page of a person's own sessions.
var Sessions = Page[SessionsView]{"sessions"}

// SessionsView lists them, the current one first.
type SessionsView struct {
	Sheet
	Rows []SessionRow
	// Others says that there are more than this one.
	Others bool
	// MayMakeKeys says that the page leads to the person's keys.
	MayMakeKeys bool
	// Passkeys are the person's own; MayAdd says that this server accepts
	// passkeys.
	Passkeys []PasskeyRow
	MayAdd   bool
	// MayTie says that there are accounts to sign in with.
	MayTie bool
}

// SessionRow is one device on which the person is signed in.
type SessionRow struct {
	ID      string
	Device  string
	Here    bool // the one that shows the page
	Since   time.Time
	Seen    time.Time // within some minutes
	EndsDay time.Time // at the latest
}

// Href returns the address at which a POST ends the session.
func (r SessionRow) Href() string { return EndSession(r.ID) }

// Keys is the page of a person's own keys for other programs.
var Keys = Page[KeysView]{"keys"}

// KeysView lists them and makes more. Fields: name, scope, days.
type KeysView struct {
	Sheet
	Typed
	Rows []KeyRow
	// Secret is that of a key that was just made: it is shown once.
	Secret string
	Scopes []Option // what a key can be good for
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

// Href returns the address at which a POST deletes the key.
func (r KeyRow) Href() string { return EndKey(r.ID) }

// Device is the page with the code that signs the person in on another device.
var Device = Page[DeviceView]{"device"}

// DeviceView shows that code, only once.
type DeviceView struct {
	Sheet
	Code CodeSheet
	// Ways lists accounts that can be tied to the person on this device
	// instead.
	Ways []WayIn
}

// PasskeyRow is one passkey.
type PasskeyRow struct {
	ID, Name string
	Made     time.Time
	Used     time.Time // zero: never
}

// Href returns the address at which a POST deletes the passkey.
func (r PasskeyRow) Href() string { return EndPasskey(r.ID) }
