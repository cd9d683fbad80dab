package web

import (
	"time"

	"lathmark/domain/fault"
)

// Photos is the page of a room's photos.
var Photos = Page[PhotosView]{"photos"}

// PhotosView is all photos of a room, by surface, and the form for one more.
type PhotosView struct {
	Sheet
	Typed
	Field  *PhotoField
	Groups []PhotoGroup
}

// PhotoGroup are the photos of a surface and what is on it, or of a stage.
type PhotoGroup struct {
	Name string
	Rows []PhotoRow
}

// PhotoPart is what other pages have of photos: those that belong to the page,
// and the form for one more; nil if none can be taken.
type PhotoPart struct {
	Title string // "Photos of the open surfaces"; "" leaves the part out
	Empty string // says why to take one, where there is none
	Rows  []PhotoRow
	Field *PhotoField
}

// PhotoRow is one photo, or a note of where one is kept.
type PhotoRow struct {
	ID   string
	Of   string // what it shows: "South wall"
	Says string
	By   string
	At   time.Time
	// Picture: it can be looked at. A thumb is Width by Height px.
	Picture       bool
	Width, Height int
	Struck        string // why it was struck out; "" while it stands
	// Strike: where it can be struck out; "" if it cannot.
	Strike string
}

// Alt says what the picture shows to those who cannot see it.
func (r PhotoRow) Alt() string {
	if r.Says == "" {
		return "Photo of " + r.Of
	}
	return "Photo of " + r.Of + ": " + r.Says
}

// Href returns the address of the picture as wide as a page.
func (r PhotoRow) Href() string { return Picture(r.ID, "page") }

// Thumb returns the address of the picture as it stands in a row.
func (r PhotoRow) Thumb() string { return Picture(r.ID, "thumb") }

// PhotoField is the form that takes a photo. Fields: on, says, picture.
type PhotoField struct {
	Action, Token string
	// On is what the photo will show: "surface/ID", "datum/ID", "position/ID"
	// or "stage/CODE"; as typed where there are Choices.
	On      string
	Of      string   // On in words
	Choices []Option // none: it is On
	Says    string
	Faults  []fault.Field
}
