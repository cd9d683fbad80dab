package gate

import "lathmark/domain/words"

// The rules' codes, as stored.
const (
	CodeNoRecord        = "no_record"
	CodeUnrecordedDatum = "unrecorded_datum"
	CodeNoBuildUp       = "no_build_up"
	CodeNoOutcome       = "no_outcome"
	CodeNotChecked      = "not_checked"
	CodeSuspect         = "suspect"
	CodeDisagree        = "disagree"
	CodeTimberHit       = "timber_hit"
	CodeAllCovered      = "all_covered"
	CodeStageBefore     = "stage_before"
	CodeTailNotSeen     = "tail_not_seen"
	CodeNotAsBuilt      = "not_as_built"
	CodeAsBuiltDiffers  = "as_built_differs"
	CodeNoPhoto         = "no_photo"
	CodeNoFinishDate    = "no_finish_date"
	CodeNotOpened       = "not_opened"
	CodeHeld            = "held"
	CodeLostHole        = "lost_hole"
	CodeLostTail        = "lost_tail"
	CodeFirstHole       = "first_hole"
	CodeNotDry          = "not_dry"
	CodePatchOpen       = "patch_open"
	CodeSnagOpen        = "snag_open"
)

// Rules is the gates table, line for line as the trade has it. Hard: nobody
// signs the gate off, by any path. Soft: the foreman may accept it with a
// written reason.
//
// Four readings of ours. A patch makes a surface good and not the position whose tail was
// lost: that is a line of its own, soft, for the client may be content without. An outcome of the
// gate before is missing: first fix
// has no gate before it, but it can be reopened from a later stage, and then a
// hole that was opened without a word of what it showed stands in its way. A
// position that the client gave up owes nothing at any gate. Two readings that
// disagree are a line of their own beside the suspect one, which then does not name
// them again.
var Rules = []Rule{
	{words.FirstFix, hard, CodeNoRecord, "a position on the schedule has no determinate record", noRecord},
	{words.FirstFix, hard, CodeUnrecordedDatum, "a measurement has an unrecorded datum", unrecordedDatum},
	{words.FirstFix, hard, CodeNoBuildUp, "a used face has no build-up planned and is not marked as staying bare",
		noBuildUp},
	{words.FirstFix, hard, CodeNoOutcome, "an outcome of the gate before is missing", noOutcome},
	{words.FirstFix, soft, CodeNotChecked, "a position is not checked (no second measurement)", notChecked},
	{words.FirstFix, soft, CodeDisagree, "two readings of one thing disagree", disagree(words.FirstFix)},
	{words.FirstFix, soft, CodeSuspect, "a measurement is suspect", suspect},
	{words.FirstFix, soft, CodeTimberHit, "chance of a hit over 1 %", timberHit},
	{words.FirstFix, soft, CodeAllCovered, "all of a position's datums will be covered", allCovered},

	{words.Boarding, hard, CodeStageBefore, "first fix not signed off", stageBefore(words.Boarding)},
	{words.Boarding, hard, CodeTailNotSeen, "a tail not seen free", tailNotSeen},
	{words.Boarding, hard, CodeNotAsBuilt, "the boarding layers of a used face not recorded as built",
		notAsBuilt(words.Boarding)},
	{words.Boarding, soft, CodeAsBuiltDiffers, "as built differs from planned by more than 3 sigma", asBuiltDiffers},
	{words.Boarding, soft, CodeDisagree, "two readings of one thing disagree", disagree(words.Boarding)},
	{words.Boarding, soft, CodeNoPhoto, "no photo of the open surface", noPhoto},

	{words.Plaster, hard, CodeStageBefore, "boarding not signed off", stageBefore(words.Plaster)},
	{words.Plaster, hard, CodeNotAsBuilt, "the plaster layers of a used face not recorded as built",
		notAsBuilt(words.Plaster)},
	{words.Plaster, hard, CodeNoFinishDate, "the date of finishing not recorded", noFinishDate},
	{words.Plaster, soft, CodeDisagree, "two readings of one thing disagree", disagree(words.Plaster)},

	{words.SecondFix, hard, CodeStageBefore, "plaster not signed off", stageBefore(words.SecondFix)},
	{words.SecondFix, hard, CodeNotOpened, "a position neither opened with an outcome nor omitted by the client",
		notOpened},
	{words.SecondFix, hard, CodeHeld, "a position held", held},
	{words.SecondFix, hard, CodeLostHole, "an outcome \"not found\" or \"on timber\" without a patch or a new position",
		lostHole},
	{words.SecondFix, soft, CodeLostTail, "a tail lost behind a hole that is patched, and the position not made good",
		lostTail},
	{words.SecondFix, soft, CodeFirstHole, "first hole not proved before the rest", firstHole},
	{words.SecondFix, soft, CodeNotDry, "earliest dry day not reached", notDry},

	{words.Decoration, hard, CodeStageBefore, "second fix not signed off", stageBefore(words.Decoration)},
	{words.Decoration, hard, CodePatchOpen, "a patch not filled, or filled and not dry", patchOpen},
	{words.Decoration, hard, CodeSnagOpen, "a snag open", snagOpen},
}

// Says returns the line of the rule with a code, "" where there is none.
func Says(code string) string {
	for _, r := range Rules {
		if r.Code == code {
			return r.Says
		}
	}
	return ""
}
