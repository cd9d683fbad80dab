package setoutsheet

import (
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// today returns the state of something with these layers, as it is said.
func today(now string) string {
	if now == "" {
		now = roomsheet.Bare
	}
	return words.StateOf(now)
}
