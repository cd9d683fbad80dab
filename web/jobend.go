package web

import (
	"time"

	"lathmark/domain/job"
)

// CloseJob is the page of what is still open in a job, with the form that
// closes it.
var CloseJob = Page[CloseJobView]{"close-job"}

// CloseJobView is that page. Field of the form: anyway, if something is open.
type CloseJobView struct {
	Sheet
	Typed
	Left []job.Left
}

// Rename is the form for the name of a room or a job, which can be removed
// there, too.
var Rename = Page[RenameView]{"rename"}

// RenameView is that form. Fields: name; for a job, address, too; for a room, use.
type RenameView struct {
	Sheet
	Typed
	Of string // "room" or "job"
	// Keeps says why it cannot be removed, without a full stop, and WayOut what
	// to do about it; empty if it can be removed.
	Keeps  []string
	WayOut string
}

// Uses are what a room may be used for, to choose from.
func (v RenameView) Uses() []Option { return uses() }

// IsJob reports whether it is a job's form.
func (v RenameView) IsJob() bool { return v.Of == "job" }

// Search is the page that finds jobs, rooms and positions by name, closed ones
// too.
var Search = Page[SearchView]{"search"}

// SearchView is a search with its results. Field of the form: q.
type SearchView struct {
	Sheet
	Typed
	Hits []SearchHit
	Most int // the largest number of hits, if there are more; 0 if these are all
}

// SearchHit is one thing that was found.
type SearchHit struct {
	Name   string
	Kind   string // "job", "room", "position"
	Where  string // "Kitchen, 14 Orchard Row"; of a job its address
	Href   string
	Closed time.Time // of the job; zero: it is open
}
