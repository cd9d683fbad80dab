package web

import "strings"

// WallChoice is a wall that is drawn on several surfaces with build-ups that differ. Fields of the form: layers,
// stays_bare.
type WallChoice struct {
	Name string
	Href string // the form of its build-up
	May  bool   // the viewer may choose now
	Ways []WallWay
}

// WallWay is one of the build-ups that it has, and where.
type WallWay struct {
	Layers string // as they are typed; "": none
	Bare   bool   // it is said to stay bare
	Where  []string
}

// Says is the build-up in words: "board 12.5, skim 3".
func (w WallWay) Says() string {
	switch {
	case w.Bare:
		return "stays bare"
	case w.Layers == "":
		return "nothing planned"
	}
	return strings.ReplaceAll(w.Layers, "\n", ", ")
}

// wallChoices are walls to choose for, on a page with a token.
type wallChoices struct {
	Token string
	Walls []WallChoice
}

func newWallChoices(token string, walls []WallChoice) wallChoices { return wallChoices{token, walls} }
