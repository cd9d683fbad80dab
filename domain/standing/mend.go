package standing

import (
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// Mendable reports whether a reading can be put right: it was not struck out, and
// does not stand under a stage that is signed off.
func (j *Standing) Mendable(m *room.Measurement) bool {
	return m.Stands() && j.Record.Gates[m.Stage].State != words.SignedOff
}
