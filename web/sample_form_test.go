package web

import (
	"lathmark/domain/caution"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/verdict"
	"lathmark/domain/words"
	"lathmark/web/drawing"
)

func opts(labels ...string) []Option {
	var o []Option
	for _, l := range labels {
		o = append(o, Option{l, l})
	}
	return o
}

var (
	kindsOfPosition = opts("downlight", "pendant", "fan", "switch drop", "socket", "sensor", "pipe tail", "waste")
	instruments     = opts("tape", "laser", "rule")
	surfaceOptions  = []Option{{"s1", "Ceiling"}, {"s2", "West wall"}}
)

// formSamples returns the forms of a room's outline, datums, timbers and
// schedule.
func formSamples() []sample {
	at := utilityAt
	sheet := func(title, next string) Sheet { return sheetFor(foreman, title, at, say(next)) }
	return []sample{
		canned(Surface, "", SurfaceFormView{Sheet: sheet("A new surface", "Draw the ceiling first: most holes are there."),
			Kinds: opts("ceiling", "slope", "wall", "floor"), BuildUps: opts("Ceiling, board, skim")}),
		canned(Surface, "faults", SurfaceFormView{sheet("Ceiling", "Mend the layers, then keep the changes."),
			typed(wrong("layers", "Line 1 has no stage", "Write boarding or plaster after the thickness")).with(
				"name", "Ceiling", "kind", "ceiling", "outline", "0 0\n3600 0\n3600 2400\n0 2400", "layers", "board 12.5"), "s1",
			opts("ceiling", "slope", "wall", "floor"), opts("Ceiling, board, skim")}),
		canned(Datum, "", DatumFormView{Sheet: sheet("A new datum", "Add the steel: no layer covers it."), SurfaceID: "s1",
			SurfaceName: "Ceiling", Typed: begins("kind", "face"), Kinds: datumKinds()}),
		canned(Datum, "faults", DatumFormView{sheet("Soil stack", "Say where it stands."),
			typed(wrong("point", "The soil stack has no place", "Measure it along and up the sheet")).with(
				"name", "soil stack", "kind", "point", "sigma", "2"), "s1", "Ceiling", "d9", true, datumKinds()}),
		canned(BuildUp, "", BuildUpFormView{Sheet: sheet("Build-up", "Say what will go on the south wall."), DatumID: "d1",
			DatumName: "south wall", Typed: begins("standard", "Brick, dabs, board, skim"), Others: "east wall, north wall",
			Standards: opts("Brick, dabs, board, skim", "Ceiling, board, skim")}),
		canned(BuildUp, "faults", BuildUpFormView{Sheet: sheet("Build-up", "Mend line 2."),
			Typed: typed(wrong("layers", "Line 2: \"thin\" is no thickness", "Write it in mm: skim 3 plaster")).with(
				"layers", "board 25 boarding\nskim thin plaster"), DatumID: "d1", DatumName: "south wall",
			Standards: opts("Brick, dabs, board, skim")}),
		canned(Timber, "", TimberFormView{Sheet: sheet("Timbers", "Record the joists while you can see them."),
			SurfaceID: "s1", SurfaceName: "ceiling", Timbers: utilitySurface().Timbers[:2], Datums: opts("south wall",
				"west wall"), Typed: begins("shape", "spaced", "name", "J3", "width", "47", "way_kind", "")}),
		canned(Timber, "faults", TimberFormView{Sheet: sheet("Timbers", "Say how far apart they are."),
			Typed: typed(wrong("spacing", "The spacing is missing", "Measure centre to centre")).with("shape", "spaced",
				"face", "west wall", "first", "450", "name", "J1", "width", "47"), SurfaceID: "s1",
			SurfaceName: "ceiling", Datums: opts("south wall", "west wall")}),
		canned(Timber, "ways", TimberFormView{Sheet: sheet("Timbers", "Record the joists while you can see them."),
			SurfaceID: "s1", SurfaceName: "ceiling", Timbers: utilitySurface().Timbers[:2], Datums: opts("south wall",
				"west wall"), Typed: begins("shape", "spaced", "name", "J3", "way_kind", "hole"), Cables: cannedWays()}),
		canned(Timber, "way-faults", TimberFormView{Sheet: sheet("Timbers", "Give both ends of the way."),
			Typed: typed(wrong("way_from", "The way has not both its ends", "Give both in mm: 900 0"),
				wrong("way_size", "\"twenty\" was read as letters without a figure", "Type millimetres, such as 1200, or metres, such as 1.2 m")).with("shape", "spaced", "name", "J1",
				"way_name", "to D4", "way_kind", "notch", "way_from", "900 0", "way_size", "twenty"), SurfaceID: "s1",
			SurfaceName: "ceiling", Datums: opts("south wall", "west wall")}),
		canned(Schedule, "", ScheduleView{Sheet: sheet("Schedule",
			"D6 would land on J3. Move it off before the cable is run."), Rows: utilityRows(), Surfaces: surfaceOptions,
			Kinds:    kindsOfPosition,
			Near:     []NearTimber{{"D6", "J3", -12, "38 towards the east wall"}, {"D9", "J5", 6, "20 towards the west wall"}},
			MayEdit:  true,
			Plans:    []PlanningView{utilityPlanning()},
			Cautions: cautious(caution.Zoned{Zone: caution.Zone1}.Cautions("D4", 2200, false)...)}),
		canned(Schedule, "empty", ScheduleView{Sheet: sheet("Schedule", "List what the room is to have."),
			Typed: typed(wrong("lines", "Line 2 has no name", "Begin each line with a name: D2 downlight 76")).with(
				"lines_surface", "s1", "lines", "D1 downlight 76\ndownlight 76"),
			Surfaces: surfaceOptions, Kinds: kindsOfPosition,
			MayEdit: true}),
		canned(Schedule, "copy", ScheduleView{Sheet: sheet("Schedule", "List what the room is to have."),
			Surfaces: surfaceOptions, Kinds: kindsOfPosition, MayEdit: true, Copies: true,
			Others: []Option{{Value: "r1", Label: "Hall"}, {Value: "r2", Label: "Hall, 3 Mill Row"}}}),
		canned(Schedule, "closed", ScheduleView{Sheet: sheetFor(electrician, "Schedule", at,
			say("Nothing for you here until the boards are up.")), Rows: utilityRows()}),
		canned(Position, "", PositionFormView{Sheet: sheet("Position D4",
			"Change what the drawing says, before it is measured."), PositionID: "q4", Typed: begins("name", "D4",
			"kind", "downlight", "surface", "s1", "cut_out", "76", "place", "750 1790", "reach", "80"),
			Kinds: kindsOfPosition, Surfaces: surfaceOptions}),
		canned(Hold, "", HoldView{Sheet: sheet("Hold F1", "Hold it, or leave it as it is."), PositionID: "q5",
			PositionName: "F1", Kind: "fan"}),
		canned(Hold, "omitted", HoldView{Sheet: sheet("F1 is left out", "Nothing is owed for F1."), PositionID: "q5",
			PositionName: "F1", Kind: "fan", OmittedReason: "J. Sorrel by letter, 20 Nov: no fan in the utility."}),
		canned(Hold, "held", HoldView{Sheet: sheet("F1 is held", "Release F1 when the fan is chosen."), PositionID: "q5",
			PositionName: "F1", Kind: "fan", Held: true,
			HeldReason: "the client has not chosen the fan",
			Typed:      typed(wrong("omit_reason", "Nothing is written", "Write what the client said, and when"))}),
	}
}

func datumKinds() []Option {
	return []Option{{"face", "A face: layers may cover it"}, {"line", "A fixed line: a steel, a laser line"},
		{"point", "A fixed point: a stack, a pin"}}
}

// measureSamples returns the form for a measurement before and after one.
func measureSamples() []sample {
	at := utilityAt
	states := []Option{{"bare", "bare"}, {"board", "boarded"}}
	sides := []Option{{"+", "towards the north wall"}, {"-", "towards the south wall"}}
	datums := []DatumChoice{{Value: "d1", Label: "south wall", States: states, Likely: "bare"},
		{Value: "d8", Label: "west wall", States: states, Likely: "bare"},
		{Value: "d9", Label: "stack", Fixed: true}, {Value: "d10", Label: "steel", States: sides}}
	kinds := []Option{{"offset", "An offset"}, {"span", "A span"}, {"distance", "Between two tails"}}
	positions := []Option{{"q4", "D4, downlight"}, {"q6", "P1, pipe"}, {"q7", "S1, sensor"}}
	owed := []OwedReading{{[]Option{{"q4", "D4"}, {"q5", "D5"}}, "One offset only. Measure it from a second wall.", ""},
		{[]Option{{"q6", "P1"}}, "No record. Measure it from two walls.", ""}}
	plan := cannedPlan("bare", drawing.Record)
	plan.Leads = func(kind, id string) drawing.Lead {
		return map[string]drawing.Lead{"position": {Href: at.MeasureAt("q" + id[1:]), Field: "position", Value: "q" + id[1:]},
			"datum": {Href: "#f-datum", Field: "datum",
				Value: map[string]string{"south": "d1", "west": "d8", "stack": "d9", "flange": "d10"}[id]}}[kind]
	}
	view := MeasureView{Sheet: sheetFor(electrician, "Measure", at, say("Measure D4 from the west wall.")),
		Form:      MeasureForm{Kind: "offset", Position: "q4", Datum: "d8", State: "bare", By: "tape"},
		Steps:     [][]any{{"q4", "d8|bare", 0}, {"q6", "d1|bare", 0}},
		Positions: positions, Owing: []Option{{"q4", "D4"}, {"q6", "P1"}, {"q7", "S1"}}, Settled: []Option{{"q1", "D1"},
			{"q2", "D2"}}, Elsewhere: []*room.Position{{ID: numbered[id.Position](8), Name: "W1"}}, Datums: datums, Kinds: kinds,
		Instruments: instruments,
		Plan:        plan.SVG(), Owed: owed}
	placed := view
	placed.Sheet.Next = say("D4 has a place. Measure it once more from the steel, so that a misread tape would show.")
	placed.Last = &verdict.Verdict{Position: "D4", Reading: "748 from west wall, bare, by tape.", Placed: true,
		From:      []verdict.Mark{{Value: 748, Says: "from west wall, bare"}, {Value: 1795, Says: "from south wall, bare"}},
		PlusMinus: 6, Owed: "a second reading in each direction."}
	half := view
	half.Last = &verdict.Verdict{Position: "P1", Reading: "3300 from west wall, bare, by tape.",
		Owed:  "an offset from a second wall, one that crosses the first.",
		Doubt: "Not counted until you say whether the wall was bare, boarded or skimmed."}
	asked := placed
	asked.LastID = "m12"
	asked.Last = &verdict.Verdict{Position: "D4", Reading: "900 from west wall, board, by tape.", Placed: true,
		From:      []verdict.Mark{{Value: 818, Says: "from west wall, bare"}, {Value: 1795, Says: "from south wall, bare"}},
		PlusMinus: 6, Checked: true, Check: words.Checked(14),
		Question: "900 from the west wall would be 212 mm from where the other two put it; the state could be bare " +
			"instead of boarded."}
	faulty := view
	faulty.Typed = typed(wrong("datum", "The reading has no datum", "Say what you measured from and how the wall was"),
		wrong("value", "\"6oo\" was read as 6 and letters", "Type 600 or 0.6 m"))
	faulty.Form.Value, faulty.Form.Datum, faulty.Form.State = "6oo", "d8", "board"
	done := view
	done.Owed, done.Plan, done.Settled, done.Owing = nil, "", append(done.Owing, done.Settled...), nil
	done.Form.Datum, done.Form.State = "d8", "bare"
	done.Last = &verdict.Verdict{Position: "D4", Reading: "1795 from south wall, bare, by laser.", Placed: true,
		From:      []verdict.Mark{{Value: 748, Says: "from west wall, bare"}, {Value: 1795, Says: "from south wall, bare"}},
		PlusMinus: 5, Checked: true, Check: words.Checked(14)}
	row := utilitySurface().Positions[6].Readings[0]
	reading := ReadingView{Sheet: sheetFor(electrician, "Correct a reading", at,
		say("Say how the west wall was when 900 was read.")), ReadingID: "m12", Row: row,
		Form: MeasureForm{Kind: "offset", Datum: "d8", Value: "900", By: "tape"}, Datums: datums, Instruments: instruments}
	span := reading
	span.Form.Kind, span.Form.To, span.SurfaceStates = "span", "d1", states
	span.Typed = typed(wrong("reason", "Nothing is written", "Say why it does not count"),
		wrong("to", "A span needs a second face", "Choose it"))
	leaning := view
	leaning.SurfaceStates, leaning.Form.SurfaceState = states, "bare"
	again := view
	again.Typed = typed(wrong("again", "It was measured before, and that is on record",
		"Replace it, or keep both as a check"))
	again.Form.Value, again.Form.Datum, again.Form.State, again.Asks = "1611", "d1", "bare", true
	again.OnRecord = []OnRecord{{Key: "offset q4 d1|bare ", Shown: "m3.1", Value: 611, Here: true,
		Limits: []Limit{{"tape", 8.6}, {"laser", 7.1}}, Says: "611 was recorded by Ola Brandt on Tuesday 3 March"},
		{Key: "offset q4 d8|bare ", Shown: "m4.1", Value: 748, Limits: []Limit{{"tape", 8.6}, {"laser", 7.1}}, Frozen: true,
			Says: "748 was recorded by Ola Brandt on Tuesday 3 March"}}
	again.Differs = "; {value} differs by {mm}. One of them is wrong: replace it, or measure a third time."
	again.Apart = "611 was recorded by Ola Brandt on Tuesday 3 March; 1611 differs by 1000. One of them is wrong: replace " +
		"it, or measure a third time."
	again.Again = []Option{{"replace", "Replace what is on record"}, {"both", "Keep both as a check"}}
	return []sample{canned(Reading, "", reading), canned(Measure, "again", again), canned(Reading, "span", span),
		canned(Measure, "leaning", leaning),
		canned(Measure, "", view), canned(Measure, "placed", placed), canned(Measure, "half", half), canned(Measure, "asked",
			asked), canned(Measure, "faults", faulty), canned(Measure, "done", done)}
}

// cannedWays returns a way inside the limits, one outside them, one through a
// joist whose depth nobody recorded and one that crosses nothing.
func cannedWays() WaysView {
	bs, nhbc := caution.BS5268.Source.String(), caution.NHBC.Source.String()
	middle := func(of caution.JoistRule) Caution {
		return cautious(of.Judge(caution.Joist{Depth: 195, Span: 3600}, []caution.Cut{{At: 1800, Size: 20}})...)[0]
	}
	return WaysView{
		Limits: []LimitRow{{"J1, J2", "195 deep, 3600 long", bs, "48", "900 to 1440, on the centre line", "24", "252 to 900"},
			{"J1, J2", "195 deep, 3600 long", nhbc, "48", "900 to 1440, on the centre line", "29", "360 to 720"}},
		Rows: []WayRow{
			{"w1", "to D1", "from 1200, 0 to 1200, 2000", "hole of 20, its centre 97 above the bottom",
				[]CrossingRow{{"J1, J2", "1200 from the nearer end, 33 % of its length on the drawing",
					"Inside all the limits above.", nil}}, nil},
			{"w2", "to D2", "from 1800, 0 to 1800, 2000", "hole of 20, how high is not noted", []CrossingRow{
				{"J1", "1800 from the nearer end, 50 % of its length on the drawing", "Judged as drilled on the centre line.",
					[]Caution{middle(caution.BS5268), middle(caution.NHBC)}},
				{"J3", "1800 from the nearer end, 50 % of its length on the drawing",
					"How deep the joist is, nobody recorded. Measure it, take the joist off above and add it again with its depth.",
					nil}}, nil},
			{"w3", "to the fan", "from 300, 300 to 300, 350", "notch 15 deep", nil, cautious(caution.NearEdge)}},
		Cautions: cautious(caution.Webbed),
	}
}
