package gate

import "lathmark/domain/words"

// Rules is the gates table, line for line as the trade has it. Hard: nobody
// signs the gate off, by any path. Soft: the foreman may accept it with a
// written reason.
//
// Two readings of ours. An outcome of the gate before is missing: first fix
// has no gate before it, but it can be reopened from a later stage, and then a
// hole that was opened without a word of what it showed stands in its way. A
// position that the client gave up owes nothing at any gate.
var Rules = []Rule{
	{words.FirstFix, hard, "no_record", "a position on the schedule has no determinate record", noRecord},
	{words.FirstFix, hard, "unrecorded_datum", "a measurement has an unrecorded datum", unrecordedDatum},
	{words.FirstFix, hard, "no_build_up", "a used face has no build-up planned and is not marked as staying bare", noBuildUp},
	{words.FirstFix, hard, "no_outcome", "an outcome of the gate before is missing", noOutcome},
	{words.FirstFix, soft, "not_checked", "a position is not checked (no second measurement)", notChecked},
	{words.FirstFix, soft, "suspect", "a measurement is suspect", suspect},
	{words.FirstFix, soft, "timber_hit", "chance of a hit over 1 %", timberHit},
	{words.FirstFix, soft, "all_covered", "all of a position's datums will be covered", allCovered},

	{words.Boarding, hard, "stage_before", "first fix not signed off", stageBefore(words.Boarding)},
	{words.Boarding, hard, "tail_not_seen", "a tail not seen free", tailNotSeen},
	{words.Boarding, hard, "not_as_built", "the boarding layers of a used face not recorded as built", notAsBuilt(words.Boarding)},
	{words.Boarding, soft, "as_built_differs", "as built differs from planned by more than 3 sigma", asBuiltDiffers},
	{words.Boarding, soft, "no_photo", "no photo of the open surface", noPhoto},

	{words.Plaster, hard, "stage_before", "boarding not signed off", stageBefore(words.Plaster)},
	{words.Plaster, hard, "not_as_built", "the plaster layers of a used face not recorded as built", notAsBuilt(words.Plaster)},
	{words.Plaster, hard, "no_finish_date", "the date of finishing not recorded", noFinishDate},

	{words.SecondFix, hard, "stage_before", "plaster not signed off", stageBefore(words.SecondFix)},
	{words.SecondFix, hard, "not_opened", "a position neither opened with an outcome nor omitted by the client", notOpened},
	{words.SecondFix, hard, "held", "a position held", held},
	{words.SecondFix, hard, "lost_hole", "an outcome \"not found\" or \"on timber\" without a patch or a new position",
		lostHole},
	{words.SecondFix, soft, "first_hole", "first hole not proved before the rest", firstHole},
	{words.SecondFix, soft, "not_dry", "earliest dry day not reached", notDry},

	{words.Decoration, hard, "stage_before", "second fix not signed off", stageBefore(words.Decoration)},
	{words.Decoration, hard, "patch_open", "a patch not filled, or filled and not dry", patchOpen},
	{words.Decoration, hard, "snag_open", "a snag open", snagOpen},
}
