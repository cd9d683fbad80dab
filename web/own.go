package web

import (
	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// Sessions is the page of a person's own sessions.
var Sessions = Page[SessionsView]{"sessions"}

// SessionsView lists them, the current one first.
type SessionsView struct {
	Sheet
	Rows []firm.Session
	Here id.Session // the one that shows the page
	// MayMakeKeys says that the page leads to the person's keys.
	MayMakeKeys bool
	// Passkeys are the person's own; MayAdd says that this server accepts
	// passkeys.
	Passkeys []firm.Passkey
	MayAdd   bool
	Called   string // what the device is called, where it was typed already
	// MayTie says that there are accounts to sign in with.
	MayTie bool
	// Changed says that a way of signing in was just added or removed.
	Changed bool
}

// Keys is the page of a person's own keys for other programs.
var Keys = Page[KeysView]{"keys"}

// KeysView lists them and makes more. Fields: name, scope, days.
type KeysView struct {
	Sheet
	Typed
	Rows []firm.Key
	// Secret is that of a key that was just made: it is shown once.
	Secret string
	Scopes []Option // what a key can be good for
}

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
