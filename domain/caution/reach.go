package caution

import "fmt"

// Fitting is what sits on a wall within reach of a hand.
type Fitting string

// The fittings that have a height.
const (
	Socket       Fitting = "socket"
	Switch       Fitting = "switch"
	ConsumerUnit Fitting = "consumer unit"
)

// Reach is between which heights above the finished floor a fitting goes, mm:
// the bottom of a socket, the top of a switch. Corner is how far it keeps from
// an inside corner; 0 if that does not matter.
type Reach struct {
	From, To, Corner float64
	Source           Source
}

var (
	homeSource  = Source{"Approved Document M vol 1", "", "2015", Secondary}
	otherSource = Source{"Approved Document M vol 2", "4.30", "2015", Secondary}
)

// HomeReach: habitable rooms of new dwellings. Approved Document M vol 1; read
// at second hand.
var HomeReach = map[Fitting]Reach{
	Socket:       {450, 1200, 0, homeSource},
	Switch:       {450, 1200, 0, homeSource},
	ConsumerUnit: {1350, 1450, 0, homeSource},
}

// OtherReach: buildings other than dwellings. Approved Document M vol 2, 4.30;
// read at second hand in two forums that agree.
var OtherReach = map[Fitting]Reach{
	Socket: {400, 1000, 350, otherSource},
	Switch: {900, 1100, 0, otherSource},
}

// CornerAccessible is how far from a corner points keep in accessible
// dwellings, M4(2) and M4(3), mm. Approved Document M vol 1; from memory.
const CornerAccessible = 300.0

// HeightCaution returns a caution if a fitting's height in mm is outside its
// reach; false inside it, limits included, and for a fitting without one.
func HeightCaution(table map[Fitting]Reach, f Fitting, height float64) (Caution, bool) {
	r, ok := table[f]
	if !ok || height >= r.From && height <= r.To {
		return Caution{}, false
	}
	return Caution{"reach", fmt.Sprintf(
		"The %s is at %.0f mm; in new work it goes between %.0f and %.0f mm above the finished floor.",
		f, height, r.From, r.To), r.Source}, true
}
