package gate

import (
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// ruleCase breaks one rule in a room where all are met, and mends it again.
type ruleCase struct {
	stage    words.Stage
	code     string
	breaks   func(*sample)
	about    About
	sentence string
	trade    words.Trade
	mends    func(*sample)
}

var ruleCases = []ruleCase{
	{words.FirstFix, "no_record", func(r *sample) {
		r.says(1).Determinate = false
		r.Measurements = slices.Delete(r.Measurements, 4, 6)
	}, About{KindPosition, "D2", "D2"},
		"First fix in the utility cannot be signed off: D2 has one offset only. Measure it from a second wall.",
		words.Electrician,
		func(r *sample) { r.says(1).Determinate = true }},
	{words.FirstFix, "no_record", func(r *sample) {
		r.says(2).Determinate = false
		r.Measurements = r.Measurements[:6]
	}, About{KindPosition, "W3", "W3"},
		"First fix in the utility cannot be signed off: W3 has no record. Measure it from two walls before it is " +
			"covered.",
		words.Plumber,
		func(r *sample) { r.Positions[2].OmittedAt = day(3) }},
	{words.FirstFix, "no_record", func(r *sample) {
		r.says(0).Determinate, r.says(0).Ambiguous = false,
			make([]geometry.Vec, 2)
	},
		About{KindPosition, "D1", "D1"},
		"First fix in the utility cannot be signed off: two places fit the readings of D1. Measure it from one more " +
			"wall.",
		words.Electrician,
		func(r *sample) { r.says(0).Determinate = true }},
	{words.FirstFix, "no_record", func(r *sample) { r.says(0).Determinate = false },
		About{KindPosition, "D1", "D1"},
		"First fix in the utility cannot be signed off: the readings of D1 do not fix where it is. Measure it from " +
			"a wall that runs across the first.", words.Electrician,
		func(r *sample) { r.says(0).Determinate = true }},
	{words.FirstFix, "no_record", func(r *sample) {
		r.says(0).Determinate = false
		r.Measurements = append(r.Measurements[3:], room.Measurement{ID: ref[id.Measurement]("x"),
			Kind: words.Distance, Of: r.Positions[1].ID, ToPosition: r.Positions[0].ID})
	}, About{KindPosition, "D1", "D1"},
		"First fix in the utility cannot be signed off: D1 is measured from other positions only. Measure it from " +
			"two walls.",
		words.Electrician,
		func(r *sample) { r.says(0).Determinate = true }},
	{words.FirstFix, "no_record", func(r *sample) {
		r.says(0).Determinate, r.Measurements[0].State = false, ""
	},
		About{KindPosition, "D1", "D1"},
		"First fix in the utility cannot be signed off: a reading of D1 does not count: it does not say what it was " +
			"measured from. Say what it was measured from, or measure D1 again.", words.Electrician,
		func(r *sample) { r.says(0).Determinate = true }},
	{words.FirstFix, "unrecorded_datum", func(r *sample) { r.Measurements[0].State = "" },
		About{KindMeasurement, "D1s", "D1 from the south wall"},
		"First fix in the utility cannot be signed off: D1 from the south wall does not say whether the south wall " +
			"was bare or covered. Say which state it was measured in, or take it again.", words.Electrician,
		func(r *sample) { r.Measurements[0].State = "board" }},
	{words.FirstFix, "unrecorded_datum", func(r *sample) { r.Measurements[8].From = id.Datum{} },
		About{KindMeasurement, "W3f", "W3"},
		"First fix in the utility cannot be signed off: W3 does not say what it was taken from. Say what it was " +
			"measured from, or take it again.", words.Plumber,
		func(r *sample) { r.Measurements[8].From, r.Measurements[8].State = ref[id.Datum]("f"), "" }},
	{words.FirstFix, "unrecorded_datum", func(r *sample) {
		r.Measurements = append(r.Measurements, room.Measurement{ID: ref[id.Measurement]("sp"),
			Kind: words.Span, From: ref[id.Datum]("w"), To: ref[id.Datum]("s")})
	}, About{KindMeasurement, "sp", "the span from the west wall to the south wall"},
		"First fix in the utility cannot be signed off: the span from the west wall to the south wall does not say " +
			"whether the south wall was bare or covered. Say which state it was measured in, or take it " +
			"again.", words.Foreman,
		func(r *sample) { r.Measurements[len(r.Measurements)-1].ToState = "bare" }},
	{words.FirstFix, "no_build_up", func(r *sample) { r.Datums[1].StaysBare = false },
		About{KindDatum, "w", "West wall"},
		"First fix in the utility cannot be signed off: the west wall is measured from, but its build-up has not " +
			"been planned. Plan its build-up, or say that it stays bare.", words.Foreman,
		func(r *sample) {
			r.Layers = append(r.Layers, room.Layer{ID: ref[id.Layer]("t"), Surface: r.Surfaces[0].ID, Datum: r.Datums[1].ID,
				Name: "tile", Stage: words.Decoration})
		}},
	{words.FirstFix, "no_outcome",
		func(r *sample) { r.Gates[words.FirstFix].State = words.InHand; r.Openings[0].Outcome = "" },
		About{KindOpening, "oD1", "hole at D1"},
		"First fix in the utility cannot be signed off: the hole at D1 is cut and nobody has said what was behind " +
			"it. Record what was behind it.", words.Electrician,
		func(r *sample) { r.Openings[0].Outcome = words.OnTimber }},
	{words.FirstFix, "not_checked", func(r *sample) { r.says(0).Checked = false },
		About{KindPosition, "D1", "D1"},
		"First fix in the utility cannot be signed off: D1 is not checked: a misread tape would not show. Measure " +
			"it a second time each way, from another wall if you can.", words.Electrician,
		func(r *sample) { r.says(0).Checked = true }},
	{words.FirstFix, "suspect", func(r *sample) { r.suspect[r.Measurements[3].ID] = "board" },
		About{KindMeasurement, "D2s", "D2 from the south wall"},
		"First fix in the utility cannot be signed off: D2 from the south wall does not fit the others. It would " +
			"fit if the board was on. Take it again, or correct the state.", words.Electrician,
		func(r *sample) { clear(r.suspect) }},
	{words.FirstFix, "suspect", func(r *sample) {
		r.suspect[r.Measurements[3].ID] = words.Bare
	},
		About{KindMeasurement, "D2s", "D2 from the south wall"},
		"First fix in the utility cannot be signed off: D2 from the south wall does not fit the others. It would " +
			"fit if nothing was on the wall. Take it again, or correct the state.", words.Electrician,
		func(r *sample) { clear(r.suspect) }},
	{words.FirstFix, "suspect", func(r *sample) { r.suspect[r.Measurements[3].ID] = "" },
		About{KindMeasurement, "D2s", "D2 from the south wall"},
		"First fix in the utility cannot be signed off: D2 from the south wall does not fit the others. Take it again.",
		words.Electrician,
		func(r *sample) { r.Measurements = slices.Delete(r.Measurements, 3, 4) }},
	{words.FirstFix, "disagree", func(r *sample) {
		r.again(0, 611, 1611, words.FirstFix)
		r.suspect[r.Measurements[0].ID], r.suspect[ref[id.Measurement]("again")] = "", ""
	},
		About{KindMeasurement, "again", "D1 from the south wall"},
		"First fix in the utility cannot be signed off: two readings of D1 from the south wall disagree: 611 was " +
			"recorded on Monday 2 March; 1611 differs by 1000. One of them is wrong: replace it, or measure a third time.",
		words.Electrician,
		func(r *sample) {
			if got := withCode(judge(r, today).Obstacles(words.FirstFix), "suspect"); len(got) != 0 {
				panic("what disagrees is named twice")
			}
			r.Measurements[0].StruckAt = day(4)
		}},
	{words.FirstFix, "disagree", func(r *sample) {
		r.Datums[0].B, r.Datums[1].A = roomsheet.Point{2000, 0}, roomsheet.Point{0, 2000}
		r.Datums[2].A, r.Datums[2].B = roomsheet.Point{0, 900}, roomsheet.Point{2000, 900}
		r.again(2, 611, -611, words.FirstFix)
		third := r.Measurements[2]
		third.ID, third.Value, third.TakenAt = ref[id.Measurement]("third"), -612, day(3)
		r.Measurements = append(r.Measurements, third)
	},
		About{KindMeasurement, "D1f", "D1 from the flange"},
		"First fix in the utility cannot be signed off: two readings of D1 from the flange disagree: 611 clear of " +
			"it was recorded on Monday 2 March; 612 towards the South wall differs by 1223. Strike out the one that " +
			"is wrong.",
		words.Electrician,
		func(r *sample) { r.Measurements[2].StruckAt = day(4) }},
	{words.Boarding, "disagree", func(r *sample) {
		r.Measurements = append(r.Measurements, thickness("board", "", 32))
		last := &r.Measurements[len(r.Measurements)-1]
		last.ID, last.Stage, last.TakenAt = ref[id.Measurement]("again"), words.Boarding, day(10)
	},
		About{KindMeasurement, "again", "the thickness from the south wall"},
		"Boarding in the utility cannot be signed off: two readings of the thickness from the south wall disagree: " +
			"27 was recorded on Wednesday 11 March; 32 differs by 5. One of them is wrong: replace it, or measure a " +
			"third time.",
		words.Foreman,
		func(r *sample) { r.Measurements[len(r.Measurements)-1].Value = 31 }},
	{words.Plaster, "disagree", func(r *sample) { r.again(0, 611, 1611, words.Plaster) },
		About{KindMeasurement, "again", "D1 from the south wall"},
		"Plaster in the utility cannot be signed off: two readings of D1 from the south wall disagree: 611 was " +
			"recorded on Monday 2 March; 1611 differs by 1000. One of them is wrong: replace it, or measure a third " +
			"time.", words.Electrician,
		func(r *sample) { r.Measurements[len(r.Measurements)-1].Stage = words.SecondFix }},
	{words.FirstFix, "timber_hit", func(r *sample) {
		a := r.says(0)
		a.Timbers, a.Clears, a.Move = []geometry.TimberAnswer{{Hit: 0.034}, {Hit: 0.02}}, true, geometry.Vec{U: 0, V: 18.4}
	},
		About{KindPosition, "D1", "D1"},
		"First fix in the utility cannot be signed off: the hole for D1 may cut J1, about 1 in 30. Move it by 19 mm " +
			"or more.",
		words.Electrician,
		func(r *sample) { r.says(0).Timbers = []geometry.TimberAnswer{{Hit: 0.01}, {Hit: 0.01}} }},
	{words.FirstFix, "timber_hit", func(r *sample) {
		r.says(0).Timbers = []geometry.TimberAnswer{{Hit: 0.02},
			{Hit: 0.9}}
	},
		About{KindPosition, "D1", "D1"},
		"First fix in the utility cannot be signed off: the hole for D1 may cut J2, about 9 in 10. Move the tail " +
			"off the timber.",
		words.Electrician,
		func(r *sample) { r.says(0).Timbers = nil }},
	{words.FirstFix, "all_covered", func(r *sample) { r.Measurements = append(r.Measurements[:1], r.Measurements[3:]...) },
		About{KindPosition, "D1", "D1"},
		"First fix in the utility cannot be signed off: everything that D1 is measured from will be covered. " +
			"Measure it from something fixed: a steel, a reveal, a stack.", words.Electrician,
		func(r *sample) { r.Measurements[0].From = ref[id.Datum]("f") }},

	{words.Boarding, "stage_before", func(r *sample) { r.Gates[words.FirstFix].State = words.Offered },
		About{KindGate, "first_fix", "first fix"},
		"Boarding in the utility cannot be signed off: first fix is not signed off. Sign off first fix " +
			"first.", words.Foreman,
		func(r *sample) { r.Gates[words.FirstFix].State = words.SignedOff }},
	{words.Boarding, "stage_before", func(r *sample) { r.Positions[2].AddedAt = day(9) },
		About{KindPosition, "W3", "W3"},
		"Boarding in the utility cannot be signed off: W3 was put on the schedule after first fix was signed off. " +
			"Reopen first fix and measure it.", words.Plumber,
		func(r *sample) { r.Gates[words.FirstFix].SignedAt = day(10) }},
	{words.Boarding, "tail_not_seen", func(r *sample) { r.Seen = r.Seen[:2] },
		About{KindPosition, "W3", "W3"},
		"Boarding in the utility cannot be signed off: nobody has checked that the tail of W3 is free. Check that " +
			"it hangs free of timber and insulation, before the boards go up.", words.Plumber,
		func(r *sample) { r.seen(9, 0) }},
	{words.Boarding, "not_as_built", func(r *sample) { r.Record.Built = r.Record.Built[1:] },
		About{KindLayer, "s/b", "board on the south wall"},
		"Boarding in the utility cannot be signed off: the board on the south wall has no as-built thickness. " +
			"Measure its thickness, or a span across the room.", words.DryLiner,
		func(r *sample) { r.Record.Built = append(r.Record.Built, room.AsBuilt{Layer: r.Layers[0].ID}) }},
	{words.Boarding, "not_as_built", func(r *sample) { r.Measurements[len(r.Measurements)-2].StruckAt = day(12) },
		About{KindLayer, "s/b", "board on the south wall"},
		"Boarding in the utility cannot be signed off: the board on the south wall is recorded as on, but no " +
			"reading that counts says how thick it is. Measure its thickness, or a span across the room.", words.DryLiner,
		func(r *sample) {
			r.Measurements = append(r.Measurements, room.Measurement{ID: ref[id.Measurement]("sp"), Kind: words.Span,
				From: ref[id.Datum]("w"), To: ref[id.Datum]("s"), State: "bare", ToState: "skim"})
		}},
	{words.Boarding, "as_built_differs", func(r *sample) { r.built[r.Layers[0].ID] = [2]float64{8, -3.4} },
		About{KindLayer, "s/b", "board on the south wall"},
		"Boarding in the utility cannot be signed off: the board on the south wall is 8 mm as built, 25 mm as " +
			"planned. Measure it again.", words.DryLiner,
		func(r *sample) { r.built[r.Layers[0].ID] = [2]float64{8, -3} }},
	{words.Boarding, "no_photo", func(r *sample) { r.Photos = nil },
		About{KindSurface, "c", "ceiling"},
		"Boarding in the utility cannot be signed off: there is no photo of the ceiling before boarding. Take one " +
			"before the boards go up.", words.Foreman,
		func(r *sample) { r.Photos = []room.Photo{{Surface: r.Surfaces[0].ID}} }},

	{words.Plaster, "stage_before", func(r *sample) { r.Gates[words.Boarding].State = words.InHand },
		About{KindGate, "boarding", "boarding"},
		"Plaster in the utility cannot be signed off: boarding is not signed off. Sign off boarding " +
			"first.", words.Foreman,
		func(r *sample) { r.Gates[words.Boarding].State = words.SignedOff }},
	{words.Plaster, "not_as_built", func(r *sample) { r.Record.Built = r.Record.Built[:1] },
		About{KindLayer, "s/k", "skim on the south wall"},
		"Plaster in the utility cannot be signed off: the skim on the south wall has no as-built thickness. Measure " +
			"its thickness, or a span across the room.", words.Plasterer,
		func(r *sample) { r.Record.Built = append(r.Record.Built, room.AsBuilt{Layer: r.Layers[1].ID}) }},
	{words.Plaster, "not_as_built", func(r *sample) { r.Measurements[len(r.Measurements)-1].FromState = "skim" },
		About{KindLayer, "s/k", "skim on the south wall"},
		"Plaster in the utility cannot be signed off: the skim on the south wall is recorded as on, but no reading " +
			"that counts says how thick it is. Measure its thickness, or a span across the room.", words.Plasterer,
		func(r *sample) { r.Record.Built[1].Thickness = 3 }},
	{words.Plaster, "no_finish_date", func(r *sample) { r.Finished = nil },
		About{KindPlaster, "", "plaster"},
		"Plaster in the utility cannot be signed off: the day the plaster was finished is not recorded. Record the day.",
		words.Plasterer,
		func(r *sample) { r.finished(day(21)) }},
	{words.Plaster, "no_finish_date", func(r *sample) { r.finished(day(61)) },
		About{KindPlaster, "", "plaster"},
		"Plaster in the utility cannot be signed off: the day the plaster was finished is still to come. Record the " +
			"day once it is done.", words.Plasterer,
		func(r *sample) { r.finished(today) }},

	{words.SecondFix, "stage_before", func(r *sample) { r.Gates[words.Plaster].State = words.Waiting },
		About{KindGate, "plaster", "plaster"},
		"Second fix in the utility cannot be signed off: plaster is not signed off. Sign off plaster " +
			"first.", words.Foreman,
		func(r *sample) { r.Gates[words.Plaster].State = words.SignedOff }},
	{words.SecondFix, "not_opened", func(r *sample) { r.Openings[2].Outcome = "" },
		About{KindPosition, "W3", "W3"},
		"Second fix in the utility cannot be signed off: W3 is cut and nobody has said what was behind it. Record " +
			"what was behind it.",
		words.Plumber,
		func(r *sample) { r.Openings[2].Outcome = words.HookedOut }},
	{words.SecondFix, "not_opened", func(r *sample) { r.Openings = r.Openings[:2] },
		About{KindPosition, "W3", "W3"},
		"Second fix in the utility cannot be signed off: W3 is not cut yet. Cut it and record what was behind it, " +
			"or have the client leave it out.", words.Plumber,
		func(r *sample) { r.Positions[2].OmittedAt = day(40) }},
	{words.SecondFix, "held", func(r *sample) {
		r.Positions[1].Held, r.Positions[1].HeldWhy = true,
			"fan of unknown size."
	},
		About{KindPosition, "D2", "D2"},
		"Second fix in the utility cannot be signed off: D2 is held: fan of unknown size. Have it decided, then " +
			"release it or have the client leave it out.", words.Client,
		func(r *sample) { r.Positions[1].Held = false }},
	{words.SecondFix, "lost_hole", func(r *sample) { r.Openings[0].Outcome = words.NotFound },
		About{KindOpening, "oD1", "hole at D1"},
		"Second fix in the utility cannot be signed off: the tail of D1 was not found, and its hole has no patch. " +
			"Record a patch for it, or add a new position to the schedule.", words.Electrician,
		func(r *sample) { r.patch(0, time.Time{}, time.Time{}) }},
	{words.SecondFix, "lost_hole", func(r *sample) {
		r.Openings[2].Outcome, r.Openings[2].NewPosition = words.OnTimber, ref[id.Position]("gone")
	},
		About{KindOpening, "oW3", "hole at W3"},
		"Second fix in the utility cannot be signed off: the hole at W3 hit timber and has no patch. Record a patch " +
			"for it, or add a new position to the schedule.", words.Plumber,
		func(r *sample) { r.Openings[2].NewPosition = r.Positions[0].ID }},
	{words.SecondFix, "lost_tail", func(r *sample) {
		r.Openings[0].Outcome = words.NotFound
		r.patch(0, day(50), day(51))
	},
		About{KindPosition, "D1", "D1"},
		"Second fix in the utility cannot be signed off: the tail of D1 is lost behind the ceiling. Find it, add a new " +
			"position, or have the client leave it out.", words.Electrician,
		func(r *sample) {
			again := r.Openings[0]
			again.ID, again.Outcome = ref[id.Opening]("again"), words.Found
			r.Openings = append(r.Openings, again)
		}},
	{words.SecondFix, "lost_tail", func(r *sample) {
		r.Openings[2].Outcome = words.OnTimber
		r.patch(2, day(50), day(51))
	},
		About{KindPosition, "W3", "W3"},
		"Second fix in the utility cannot be signed off: the hole for W3 hit timber, so its tail is still behind the " +
			"ceiling. Find it, add a new position, or have the client leave it out.", words.Plumber,
		func(r *sample) { r.Positions[2].OmittedAt = day(52) }},
	{words.SecondFix, "first_hole", func(r *sample) { r.proved(day(40)) },
		About{KindFirstHole, "electrician", "first hole"},
		"Second fix in the utility cannot be signed off: 2 holes were cut before one had proved the set-out. Look " +
			"at where their tails were before you cut more.", words.Foreman,
		func(r *sample) { r.Openings[0].Outcome = words.Found; r.proved(day(31)) }},
	{words.SecondFix, "first_hole", func(r *sample) { r.Openings = nil },
		About{KindFirstHole, "electrician", "first hole"},
		"Second fix in the utility cannot be signed off: no hole has proved the set-out yet. Cut D1 first and " +
			"record where its tail was before you cut the rest.", words.Electrician,
		func(r *sample) { r.Positions = r.Positions[:1] }},
	{words.SecondFix, "first_hole", func(r *sample) {
		r.Openings = r.Openings[:1]
		r.Openings[0].Outcome, r.Openings[0].RecordedAt = "", time.Time{}
		r.Positions[0], r.Positions[2] = r.Positions[2], r.Positions[0]
	},
		About{KindFirstHole, "electrician", "first hole"},
		"Second fix in the utility cannot be signed off: the first hole has not proved the set-out yet. Record " +
			"where its tail was before you cut the rest.", words.Electrician,
		func(r *sample) { r.Openings[0].Outcome = words.Found; r.proved(day(31)) }},
	{words.SecondFix, "first_hole", func(r *sample) {
		r.Openings = r.Openings[:1]
		r.Openings[0].Outcome = words.NotFound
		r.Positions[0], r.Positions[2] = r.Positions[2], r.Positions[0]
	}, About{KindFirstHole, "electrician", "first hole"},
		"Second fix in the utility cannot be signed off: no hole has proved the set-out yet. Cut D2 first and " +
			"record where its tail was before you cut the rest.", words.Electrician,
		func(r *sample) { r.Positions[2].Held, r.Positions[1].OmittedAt = true, day(40) }},
	{words.SecondFix, "not_dry", func(r *sample) { r.finished(day(58)) },
		About{KindPlaster, "", "plaster"},
		"Second fix in the utility cannot be signed off: the plaster cannot be dry before Saturday 2 May. Wait for " +
			"that day.",
		words.Foreman,
		func(r *sample) { r.finished(day(57)) }},

	{words.Decoration, "stage_before", func(r *sample) { r.Gates[words.SecondFix].State = words.InHand },
		About{KindGate, "second_fix", "second fix"},
		"Decoration in the utility cannot be signed off: second fix is not signed off. Sign off second fix first.",
		words.Foreman,
		func(r *sample) { r.Gates[words.SecondFix].State = words.SignedOff }},
	{words.Decoration, "patch_open", func(r *sample) { r.patch(0, time.Time{}, time.Time{}) },
		About{KindOpening, "oD1", "hole at D1"},
		"Decoration in the utility cannot be signed off: the patch at D1 is not filled. Fill it.", words.Decorator,
		func(r *sample) { r.patch(0, day(40), day(41)) }},
	{words.Decoration, "patch_open", func(r *sample) { r.patch(0, day(59), time.Time{}) },
		About{KindOpening, "oD1", "hole at D1"},
		"Decoration in the utility cannot be signed off: the patch at D1 is filled and nobody has said that it is " +
			"dry. Look at it and record that it is dry.", words.Decorator,
		func(r *sample) { r.Patches[0].DryAt = day(60) }},
	{words.Decoration, "patch_open", func(r *sample) { r.patch(0, day(59), day(62)) },
		About{KindOpening, "oD1", "hole at D1"},
		"Decoration in the utility cannot be signed off: the patch at D1 is not dry before Sunday 3 May. Wait for " +
			"it to dry.",
		words.Decorator,
		func(r *sample) { r.Patches[0].DryAt = day(60) }},
	{words.Decoration, "snag_open", func(r *sample) {
		r.Snags = []room.Snag{{ID: ref[id.Snag]("g"), Says: "scratch on " +
			"the sill"}}
	},
		About{KindSnag, "g", "scratch on the sill"},
		"Decoration in the utility cannot be signed off: a snag is open: scratch on the sill. " +
			"Put it right; the foreman looks at it and closes it.",
		words.Foreman,
		func(r *sample) { r.Snags[0].ClosedAt = day(59) }},
}

func TestEveryRuleMetNotMetMended(t *testing.T) {
	for _, s := range words.Stages {
		if got := judge(done(), today).Obstacles(s); len(got) != 0 {
			t.Fatalf("%s of a finished room has obstacles: %+v", s, got)
		}
	}
	for _, c := range ruleCases {
		t.Run(c.stage.Code()+"/"+c.code, func(t *testing.T) {
			r := done()
			c.breaks(r)
			got := withCode(judge(r, today).Obstacles(c.stage), c.code)
			if len(got) != 1 {
				t.Fatalf("want one obstacle %s, got %+v", c.code, judge(r, today).Obstacles(c.stage))
			}
			o := got[0]
			if plain(o.About) != c.about || o.Trade != c.trade || o.Stage != c.stage {
				t.Errorf("about %+v, trade %q, stage %s", o.About, o.Trade, o.Stage)
			}
			if s := o.Sentence(r.Name); s != c.sentence {
				t.Errorf("got  %s\nwant %s", s, c.sentence)
			}
			c.mends(r)
			if left := withCode(judge(r, today).Obstacles(c.stage), c.code); len(left) != 0 {
				t.Errorf("still there after mending: %+v", left)
			}
		})
	}
}

func withCode(obstacles []Obstacle, code string) []Obstacle {
	var out []Obstacle
	for _, o := range obstacles {
		if o.Code == code {
			out = append(out, o)
		}
	}
	return out
}

// The table in testdata/gates.md is our own trade notes' gates table.
func TestTheTradesTableIsTheRules(t *testing.T) {
	text, err := os.ReadFile("testdata/gates.md")
	if err != nil {
		t.Fatal(err)
	}
	type line struct {
		stage words.Stage
		hard  bool
		says  string
	}
	want := map[line]bool{}
	for _, row := range strings.Split(string(text), "\n") {
		cells := strings.Split(row, "|")
		if len(cells) != 5 {
			continue
		}
		stage, err := words.ParseStage(strings.TrimSpace(cells[1]))
		if err != nil {
			continue // the head of the table
		}
		for i, cell := range cells[2:4] {
			for _, says := range strings.Split(cell, ";") {
				if says = strings.TrimSpace(says); says != "" {
					want[line{stage, i == 0, says}] = true
				}
			}
		}
	}
	if len(want) != 29 {
		t.Fatalf("the table in testdata has %d lines, not 29", len(want))
	}
	for _, rule := range Rules {
		l := line{rule.Stage, rule.Hard, rule.Says}
		if !want[l] {
			t.Errorf("the trade's table has no line %+v", l)
		}
		delete(want, l)
		tested := slices.ContainsFunc(ruleCases, func(c ruleCase) bool {
			return c.stage == rule.Stage &&
				c.code == rule.Code
		})
		if !tested {
			t.Errorf("no case tests %s/%s", rule.Stage, rule.Code)
		}
	}
	for l := range want {
		t.Errorf("no rule for %+v", l)
	}
}

func TestRuleCodesAreUniqueWithinAStage(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range Rules {
		key := r.Stage.Code() + "/" + r.Code
		if seen[key] {
			t.Errorf("%s twice", key)
		}
		seen[key] = true
	}
}

// What the client gave up owes nothing; its readings still have to be whole.
func TestOmittedPositionOwesNothing(t *testing.T) {
	r := done()
	*r.says(0) = geometry.PositionAnswer{Timbers: []geometry.TimberAnswer{{Hit: 1}}}
	r.Positions[0].Held, r.Positions[0].OmittedAt, r.Seen = true, day(2), r.Seen[1:]
	r.Openings = r.Openings[1:]
	for _, s := range words.Stages {
		if got := judge(r, today).Obstacles(s); len(got) != 0 {
			t.Errorf("%s: %+v", s, got)
		}
	}
	r.Measurements[0].State = ""
	if got := withCode(judge(r, today).Obstacles(words.FirstFix), "unrecorded_datum"); len(got) != 1 {
		t.Errorf("an omitted position's reading without a state: %+v", got)
	}
}

// A hole opened while first fix stays signed off is not first fix's business.
func TestOutcomeIsAskedOnlyWhenFirstFixIsOpenAgain(t *testing.T) {
	r := done()
	r.Openings[0].Outcome = ""
	if got := withCode(judge(r, today).Obstacles(words.FirstFix), "no_outcome"); len(got) != 0 {
		t.Errorf("signed off: %+v", got)
	}
	r.Gates[words.FirstFix] = room.Gate{State: words.Offered}
	if got := withCode(judge(r, today).Obstacles(words.FirstFix), "no_outcome"); len(got) != 1 {
		t.Errorf("open again: %+v", got)
	}
}

// Holes that were opened one after the other once the first was proved are in
// order; only those before it count.
func TestFirstHoleCountsOnlyWhatWasOpenedBefore(t *testing.T) {
	r := done()
	for _, c := range []struct {
		proved time.Time
		want   int
	}{{day(30).Add(time.Hour), 0}, {day(31), 0}, {day(31).Add(time.Hour), 1}, {day(33), 1}} {
		r.proved(c.proved)
		if got := withCode(judge(r, today).Obstacles(words.SecondFix), "first_hole"); len(got) != c.want {
			t.Errorf("proved %v: %+v", c.proved, got)
		}
	}
}

func TestHardObstaclesComeFirst(t *testing.T) {
	r := done()
	r.says(0).Checked = false
	r.Datums[1].StaysBare = false
	got := judge(r, today).Obstacles(words.FirstFix)
	if len(got) != 2 || !got[0].Hard || got[1].Hard || Hard(got) != 1 {
		t.Errorf("%+v", got)
	}
}

// One clock reading per transaction: what was put on the schedule at the very
// moment of the sign-off was there when it was signed.
func TestAddedAtTheMomentOfTheSignOffIsSignedOffWithIt(t *testing.T) {
	r := done()
	for moment, want := range map[time.Duration]int{-1: 0, 0: 0, 1: 1} {
		r.Positions[0].AddedAt = r.Gates[words.FirstFix].SignedAt.Add(moment)
		if got := withCode(judge(r, today).Obstacles(words.Boarding), "stage_before"); len(got) != want {
			t.Errorf("added %v after the sign-off: %+v", moment, got)
		}
	}
}
