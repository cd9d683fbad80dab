package web

import "lathmark/domain/room"

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
	*room.Photo
	Of  string // what it shows: "South wall"
	Who string // took it
	// A thumb is Width by Height px.
	Width, Height int
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
func (r PhotoRow) Href() string { return Picture(r.ID.String(), "page") }

// Thumb returns the address of the thumbnail.
func (r PhotoRow) Thumb() string { return Picture(r.ID.String(), "thumb") }

// PhotoField is the form that takes a photo. Fields: on, says, picture.
type PhotoField struct {
	Typed
	Action, Token string
	// On is what the photo will show: "surface/ID", "datum/ID", "position/ID"
	// or "stage/CODE"; "" if there are Choices.
	On      string
	Of      string   // On in words
	Choices []Option // none: it is On
}
