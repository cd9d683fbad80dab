package kit

import "lathmark/domain/deed"

// Done returns what was just put on record, in a sentence: of a deed by its kind, of
// the rest by the code in the address. No words of an address ever come onto a page.
func Done(code string) string {
	if of := deed.Kinds[deed.Kind(code)]; of != nil {
		return of.Done
	}
	return done[code]
}

// done is what was done besides deeds.
var done = map[string]string{
	"job":             "The job is added.",
	"named":           "Saved. The old name stays in the diary.",
	"job-closed":      "The job is closed. Use search to find it.",
	"job-reopened":    "The job is open again.",
	"job-removed":     "The job is removed.",
	"room-removed":    "The room is removed. Its lines stay in the diary.",
	"link":            "New link made. The old one no longer works.",
	"link-renewed":    "The client's link works 90 days from today.",
	"link-ended":      "The client's link is removed. It no longer works.",
	"room":            "The room is saved.",
	"build-up":        "The build-up is saved.",
	"chosen":          "Done: your choice counts. Both stay in the diary.",
	"taken-back":      "The code is removed. It no longer works.",
	"passkey":         "The passkey is saved. From now on you can sign in with it on this device.",
	"account":         "The account is linked. From now on you can sign in with it.",
	"email-changed":   "Saved. The old e-mail no longer signs you in.",
	"passkey-away":    "The passkey is removed. It no longer works.",
	"signed-out":      "You are signed out there.",
	"signed-out-else": "You are signed out everywhere else.",
	"taken-on":        "Added to the firm. Now make a one-time link so they can sign in.",
	"name-out":        "The name is removed from the records.",
	"person-changed":  "Saved. It applies from the next page they open.",
	"one-time":        "A one-time link is made.",
	"sign-ins":        "Signed out everywhere. Every link, key and passkey of theirs has stopped working.",
	"let-go":          "Removed from the firm.",
	"on-team":         "The person is on this job now.",
	"off-team":        "Removed from this job.",
	"settings":        "Saved. The new settings apply straight away.",
	"pinned":          "It is pinned to that day. The programme is being worked out again.",
	"unpinned":        "It may move again. The programme is being worked out again.",
	"crew":            "The crew is saved.",
	"crew-ended":      "The crew comes no more. Its link no longer works.",
	"crew-link-ended": "The crew's link is removed. It no longer works.",
	"away":            "Saved. The programme is being worked out again without these days.",
	"back-again":      "Taken back: the programme counts on these days again.",
	"promise":         "The promise is on record.",
	"owed":            "Saved. The programme waits for it.",
	"owed-gone":       "Removed. The programme waits for it no longer.",
	"coming":          "Noted: you will be there.",
	"calendar-ended":  "The calendar's address is removed. It no longer works.",
	"key":             "The key is made.",
	"key-away":        "The key is removed. It no longer works.",
}
