package web

// Visits is the page of what a person takes along: the rooms with something to
// do in them, what of them is on the phone, and what waits there.
var Visits = Page[VisitsView]{"visits"}

// VisitsView is the server's part of it. Only the phone knows what is on it:
// its script fills that in.
type VisitsView struct {
	Sheet
	Rooms []VisitRoom
}

// VisitRoom is one room to go to.
type VisitRoom struct {
	At   Place
	Job  string
	Name string
	Says string // "First fix"
	// Closing says what must not be covered yet; "" if that is nothing.
	Closing string
	Does    []string // what there is to do
	More    int      // and how many things more
	Act     string   // what comes first: "Measure D4"; "" if there is nothing to press
	Href    string
	Needs   []string // what to bring along, each once
}
