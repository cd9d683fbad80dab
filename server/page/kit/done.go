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
	"job":             "The job is open.",
	"named":           "It is called that now. The diary keeps what it was called.",
	"job-closed":      "The job is closed. Search finds it.",
	"job-reopened":    "The job is open again.",
	"job-removed":     "The job is removed.",
	"room-removed":    "The room is removed. The diary keeps its lines.",
	"link":            "A new link is made. The old one leads nowhere now.",
	"link-renewed":    "The client's link works 90 days from today.",
	"link-ended":      "The client's link is stopped. It leads nowhere now.",
	"room":            "The room is drawn.",
	"build-up":        "The build-up is on record.",
	"chosen":          "It stands as you chose. The diary keeps both.",
	"taken-back":      "The code is taken back. It lets nobody in any more.",
	"passkey":         "The passkey is made. This device lets you in from now on.",
	"passkey-away":    "The passkey is taken away. It lets nobody in any more.",
	"signed-out":      "You are signed out there.",
	"signed-out-else": "You are signed out everywhere else.",
	"taken-on":        "The person is of the firm now. Make a way in next.",
	"name-out":        "The name is taken out.",
	"person-changed":  "It is on record, and holds from the next page that the person opens.",
	"one-time":        "A one-time link is made.",
	"ways-in":         "Nothing that let the person in works any more.",
	"let-go":          "The person has left the firm.",
	"on-team":         "The person is on this job now.",
	"off-team":        "The person is off this job.",
	"settings":        "The settings are on record, and hold at once.",
	"key":             "The key is made.",
	"key-away":        "The key is taken away. It opens nothing any more.",
}
