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

// PhotoGroup holds the photos of a surface and what is on it, or of a stage.
type PhotoGroup struct {
	Name string
	Rows []PhotoRow
}

// PhotoPart is the photos' part of other pages: those that belong to the page,
// and the form for one more; nil if none can be taken.
type PhotoPart struct {
	Title string // "Photos of the open surfaces"; "" leaves the part out
	Empty string // says why to take one if there is none
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
	// Picture says that it can be looked at. A thumb is Width by Height px.
	Picture       bool
	Width, Height int
	Struck        string // why it was struck out; "" if it was not
	// Strike is the address for striking it out; "" if that is not possible.
	Strike string
}

// Alt returns what the picture shows, for those who cannot see it.
func (r PhotoRow) Alt() string {
	if r.Says == "" {
		return "Photo of " + r.Of
	}
	return "Photo of " + r.Of + ": " + r.Says
}

// Href returns the address of the picture at the width of a page.
func (r PhotoRow) Href() string { return Picture(r.ID, "page") }

// Thumb returns the address of the thumbnail.
func (r PhotoRow) Thumb() string { return Picture(r.ID, "thumb") }

// PhotoField is the form that takes a photo. Fields: on, says, picture.
type PhotoField struct {
	Action, Token string
	// On is what the photo will show: "surface/ID", "datum/ID", "position/ID"
	// or "stage/CODE"; as typed if there are Choices.
	On      string
	Of      string   // On in words
	Choices []Option // none: it is On
	Says    string
	Faults  []fault.Field
}
