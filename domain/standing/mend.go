package standing

import "lathmark/domain/room"

// Mendable reports whether a reading can be put right: it was not struck out, and
// no stage that is signed off rests on it.
func (j *Standing) Mendable(m *room.Measurement) bool {
	_, signed := j.Record.SignedWith(m)
	return m.Stands() && !signed
}
