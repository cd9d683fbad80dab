package web

import "lathmark/domain/room"

// Holes is the page of every hole still to be opened in a room, one to a
// screen.
var Holes = Page[HolesView]{"holes"}

// HolesView is a pad of leaves, in the order in which the holes are to be
// opened. Its leaves are turned by plain links; if the browser shows only the
// leaf that the address names, it is one hole a screen.
type HolesView struct {
	Sheet
	Leaves []HoleLeaf
	// MayOpen says that second fix is in progress, so outcomes can be recorded.
	MayOpen  bool
	Outcomes []Option
	// Lost says what is to be done about each hole that was lost.
	Lost []string
}

// HoleLeaf is one hole with its form. The form has the fields of OutcomeView
// and, hidden: those of Marks, position, and back ("holes").
type HoleLeaf struct {
	Hole    HoleRow
	Surface string // "Ceiling, skimmed today"
	Marks
	Turn     string         // "1 of 7"
	Back, On *room.Position // of the leaves before and after; nil at the ends
	Cautions []Caution
}

// leafForm is the view of the form on a leaf.
type leafForm struct {
	At       Place
	Token    string
	Leaf     HoleLeaf
	Hole     HoleRow
	Outcomes []Option
}

func newLeafForm(v HolesView, l HoleLeaf) leafForm {
	return leafForm{v.At, v.Token, l, l.Hole, v.Outcomes}
}
