package drawing

import "lathmark/domain/roomsheet"

// StateWord says a state as people do: "bare", "boarded", "skimmed".
func StateWord(state string) string { return roomsheet.StateWord(state) }
