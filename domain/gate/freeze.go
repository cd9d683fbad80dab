package gate

import "lathmark/domain/words"

// Part is a part of a room's record that some stage's sign-off freezes.
type Part string

// The parts of a record.
const (
	PartSchedule    Part = "schedule"    // a position's kind, cut-out, place; striking one out
	PartDatum       Part = "datum"       // datums and whether they stay bare
	PartBuildUp     Part = "build_up"    // planned layers
	PartTimber      Part = "timber"      // joists, rafters, studs, noggins, and cable runs through them
	PartMeasurement Part = "measurement" // offsets, distances, spans and thicknesses of first fix
	PartTail        Part = "tail"        // tails seen free
	PartBoards      Part = "boards"      // boarding layers as built, by thickness or by span
	PartCoats       Part = "coats"       // plaster layers as built, and the day it was finished
	PartHold        Part = "hold"        // held, released, given up by the client
	PartOpening     Part = "opening"     // holes, their outcomes, where the tail was, patches owed
	PartPatch       Part = "patch"       // patches filled and dry
	PartSnag        Part = "snag"
)

// frozenBy is the stage whose sign-off freezes each part. Putting a further
// position on the schedule is not here: it reopens first fix (AddPosition).
var frozenBy = map[Part]words.Stage{
	PartSchedule: words.FirstFix, PartDatum: words.FirstFix, PartBuildUp: words.FirstFix, PartTimber: words.FirstFix,
	PartMeasurement: words.FirstFix,
	PartTail:        words.Boarding, PartBoards: words.Boarding,
	PartCoats: words.Plaster,
	PartHold:  words.SecondFix, PartOpening: words.SecondFix,
	PartPatch: words.Decoration, PartSnag: words.Decoration,
}

// StageOf returns the stage whose sign-off freezes a part; false for a part that
// is not one of the Parts.
func StageOf(p Part) (words.Stage, bool) {
	s, ok := frozenBy[p]
	return s, ok
}

// Frozen reports whether a part of the record may no longer be changed because
// its stage is signed off. A part that is not one of the Parts is frozen.
func Frozen(g Gates, p Part) bool {
	s, ok := frozenBy[p]
	return !ok || g[s].State == words.SignedOff
}
