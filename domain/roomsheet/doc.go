// Package roomsheet reads, checks and writes the room sheet: one JSON document
// that is one room, so that a room can travel without a database. Lengths are
// millimetres, angles degrees, probabilities 0 to 1; sigma is always one
// standard deviation.
package roomsheet
