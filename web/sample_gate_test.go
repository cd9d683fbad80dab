package web

import (
	"lathmark/domain/caution"
	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"time"
)

func gateSamples() []sample {
	at := utilityAt
	g := gates("hwwww", 2, 2)[0]
	hard := []ObstacleRow{
		{Wrong: "D4 has one offset only.", Mend: "Measure it from a second wall.", Act: "Measure D4",
			Href: at.MeasureAt("q4")},
		{Wrong: "S1: it is not recorded how the west wall was when 900 was read.",
			Mend: "Say which state it was in, or measure again.", Act: "Correct the reading", Href: at.MeasureAt("q7")}}
	soft := []ObstacleRow{
		{Code: "not-checked", About: "q3", Wrong: "D3 is not checked: a misread tape would not show.",
			Mend: "Measure it once more from the east wall.", Act: "Measure D3", Href: at.MeasureAt("q3")},
		{Code: "hit", About: "q5", Wrong: "F1 may hit J4: about 1 in 30.", Mend: "Move it 20 towards the east wall.",
			Accepted: true, Reason: "J4 is trimmed here; seen by both of us.", AcceptedBy: "Ruth Aldous",
			AcceptedAt: cannedDate}}
	first := Next{"First fix in the utility cannot be signed off: D4 has one offset only. Measure it from a second wall.",
		"Measure D4", at.MeasureAt("q4")}
	open := GateView{Sheet: sheetFor(foreman, "First fix", at, first), Gate: g, Hard: hard, Soft: soft, MayOffer: true}
	clear := GateView{Sheet: sheetFor(foreman, "First fix", at,
		say("Everything is on record. Look at the plan once more, then sign off.")), Gate: gates("owwww", 0, 0)[0],
		MaySign: true, OfferedBy: "Ola Brandt, electrician", OfferedAt: cannedDate}
	reason := open
	reason.Sheet.Next, reason.Hard, reason.MaySign, reason.MayOffer = say("One obstacle still needs a reason."), nil, true,
		false
	reason.Soft = append([]ObstacleRow(nil), soft...)
	reason.Typed = typed(wrong("", "\"ok\" is no reason", "Write why D3 is good enough as it is")).with(soft[0].Field(),
		"ok")
	signed := GateView{Sheet: sheetFor(foreman, "First fix", at, say("Nothing for you here until the boards are up.")),
		Gate: gates("shwww", 0, 0)[0], SignedBy: "Ruth Aldous, foreman", MayReopen: true,
		Soft: soft[1:], Digest: "9f2c41e07bd1a6650c3e8d5a4b7f90126e3d2c1b0a998877665544332211ffee"}
	waiting := GateView{Sheet: sheetFor(dryLiner, "Plaster", at, say("Nothing for you here until the boards are up.")),
		Gate: gates("hwwww", 0, 0)[2]}
	return []sample{
		canned(GateSheet, "", open), canned(GateSheet, "clear", clear), canned(GateSheet, "reason", reason), canned(GateSheet,
			"signed", signed), canned(GateSheet, "waiting", waiting),
		canned(Reopen, "", ReopenView{Sheet: sheetFor(foreman, "Open first fix again", at,
			say("Write why, or leave it signed.")), Gate: signed.Gate, Undoes: []string{"First fix, signed off by Ruth Aldous, foreman on Tuesday 3 March",
			"Boarding, which is in hand: it waits until the stages before are signed off again"}}),
		canned(Refusal, "", RefusalView{sheetFor(foreman, "Stays open", at, first),
			"First fix in the utility cannot be signed off: D4 has one offset only, and one reading of S1 has no state.", hard,
			at.Gate("first-fix")}),
		canned(AsBuilt, "", asBuilt()), canned(AsBuilt, "empty",
			AsBuiltView{Sheet: sheetFor(dryLiner, "Boards as put on", at, say("Nothing to measure here."))}),
		canned(Finished, "", FinishedView{Sheet: sheetFor(dryLiner, "Plaster finished", at,
			say("Write down the last day of plastering.")), Stage: "plaster", Cautions: []Caution{dryCaution}}),
		canned(Finished, "recorded", FinishedView{Sheet: sheetFor(dryLiner, "Plaster finished", at,
			say("Nothing for you here until it is dry.")), Stage: "plaster", Recorded: dayBefore(5),
			DryFrom: dayBefore(-2),
			Typed: typed(wrong("date", "There is no such day", "Write it as 2026-11-25")).with("date",
				"2026-11-31"), Cautions: []Caution{dryCaution}}),
		canned(Tails, "", tailsView(true)), canned(Tails, "seen", tailsView(false)), canned(Tails, "empty",
			TailsView{Sheet: sheetFor(dryLiner, "Tails", at, say("Nothing to see here yet."))}),
	}
}

var dryCaution = cautious(caution.Plaster(3, dayBefore(5)).Caution)[0]

func asBuilt() AsBuiltView {
	boards := func(n byte) room.Layer {
		return room.Layer{ID: numbered[id.Layer](n), Name: "dabs and board", Thickness: 25}
	}
	west := LayerAsked{Layer: boards(3)}
	return AsBuiltView{Sheet: sheetFor(dryLiner, "Boards as put on", utilityAt,
		say("2 faces have no boards on record. Measure the south wall first.")), Stage: "boarding",
		Typed: typed(wrong(west.Field(), "250 is ten times what was planned", "Look at the rule again")).with(west.Field(),
			"250", "by", "laser"),
		Faces: []FaceBuilt{
			{"south wall", "ceiling", []LayerAsked{{Layer: boards(1), Recorded: 27.6, PlusMinus: 3}}},
			{"west wall", "ceiling", []LayerAsked{west}}},
		Same: []SameAsked{{Name: "dabs and board", On: boards(3).ID.String() + " " + boards(4).ID.String(), N: 2,
			Field: deed.SameField(0), Of: deed.SameOn(0)}},
		Spans: []Option{{"d1|d7", "south wall and north wall"}}, States: []Option{{"board", "boarded"}},
		Instruments: instruments}
}

func tailsView(may bool) TailsView {
	p := dryLiner
	if !may {
		p = electrician
	}
	v := TailsView{Sheet: sheetFor(p, "Tails", utilityAt,
		say("2 tails are not seen yet. Look at D1 and D4 before the board goes up.")), MayDo: may,
		Photo: PhotoPart{Title: "Photos of the open surfaces",
			Empty: "None yet. A photo before the boards go up settles what the tape cannot."}}
	if may {
		v.Unseen = numbered[id.Position](1).String() + " " + numbered[id.Position](4).String()
		v.Photo.Field = photoField("", "", Option{"surface/s1", "Ceiling"})
	} else {
		v.Photo.Rows = photoRows()[:2]
	}
	for i, r := range utilityRows()[:4] {
		t := TailRow{Position: room.Position{ID: numbered[id.Position](byte(i + 1)), Name: r.Name, Kind: r.Kind},
			On: "Ceiling"}
		if i == 1 || i == 2 {
			t.Seen = &room.TailSeen{By: numbered[id.Member](3), At: cannedDate.Add(-3 * time.Hour)}
		}
		v.Tails = append(v.Tails, t)
	}
	return v
}
