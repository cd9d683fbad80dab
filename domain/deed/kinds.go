package deed

import (
	"encoding/json"
	"fmt"
	"reflect"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// The kinds of what phones send.
const (
	KindMeasure  Kind = "measure"
	KindCorrect  Kind = "correct"
	KindStrike   Kind = "strike"
	KindSeeTails Kind = "see-tails"
	KindPutOn    Kind = "put-on"
	KindFinish   Kind = "finish"
	KindOpen     Kind = "open-hole"
	KindOwe      Kind = "owe-patch"
	KindFill     Kind = "patch-filled"
	KindDry      Kind = "patch-dry"
	KindUnfill   Kind = "patch-unfilled"
	KindSnag     Kind = "snag"
	KindSnagDone Kind = "snag-done"
	KindOffer    Kind = "offer"
)

// The kinds of what only pages hand in.
const (
	KindReopen         Kind = "reopen"
	KindStrikePhoto    Kind = "strike-photo"
	KindAddDatum       Kind = "add-datum"
	KindAddSurface     Kind = "add-surface"
	KindAddTimbers     Kind = "add-timbers"
	KindAddWay         Kind = "add-way"
	KindChangePosition Kind = "change-position"
	KindHold           Kind = "hold"
	KindMoveOff        Kind = "move-off"
	KindOmit           Kind = "omit"
	KindPlan           Kind = "plan-build-up"
	KindRelease        Kind = "release"
	KindRemoveDatum    Kind = "remove-datum"
	KindRemoveTimber   Kind = "remove-timber"
	KindRemoveWay      Kind = "remove-way"
	KindSchedule       Kind = "schedule"
	KindSnagGiven      Kind = "snag-given"
	KindSnagAgain      Kind = "snag-again"
	KindStaysBare      Kind = "stays-bare"
	KindWantAgain      Kind = "want-again"
)

// Kinds are all sorts of deeds. Those of phones come first.
var Kinds, kindOf = index(
	sort[Measure](Sort{Kind: KindMeasure, At: "measure", Teaches: true, Brought: "a reading", form: readMeasure,
		names: onReading}),
	sort[Correct](Sort{Kind: KindCorrect, Done: "The reading is corrected.", At: "readings/:reading", Room: true,
		Teaches: true, Brought: "a corrected reading",
		form: readCorrect, names: onReading}),
	sort[Strike](Sort{Kind: KindStrike, Done: "The reading is struck out. It stays visible but no longer counts.",
		At: "readings/:reading/strike", Teaches: true, Brought: "a reading struck out",
		form: readStrike}),
	sort[SeeTails](Sort{Kind: KindSeeTails, Done: "Saved: the tails that you saw free.", At: "tails",
		Brought: "tails seen free", form: readSeeTails}),
	sort[PutOn](Sort{Kind: KindPutOn, Done: "The build-up as built is saved. Offsets are corrected by it.", At: "as-built",
		Room: true, Teaches: true, Brought: "a build-up as built",
		form: readPutOn, names: []string{"through", "span_state", "to_state", "span_state", "value", "span"}}),
	sort[Finish](Sort{Kind: KindFinish, Done: "The day is saved.", At: "finished",
		Brought: "the day a stage was finished", form: readFinish,
		names: []string{"on", "date"}}),
	sort[OpenHole](Sort{Kind: KindOpen, Done: "The hole is saved. The holes still to cut are corrected by it.",
		At: "positions/:position/outcome", Room: true, Teaches: true, Brought: "a hole",
		form: readOpenHole, names: []string{"says", "note", "name", "new_name", "planned", "new_place"}}),
	sort[OwePatch](Sort{Kind: KindOwe, Done: "The patch is recorded.", At: "patches", Brought: "a patch to make",
		form: readOwePatch}),
	sort[FillPatch](Sort{Kind: KindFill, Done: "The patch is filled. Allow a day to dry, or check it sooner.",
		At: "patches/:opening/filled", Brought: "a patch filled",
		form: named(func(o id.Opening) FillPatch { return FillPatch{Opening: o} })}),
	sort[DryPatch](Sort{Kind: KindDry, Done: "The patch is dry.", At: "patches/:opening/dry", Brought: "a patch found dry",
		form: named(func(o id.Opening) DryPatch { return DryPatch{Opening: o} })}),
	sort[UnfillPatch](Sort{Kind: KindUnfill, Done: "The patch is to be filled again.", At: "patches/:opening/not-filled",
		Brought: "a patch not filled after all", form: named(func(o id.Opening) UnfillPatch { return UnfillPatch{o} })}),
	sort[NoteSnag](Sort{Kind: KindSnag, Done: "The snag is saved, and on the list of whoever puts it right.", At: "snags",
		Brought: "a snag", form: readNoteSnag, names: []string{"says", "what", "trade", "who", "person", "who"}}),
	sort[CloseSnag](Sort{Kind: KindSnagDone, Done: "The snag is put right.", At: "snags/:snag/done",
		Brought: "a snag put right",
		form:    named(func(n id.Snag) CloseSnag { return CloseSnag{n} })}),
	sort[Offer](Sort{Kind: KindOffer, Done: "The stage is offered for sign-off. The foreman looks at it next.",
		At:      "sign-offs/:stage/offer",
		Brought: "a stage offered", form: readOffer}),

	sort[GiveSnag](Sort{Kind: KindSnagGiven, Done: "The snag is given again.", May: firm.MayRunJobs, form: readGiveSnag,
		names: []string{"trade", "who", "person", "who"}}),
	sort[ReopenSnag](Sort{Kind: KindSnagAgain, Done: "The snag is open again.", May: firm.MayRunJobs,
		form: readReopenSnag}),
	sort[UnseeTail](Sort{Kind: "unsee-tail"}),
	sort[CorrectOutcome](Sort{Kind: "correct-outcome"}),
	sort[AddDatum](Sort{Kind: KindAddDatum, Done: "The datum is saved.", form: readAddDatum,
		names: []string{"a", "from", "b", "to"}}),
	sort[AddTimbers](Sort{Kind: KindAddTimbers, Done: "The timbers are saved.", form: readAddTimbers,
		names: []string{"timbers[0].name", "name", "timbers[0].width", "width", "timbers[0].depth", "depth",
			"timbers[0].a", "from", "timbers[0].b", "to"}}),
	sort[RemoveTimber](Sort{Kind: KindRemoveTimber, Done: "The timber is removed.",
		form: named(func(t id.Timber) RemoveTimber { return RemoveTimber{t} })}),
	sort[AddWay](Sort{Kind: KindAddWay, Done: "The cable run is saved.", form: readAddWay,
		names: []string{"name", "way_name", "kind", "way_kind", "size", "way_size", "height", "way_height", "a", "way_from",
			"b", "way_to"}}),
	sort[RemoveWay](Sort{Kind: KindRemoveWay, Done: "The cable run is removed.",
		form: named(func(w id.Way) RemoveWay { return RemoveWay{w} })}),
	sort[TakePhoto](Sort{Kind: "photo", Done: "The photo is saved."}),
	sort[StrikePhoto](Sort{Kind: KindStrikePhoto, Done: "The photo is struck out. It stays visible."}),

	sort[SignOff](Sort{Kind: "sign-off", Done: "The stage is signed off. Its record can no longer be changed.",
		May: firm.MayRunJobs}),
	sort[Reopen](Sort{Kind: KindReopen, Done: "The stage is open again.", May: firm.MayRunJobs}),
	sort[Schedule](Sort{Kind: KindSchedule, Done: "Added to the schedule.", May: firm.MayRunJobs, form: readOne,
		names: onPosition}),
	sort[ChangePosition](Sort{Kind: KindChangePosition, Done: "The schedule is saved.", May: firm.MayRunJobs,
		form:  readChangePosition,
		names: onPosition}),
	sort[MoveOff](Sort{Kind: KindMoveOff, Done: "They are moved off the timbers.", May: firm.MayRunJobs,
		form: func(*Sent) (Deed, error) {
			return MoveOff{},
				nil
		}}),
	sort[Hold](Sort{Kind: KindHold, Done: "It is held. It has no hole on the list until it is released.",
		May: firm.MayRunJobs, form: readHold}),
	sort[Release](Sort{Kind: KindRelease, Done: "It is released.", May: firm.MayRunJobs,
		form: named(func(p id.Position) Release { return Release{Position: p} })}),
	sort[Omit](Sort{Kind: KindOmit, Done: "It is left out by the client.", May: firm.MayRunJobs, form: readOmit,
		names: []string{"reason", "omit_reason"}}),
	sort[WantAgain](Sort{Kind: KindWantAgain, Done: "It is back on the schedule.", May: firm.MayRunJobs,
		form: readWantAgain}),
	sort[ChangeRoom](Sort{Kind: "change-room", May: firm.MayRunJobs}),
	sort[AddSurface](Sort{Kind: KindAddSurface, Done: "The surface is saved.", May: firm.MayRunJobs, form: readAddSurface,
		names: []string{"wall", "kind", "datums", "layers"}}),
	sort[RemoveDatum](Sort{Kind: KindRemoveDatum, Done: "The datum is removed.", May: firm.MayRunJobs,
		form: named(func(d id.Datum) RemoveDatum { return RemoveDatum{d} })}),
	sort[StaysBare](Sort{Kind: KindStaysBare, Done: "The datum is saved.", May: firm.MayRunJobs,
		form: readStaysBare}),
	sort[Plan](Sort{Kind: KindPlan, Done: "The build-up is saved.", May: firm.MayRunJobs, form: readPlan,
		names: onPlan}),
)

// sort is the line of a deed. Where it does not say who may do it, the people on
// site may.
func sort[D Deed](of Sort) *Sort {
	if of.May == nil {
		of.May = firm.MayRecord
	}
	of.json, of.of = stored[D], reflect.TypeFor[D]()
	return &of
}

func index(all ...*Sort) (by map[Kind]*Sort, kinds map[reflect.Type]Kind) {
	by, kinds = map[Kind]*Sort{}, map[reflect.Type]Kind{}
	for _, s := range all {
		by[s.Kind], kinds[s.of] = s, s.Kind
	}
	return by, kinds
}

// KindOf returns the kind of a deed; of two that are done in turn, that of the first.
func KindOf(d Deed) Kind {
	if both, ok := d.(inTurn); ok {
		d = both.first
	}
	return kindOf[reflect.TypeOf(d)]
}

// The stages that lines of the diary name.
var boarding, secondFix, decoration = words.Boarding, words.SecondFix, words.Decoration

// FromPhones reports whether phones send deeds of this sort.
func (o *Sort) FromPhones() bool { return o.At != "" }

// Decode reads a deed as it is stored, of every version. The error says what
// cannot be read.
func Decode(k Kind, text json.RawMessage) (Deed, error) {
	of, ok := Kinds[k]
	if !ok {
		return nil, fmt.Errorf("there is no deed of kind %q", k)
	}
	d, err := of.json(text)
	if err != nil {
		return nil, fmt.Errorf("a deed of kind %q cannot be read: %w", k, err)
	}
	return d, nil
}

// Encode writes a deed as it is stored, in today's version.
func Encode(d Deed) (json.RawMessage, error) { return pack(d) }

// stored reads a stored deed of one type.
func stored[D Deed](text json.RawMessage) (Deed, error) { return Unpack[D](text) }
