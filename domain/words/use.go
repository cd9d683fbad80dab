package words

import "strings"

// Use is what a room is used for. The empty one is not said: a use is never
// guessed from what the room is called.
type Use string

// The uses, as stored.
const (
	Bathroom   Use = "bathroom"
	ShowerRoom Use = "shower_room"
	WC         Use = "wc"
	Kitchen    Use = "kitchen"
	Utility    Use = "utility"
	Bedroom    Use = "bedroom"
	LivingRoom Use = "living_room"
	Hall       Use = "hall"
	OtherUse   Use = "other"
)

// Uses are all of them, in the order in which they are offered.
var Uses = []Use{Bathroom, ShowerRoom, WC, Kitchen, Utility, Bedroom, LivingRoom, Hall, OtherUse}

// String is the use in words: "shower room"; "not said" where nobody said it.
func (u Use) String() string {
	switch u {
	case "":
		return "not said"
	case WC:
		return "WC"
	case Utility:
		return "utility room"
	case Hall:
		return "hall or landing"
	case OtherUse:
		return "other room"
	}
	return strings.ReplaceAll(string(u), "_", " ")
}

// Known reports whether there is such a use; one that is not said is.
func (u Use) Known() bool {
	for _, v := range Uses {
		if u == v {
			return true
		}
	}
	return u == ""
}
