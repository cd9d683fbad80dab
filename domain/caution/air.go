package caution

import "fmt"

// AirRoom is a room with an extract rate.
type AirRoom string

// The rooms that have an extract rate.
const (
	Kitchen     AirRoom = "kitchen"
	KitchenHood AirRoom = "kitchen with a hood to outside"
	Utility     AirRoom = "utility"
	Bathroom    AirRoom = "bathroom"
	Sanitary    AirRoom = "WC"
)

// Extract holds the least rates of a room, l/s.
type Extract struct {
	Intermittent float64
	// Continuous is the high rate of a fan that always runs.
	Continuous float64
	Source     Source
}

// Extracts are the least extract rates for England.
//
// Approved Document F vol 1, 2021 edition (in force 15 June 2022), Tables 1.1
// and 1.2. Kitchens and bathroom, intermittent: read at second hand. The
// utility's 30 was read as a Scottish figure only and the WC's 6 in a forum,
// and every continuous rate is from memory.
var Extracts = map[AirRoom]Extract{
	KitchenHood: {30, 13, Source{"Approved Document F vol 1", "Tables 1.1 and 1.2", "2021", Secondary}},
	Kitchen:     {60, 13, Source{"Approved Document F vol 1", "Tables 1.1 and 1.2", "2021", Secondary}},
	Utility:     {30, 8, Source{"Approved Document F vol 1", "Tables 1.1 and 1.2", "2021", Memory}},
	Bathroom:    {15, 8, Source{"Approved Document F vol 1", "Tables 1.1 and 1.2", "2021", Secondary}},
	Sanitary:    {6, 6, Source{"Approved Document F vol 1", "Tables 1.1 and 1.2", "2021", Memory}},
}

// CubicMetresAnHour turns l/s into m³/h: 15 l/s is 54 m³/h.
func CubicMetresAnHour(litresPerSecond float64) float64 { return litresPerSecond * 3.6 }

// FanCaution returns what a fan's position in such a room is to move; false for a
// room that has no rate.
func FanCaution(room AirRoom) (Caution, bool) {
	e, ok := Extracts[room]
	if !ok {
		return Caution{}, false
	}
	return Caution{"extract", fmt.Sprintf(
		"A fan in a %s moves %.0f l/s (%.0f m³/h) at least, or %.0f l/s where it always runs.",
		room, e.Intermittent, CubicMetresAnHour(e.Intermittent), e.Continuous), e.Source}, true
}
