package web

import (
	"slices"

	"lathmark/domain/caution"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/web/drawing"
)

func utilityRows() []PositionRow {
	return []PositionRow{
		{ID: "q1", Name: "D1", OnPlan: true, Kind: "downlight", CutOut: 76, Record: "measured and checked", PlusMinus: 6},
		{ID: "q2", Name: "D2", OnPlan: true, Kind: "downlight", CutOut: 76, Record: "measured and checked", PlusMinus: 6},
		{ID: "q3", Name: "D3", OnPlan: true, Kind: "downlight", CutOut: 76,
			Record: "measured, not checked: one reading from the west wall only", Owed: true, PlusMinus: 13},
		{ID: "q4", Name: "D4", OnPlan: true, Kind: "downlight", CutOut: 76, Record: "one offset only", Owed: true},
		{ID: "q5", Name: "F1", OnPlan: true, Kind: "fan", CutOut: 105, Record: "measured and checked", PlusMinus: 9,
			State: "held", Reason: "the client has not chosen the fan"},
		{ID: "q6", Name: "P1", OnPlan: true, Kind: "pipe", CutOut: 40, Record: "no record", Owed: true},
		{ID: "q7", Name: "S1", Kind: "sensor", CutOut: 60, Record: "the state of the west wall is not recorded", Owed: true},
	}
}

func cannedTimber(t roomsheet.Timber) room.Timber {
	return room.Timber{ID: cannedID[id.Timber](1), Name: t.ID, A: t.Line[0], B: t.Line[1], Width: t.Width}
}

// utilityPlanning is the plan beside the forms of the schedule, with a grid of one that is coming.
func utilityPlanning() PlanningView {
	plan := cannedPlan("bare", drawing.Planning)
	plan.Leads = func(string, string) drawing.Lead { return drawing.Lead{} }
	plan.Surface.Positions = append(plan.Surface.Positions, roomsheet.Position{ID: "new 1", Kind: "downlight"})
	plan.Planned = map[string]roomsheet.Point{"new 1": {1200, 900}}
	plan.Coming = map[string]bool{"new 1": true}
	return PlanningView{Surface: "s1", Plan: plan.SVG(), Timbers: 4}
}

func utilitySurface() SurfaceView {
	plan := cannedPlan("bare", drawing.Record)
	s := SurfaceView{ID: "ceiling", Name: "Ceiling", Plan: plan.SVG(), Unplaced: plan.Unplaced(), Positions: utilityRows()}
	planned := []LayerRow{{Name: "dabs and board", Stage: "boarding", Planned: 25},
		{Name: "skim", Stage: "plaster", Planned: 3}}
	for _, d := range plan.Surface.Datums {
		row := DatumRow{ID: d.ID, Key: d.ID, Name: datumNames[d.ID], Kind: "face", Now: "bare", Layers: planned}
		switch d.Kind {
		case "line":
			row.Kind, row.Now = "fixed line", ""
		case "point":
			row.Kind, row.Now = "fixed point", ""
		}
		s.Datums = append(s.Datums, row)
	}
	s.Datums[0].Layers = []LayerRow{{Name: "dabs and board", Stage: "boarding", Planned: 25, Built: 27.6,
		BuiltPlusMinus: 3, On: true}, planned[1]}
	s.Datums[1].StaysBare = true
	for _, t := range plan.Surface.Timbers {
		s.Timbers = append(s.Timbers, cannedTimber(t))
	}
	for _, m := range plan.Surface.Measurements {
		row := MeasurementRow{ID: m.ID, What: m.Of + " from " + datumNames[m.From], State: "bare", Value: m.Value, By: "tape",
			Who: "Ola Brandt", When: daysBefore(1)}
		if m.Kind == "distance" {
			row.What, row.State = m.Of+" to "+m.To, ""
		}
		if m.Of == "S1" {
			row.State, row.Doubt = "state not recorded", "Not counted until you say whether the wall was bare, boarded or skimmed."
		}
		at := slices.IndexFunc(s.Positions, func(p PositionRow) bool { return p.Name == m.Of })
		if at < 0 {
			s.Others = append(s.Others, row)
			continue
		}
		s.Positions[at].Readings = append(s.Positions[at].Readings, row)
	}
	s.Positions[0].Readings[1].Struck = "The tape had slipped off the flange."
	return s
}

func roomSamples() []sample {
	next := Next{Sentence: "3 tails have no full record. Measure D4 next, from the west wall.", Action: "Measure D4",
		Href: utilityAt.MeasureAt("q4")}
	drawn := RoomView{Sheet: sheetFor(foreman, "Plan and schedules", utilityAt, next), Line: roomLine(utilityAt, "Utility",
		"hwwww", 3, 1, ""),
		Surfaces: []SurfaceView{utilitySurface()}, MayEdit: true, MayMeasure: true,
		Cautions: cautious(caution.JoistCable, caution.Unsaid)}
	fresh := RoomView{Sheet: sheetFor(foreman, "Plan and schedules", utilityAt,
		Next{Sentence: "The utility has no walls yet. Add the first datum.", Action: "Add a datum",
			Href: utilityAt.NewDatum("ceiling")}),
		Line: roomLine(utilityAt, "Utility", "hwwww", 0, 0, ""), Surfaces: []SurfaceView{{ID: "ceiling", Name: "Ceiling"}},
		MayEdit: true, MayMeasure: true}
	signed := drawn
	signed.Sheet = sheetFor(electrician, "Plan and schedules", utilityAt,
		Next{Sentence: "Nothing for you here until the boards are up."})
	signed.Line = roomLine(utilityAt, "Utility", "shwww", 0, 0, "")
	signed.MayEdit, signed.MayMeasure = false, false
	signed.Frozen = "First fix is signed off and frozen. To change it, the foreman reopens it."
	empty := fresh
	empty.Surfaces = nil
	loft := drawn
	loft.Walls = []WallChoice{{Name: "west wall", Href: utilityAt.BuildUp("west"), May: true, Ways: []WallWay{
		{Layers: "board 12.5 boarding\nskim 3 plaster", Where: []string{"west wall on the ceiling"}},
		{Bare: true, Where: []string{"left side on the north wall"}}, {Where: []string{"the west wall"}}}}}
	loft.Surfaces = []SurfaceView{{ID: "loft", Name: "Loft ceiling", Plan: loftCeiling().SVG(),
		Positions: []PositionRow{{ID: "a", Name: "P1", OnPlan: true, Kind: "pendant", Record: "measured, not checked",
			Owed: true, PlusMinus: 17},
			{ID: "b", Name: "W1", OnPlan: true, Kind: "waste", CutOut: 110, Record: "one reading has no state", Owed: true},
			{ID: "c", Name: "S1", OnPlan: true, Kind: "socket", CutOut: 68, Record: "measured and checked", PlusMinus: 5}}}}
	for _, d := range loftCeiling().Surface.Datums {
		loft.Surfaces[0].Datums = append(loft.Surfaces[0].Datums, DatumRow{ID: d.ID, Key: d.ID, Name: d.ID, Kind: "face",
			Now: "tiled", Layers: standards()[0].Layers})
	}
	for _, t := range loftCeiling().Surface.Timbers {
		loft.Surfaces[0].Timbers = append(loft.Surfaces[0].Timbers, cannedTimber(t))
	}
	for _, v := range []*RoomView{&drawn, &fresh, &signed, &loft} {
		v.Fold()
	}
	return []sample{
		canned(Room, "slanted", loft), canned(Room, "", drawn), canned(Room, "no-walls", fresh), canned(Room, "signed",
			signed), canned(Room, "no-surface", empty),
	}
}
