package caution

import (
	"fmt"

	"lathmark/domain/words"
)

// Extract holds the least rates of a room, l/s.
type Extract struct {
	Intermittent float64
	// Hood is for a kitchen whose cooker hood blows to outside; 0 elsewhere.
	Hood float64
	// Continuous is the high rate of a fan that always runs; 0 where none could be
	// read.
	Continuous float64
}

var extractSource = Source{Document: "Approved Document F, volume 1, 2021 edition (England)",
	Clause: "Tables 1.1 and 1.2"}

// Extracts are the least extract rates for England by what a room is used for:
// Approved Document F, volume 1, 2021 edition, Tables 1.1 and 1.2. They were read
// on pages that repeat the tables and agree; see testdata/worked.csv. Rates for a
// whole dwelling are for who designs its ventilation and are not here.
var Extracts = map[words.Use]Extract{
	words.Kitchen:    {60, 30, 13},
	words.Utility:    {30, 0, 0},
	words.Bathroom:   {15, 0, 8},
	words.ShowerRoom: {15, 0, 8},
	words.WC:         {6, 0, 0},
}

// CubicMetresAnHour turns l/s into m³/h: 15 l/s is 54 m³/h.
func CubicMetresAnHour(litresPerSecond float64) float64 { return litresPerSecond * 3.6 }

// Unsaid stands where extract would be told and nobody has said what the room is
// used for.
var Unsaid = Caution{"extract_unsaid",
	"What extract fan the room needs is not shown, because nobody has said what it is used for. Say it " +
		"under \"Name and use of the room\".", site}

// Air returns what extract a room of a use needs: Unsaid where the use is not
// said, false for one that needs none.
func Air(use words.Use) (Caution, bool) {
	if use == "" {
		return Unsaid, true
	}
	e, ok := Extracts[use]
	if !ok {
		return Caution{}, false
	}
	text := fmt.Sprintf("An extract fan in a %s needs at least %s", use, rate(e.Intermittent))
	if e.Hood > 0 {
		text += ", " + rate(e.Hood) + " with a cooker hood to outside"
	}
	if e.Continuous > 0 {
		text += "; " + rate(e.Continuous) + " if it runs continuously"
	}
	return Caution{"extract", text + ".", extractSource}, true
}

func rate(l float64) string { return fmt.Sprintf("%.0f l/s (%.0f m³/h)", l, CubicMetresAnHour(l)) }
