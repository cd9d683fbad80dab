package gate

// Rules is the gates table, line for line as the trade has it. Hard: nobody
// signs the gate off, by any path. Soft: the foreman may accept it with a
// written reason.
//
// Two readings of ours. An outcome of the gate before is missing: first fix
// has no gate before it, but it can be reopened from a later stage, and then a
// hole that was opened without a word of what it showed stands in its way. A
// position that the client gave up owes nothing at any gate.
var Rules = []Rule{
	{FirstFix, hard, "no_record", "a position on the schedule has no determinate record", noRecord},
	{FirstFix, hard, "unrecorded_datum", "a measurement has an unrecorded datum", unrecordedDatum},
	{FirstFix, hard, "no_build_up", "a used face has no build-up planned and is not marked as staying bare", noBuildUp},
	{FirstFix, hard, "no_outcome", "an outcome of the gate before is missing", noOutcome},
	{FirstFix, soft, "not_checked", "a position is not checked (no second measurement)", notChecked},
	{FirstFix, soft, "suspect", "a measurement is suspect", suspect},
	{FirstFix, soft, "timber_hit", "chance of a hit over 1 %", timberHit},
	{FirstFix, soft, "all_covered", "all of a position's datums will be covered", allCovered},

	{Boarding, hard, "stage_before", "first fix not signed off", stageBefore(Boarding)},
	{Boarding, hard, "tail_not_seen", "a tail not seen free", tailNotSeen},
	{Boarding, hard, "not_as_built", "the boarding layers of a used face not recorded as built", notAsBuilt(Boarding)},
	{Boarding, soft, "as_built_differs", "as built differs from planned by more than 3 sigma", asBuiltDiffers},
	{Boarding, soft, "no_photo", "no photo of the open surface", noPhoto},

	{Plaster, hard, "stage_before", "boarding not signed off", stageBefore(Plaster)},
	{Plaster, hard, "not_as_built", "the plaster layers of a used face not recorded as built", notAsBuilt(Plaster)},
	{Plaster, hard, "no_finish_date", "the date of finishing not recorded", noFinishDate},

	{SecondFix, hard, "stage_before", "plaster not signed off", stageBefore(SecondFix)},
	{SecondFix, hard, "not_opened", "a position neither opened with an outcome nor omitted by the client", notOpened},
	{SecondFix, hard, "held", "a position held", held},
	{SecondFix, hard, "lost_hole", "an outcome \"not found\" or \"on timber\" without a patch or a new position",
		lostHole},
	{SecondFix, soft, "first_hole", "first hole not proved before the rest", firstHole},
	{SecondFix, soft, "not_dry", "earliest dry day not reached", notDry},

	{Decoration, hard, "stage_before", "second fix not signed off", stageBefore(Decoration)},
	{Decoration, hard, "patch_open", "a patch not filled, or filled and not dry", patchOpen},
	{Decoration, hard, "snag_open", "a snag open", snagOpen},
}
