package job

import (
	"fmt"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// Left is a room in which something is open.
type Left struct {
	Room id.Room `json:"room" format:"uuid"`
	Name string  `json:"name"`
	// Stage and State are those of the current stage; nil if all are signed
	// off.
	Stage *words.Stage `json:"stage,omitempty" doc:"The stage in hand; left out where all are signed off."`
	State words.State  `json:"-"`
	Snags []string     `json:"snags" doc:"What each open one says."`
	// Choices is how many conflicting records wait for somebody's choice.
	Choices int    `json:"choices" doc:"How many records wait to be chosen from."`
	Held    []Held `json:"held"`
}

// Held is a position that is held.
type Held struct {
	Name string `json:"name"`
	Why  string `json:"why"`
}

// Says returns what is open in the room, in sentences without a full stop.
func (l *Left) Says() []string {
	var out []string
	if l.Stage != nil {
		out = append(out, l.Stage.String()+" is "+l.State.String())
	}
	for _, h := range l.Held {
		out = append(out, h.Name+" is held: "+strings.TrimSuffix(h.Why, "."))
	}
	for _, s := range l.Snags {
		out = append(out, "a snag is open: "+strings.TrimSuffix(s, "."))
	}
	switch {
	case l.Choices == 1:
		out = append(out, "one thing was recorded twice and needs a choice")
	case l.Choices > 1:
		out = append(out, fmt.Sprintf("%d things were recorded twice and need a choice", l.Choices))
	}
	return out
}

// stillOpen returns the fault of closing a job without having seen what is
// open.
func stillOpen(name string, left []Left) error {
	f := &fault.Error{Kind: fault.Obstacle, Msg: name + " cannot be closed yet: not everything in it is finished."}
	for _, l := range left {
		f.Fields = append(f.Fields, fault.Field{Path: "room/" + l.Room.String(), Wrong: l.Name + ": " +
			strings.Join(l.Says(), "; "), Mend: "Finish it, or close the job anyway"})
	}
	return f
}

// closedSays returns the line of the diary.
func closedSays(name string, left []Left) string {
	if len(left) == 0 {
		return name + " was closed. Nothing was open in it."
	}
	var rooms []string
	for _, l := range left {
		rooms = append(rooms, l.Name+": "+strings.Join(l.Says(), "; ")+".")
	}
	return name + " was closed. Still open: " + strings.Join(rooms, " ")
}

// closing is the detail of that line.
type closing struct {
	Left []leftDetail `json:"left"`
}

type leftDetail struct {
	Room    id.Room  `json:"room"`
	Name    string   `json:"name"`
	Stage   string   `json:"stage,omitempty"`
	State   string   `json:"state,omitempty"`
	Snags   []string `json:"snags,omitempty"`
	Choices int      `json:"choices,omitempty"`
	Held    []Held   `json:"held,omitempty"`
}

func closingOf(left []Left) closing {
	out := closing{[]leftDetail{}}
	for _, l := range left {
		d := leftDetail{Room: l.Room, Name: l.Name, Snags: l.Snags, Choices: l.Choices, Held: l.Held}
		if l.Stage != nil {
			d.Stage, d.State = l.Stage.Code(), l.State.Code()
		}
		out.Left = append(out.Left, d)
	}
	return out
}

// renaming is the detail of a job's new name in the diary.
type renaming struct {
	From called `json:"from"`
	To   called `json:"to"`
}

type called struct {
	Name    string `json:"name"`
	Address string `json:"address"`
}

func renamedSays(from, to Job) string {
	var out []string
	if from.Name != to.Name {
		out = append(out, from.Name+" is now called "+to.Name+".")
	}
	switch {
	case from.Address == to.Address:
	case to.Address == "":
		out = append(out, "The address "+from.Address+" was removed.")
	default:
		out = append(out, "The address of "+to.Name+" is "+to.Address+".")
	}
	return strings.Join(out, " ")
}

// Holds is what keeps a job from being removed.
type Holds struct {
	// Lines is how many entries its diary has besides its beginning and its
	// names. Everything that was done in it is there, including the rooms that
	// were added.
	Lines int
	Codes int // that invite, or invited, somebody to it
}

func (h Holds) fields() []fault.Field {
	var out fault.Fields
	out.If(h.Lines > 0, "job", "work is recorded in its diary, and nothing is ever deleted from a diary",
		"Close the job instead")
	out.If(h.Codes > 0, "job", "somebody was invited to it with a code", "Remove the code, or close the job instead")
	return out
}
