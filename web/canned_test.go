package web

import (
	"lathmark/domain/firm"
	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
	"lathmark/web/drawing"
	"time"
)

// The canned firm: invented people, an invented firm, invented sites.

var cannedDate = time.Date(2026, 11, 25, 14, 5, 0, 0, time.UTC)

// dayBefore is daysBefore as a day.
func dayBefore(n int) time.Time { return words.UTC.Day(daysBefore(n)) }

func daysBefore(n int) time.Time { return cannedDate.AddDate(0, 0, -n) }

var (
	foreman     = Person{ID: "p1", Name: "Ruth Aldous", Initials: "RA", Trade: "foreman", Foreman: true}
	electrician = Person{ID: "p2", Name: "Ola Brandt", Initials: "OB", Trade: "electrician"}
	dryLiner    = Person{ID: "p3", Name: "Ines Quill", Initials: "IQ", Trade: "dry liner"}
)

var (
	utilityAt = Place{Job: "job-1", Room: "room-1"}
	bathAt    = Place{Job: "job-1", Room: "room-2"}
)

// numbered is an id that tests know.
func numbered[T ~[16]byte](n byte) T { return T{5: n, 6: 0x70, 8: 0x80} }

var names = map[id.Member]firm.Person{numbered[id.Member](1): {Name: "Ruth Aldous"},
	numbered[id.Member](2): {Name: "Ola Brandt"}, numbered[id.Member](3): {Name: "Ines Quill"}}

func sheetFor(p Person, title string, at Place, next Next) Sheet {
	s := Sheet{At: at, Person: p, Token: "tok", Title: title, Firm: "Aldous & Daughters", Date: cannedDate, Next: next,
		Names: names}
	if p.ID != "" {
		s.FirmID = "f1"
	}
	if at.Job != "" {
		s.Seq = 41
		s.Job = "14 Quarry Lane"
	}
	if at.Room != "" {
		s.Room, s.Turn = "Utility", "Ola Brandt, electrician"
	}
	return s
}

// acrossJobs returns a sheet about both jobs.
func acrossJobs(s Sheet) Sheet {
	s.Seqs = map[string]int64{"job-1": 41, "job-2": 7}
	return s
}

func gates(states string, hard, soft int) [5]Gate {
	var g [5]Gate
	for i, stage := range Stages {
		g[i] = Gate{Stage: stage, Slug: map[string]string{"first fix": "first-fix", "second fix": "second-fix"}[stage],
			State: Waiting}
		if g[i].Slug == "" {
			g[i].Slug = stage
		}
		switch states[i] {
		case 's':
			g[i].State, g[i].Initials, g[i].Date = SignedOff, "RA", daysBefore(30-6*i)
		case 'o':
			g[i].State = Offered
		case 'h':
			g[i].State = InHand
		}
		if g[i].State == InHand || g[i].State == Offered {
			g[i].Hard, g[i].Soft = hard, soft
		}
	}
	return g
}

func roomLine(at Place, name, states string, hard, soft int, next string) RoomLine {
	now := -1
	for i, c := range states {
		if c == 'h' || c == 'o' {
			now = i
		}
	}
	return RoomLine{At: at, Name: name, Gates: gates(states, hard, soft), Now: now, Next: next}
}

func quarryLane() JobTable {
	return JobTable{At: Place{Job: "job-1"}, Name: "14 Quarry Lane", Address: "Nether Holm", Rooms: []RoomLine{
		roomLine(Place{Job: "job-1", Room: "room-3"}, "Hall", "sssss", 0, 0, ""),
		roomLine(utilityAt, "Utility", "hwwww", 3, 1, "Ola Brandt: measure D4."),
		roomLine(bathAt, "Bathroom", "ssshw", 1, 0, "Ola Brandt: open D2 first."),
		roomLine(Place{Job: "job-1", Room: "room-4"}, "Kitchen", "sowww", 0, 2, "Ruth Aldous: sign off boarding."),
		roomLine(Place{Job: "job-1", Room: "room-5"}, "Back bedroom under the slope", "sshww", 2, 0,
			"Pell Castor: write down the day the skim was finished."),
	}}
}

func millLoft() JobTable {
	return JobTable{At: Place{Job: "job-2"}, Name: "Mill Loft", Address: "Weir Street", Rooms: []RoomLine{
		roomLine(Place{Job: "job-2", Room: "room-6"}, "Landing", "ssssh", 1, 0,
			"Ruth Aldous: one patch is not dry before Sat 28 Nov."),
		roomLine(Place{Job: "job-2", Room: "room-7"}, "Studio", "hwwww", 0, 0, "Ola Brandt: offer first fix."),
	}}
}

// utilityCeiling returns a room of 3,600 by 2,400 with a chimney breast on its
// north side, four joists, a steel and a stack.
func utilityCeiling(now string) roomsheet.Surface {
	layers := func() []roomsheet.Layer {
		return []roomsheet.Layer{{ID: "board", Thickness: 25, Sigma: 5, Stage: "boarding"},
			{ID: "skim", Thickness: 3, Sigma: 1, Stage: "plaster"}}
	}
	face := func(id string, au, av, bu, bv float64) roomsheet.Datum {
		return roomsheet.Datum{ID: id, Kind: "face", Line: &roomsheet.Line{{au, av}, {bu, bv}}, Layers: layers(), Now: now}
	}
	s := roomsheet.Surface{ID: "ceiling", Kind: "ceiling", Datums: []roomsheet.Datum{
		face("south", 0, 0, 3600, 0), face("east", 3600, 0, 3600, 2400), face("north-e", 3600, 2400, 2500, 2400),
		face("breast-e", 2500, 2400, 2500, 2050), face("breast", 2500, 2050, 1300, 2050), face("breast-w", 1300, 2050, 1300,
			2400),
		face("north-w", 1300, 2400, 0, 2400), face("west", 0, 2400, 0, 0),
		{ID: "flange", Kind: "line", Line: &roomsheet.Line{{0, 1500}, {3600, 1500}}},
		{ID: "stack", Kind: "point", Point: &roomsheet.Point{3300, 2100}},
	}}
	s.Datums[7].Layers = append(s.Datums[7].Layers, roomsheet.Layer{ID: "tile", Thickness: 12, Sigma: 2,
		Stage: "decoration"})
	for i, u := range []float64{450, 1050, 1650, 2250, 2850} {
		end := 2400.0
		if u > 1300 && u < 2500 {
			end = 2050 // stopped by the chimney breast
		}
		s.Timbers = append(s.Timbers, roomsheet.Timber{ID: "J" + string(rune('1'+i)), Line: roomsheet.Line{{u, 0}, {u, end}},
			Width: 47})
	}
	s.Positions = append(s.Positions, []roomsheet.Position{
		{ID: "D1", Kind: "downlight", Cutout: 76}, {ID: "D2", Kind: "downlight", Cutout: 76}, {ID: "D3", Kind: "downlight",
			Cutout: 76},
		{ID: "D4", Kind: "downlight", Cutout: 76}, {ID: "F1", Kind: "fan", Cutout: 105}, {ID: "P1", Kind: "pipe", Cutout: 40},
		{ID: "S1", Kind: "sensor", Cutout: 60},
	}...)
	m := func(of, from, state string, value float64) {
		s.Measurements = append(s.Measurements, roomsheet.Measurement{ID: "m" + of + from, Kind: "offset", Of: of, From: from,
			State: state, Value: value})
	}
	m("D1", "south", "bare", 628)
	m("D1", "west", "bare", 750)
	m("D1", "flange", "", -872)
	m("D2", "south", "bare", 630)
	m("D2", "west", "bare", 1952)
	m("D3", "south", "bare", 627)
	m("D3", "west", "bare", 3152)
	m("D4", "south", "bare", 1795)
	m("F1", "south", "bare", 1780)
	m("F1", "stack", "", 700)
	m("F1", "west", "bare", 2680)
	m("S1", "west", "", 900)
	s.Measurements = append(s.Measurements, roomsheet.Measurement{ID: "m9", Kind: "distance", Of: "D1", To: "D2",
		Value: 1202})
	return s
}

var datumNames = map[string]string{"south": "south wall", "east": "east wall", "west": "west wall",
	"north-e": "north wall, right",
	"north-w": "north wall, left", "breast": "chimney breast", "breast-e": "breast, right side",
	"breast-w": "breast, left side",
	"flange":   "steel", "stack": "soil stack"}

// cannedAnswer returns an answer made by hand: the pages' tests need numbers,
// not geometry.
func cannedAnswer() *geometry.Answer {
	at := func(u, v float64, c geometry.Cov) geometry.PositionAnswer {
		return geometry.PositionAnswer{Determinate: true, Checked: true, At: geometry.Vec{U: u, V: v}, Cov: c}
	}
	c := geometry.Cov{UU: 30, VV: 9}
	a := &geometry.Answer{Positions: []geometry.PositionAnswer{
		at(750, 628, c), at(1952, 630, c), at(3152, 627, c), {}, at(2680, 1780, geometry.Cov{UU: 40, UV: 18, VV: 16}), {}, {},
	}, First: 1}
	for i := range a.Positions {
		p := &a.Positions[i]
		if !p.Determinate {
			continue
		}
		p.Mark = &geometry.Mark{From: [2]int{0, 7}, Cov: p.Cov, Ellipse: drawing.Ellipse95(p.Cov)}
		p.Plan = geometry.Plan{Offsets: [2]float64{p.At.V - 28, p.At.U - 28}, Find: 0.99, Clears: true}
	}
	a.Positions[4].Plan.Move = geometry.Vec{U: 42}
	a.Positions[4].Plan.Offsets[1] += 42
	a.Lines = []geometry.SetOutLine{{Datum: 0, Offset: 600, Positions: []int{0, 1, 2}, Clears: true}}
	return a
}

func cannedPlan(now string, mode drawing.Mode) drawing.Plan {
	return drawing.Plan{Surface: utilityCeiling(now), Answer: cannedAnswer(), Mode: mode, Names: datumNames,
		Planned: map[string]roomsheet.Point{"D4": {750, 1790}, "P1": {3300, 1790}}, Words: map[string]string{"F1": "held"}}
}

// loftCeiling returns a room with a slanted corner, seen from its long wall, whose
// first wall does not lie along u.
func loftCeiling() drawing.Plan {
	corners := []roomsheet.Point{{0, 0}, {0, -4200}, {2600, -4200}, {3400, -3000}, {3400, 0}}
	names := []string{"gable", "north wall", "splay", "east wall", "stair wall"}
	s := roomsheet.Surface{ID: "loft", Kind: "ceiling"}
	for i, name := range names {
		s.Datums = append(s.Datums, roomsheet.Datum{ID: name, Kind: "face", Now: "tile",
			Line: &roomsheet.Line{corners[i], corners[(i+1)%5]},
			Layers: []roomsheet.Layer{{ID: "board", Thickness: 12.5, Stage: "boarding"},
				{ID: "skim", Thickness: 3, Stage: "plaster"}, {ID: "tile", Thickness: 12, Stage: "decoration"}}})
	}
	s.Timbers = []roomsheet.Timber{{ID: "R1", Line: roomsheet.Line{{0, -1400}, {3400, -1400}}, Width: 60},
		{ID: "R2", Line: roomsheet.Line{{0, -2800}, {3400, -2800}}, Width: 60}}
	s.Positions = []roomsheet.Position{{ID: "P1", Kind: "pendant"}, {ID: "W1", Kind: "waste", Cutout: 110},
		{ID: "S1", Kind: "socket", Cutout: 68}}
	s.Measurements = []roomsheet.Measurement{
		{ID: "1", Kind: "offset", Of: "P1", From: "gable", State: "board", Value: 1690}, {ID: "2", Kind: "offset", Of: "P1",
			From: "stair wall", State: "bare", Value: 2000},
		{ID: "3", Kind: "offset", Of: "W1", From: "splay", State: "skim", Value: 620}, {ID: "4", Kind: "offset", Of: "W1",
			From: "gable", Value: 2300}}
	p := func(u, v float64) geometry.PositionAnswer {
		return geometry.PositionAnswer{Determinate: true, At: geometry.Vec{U: u, V: v},
			Cov: geometry.Cov{UU: 50, UV: 20, VV: 18}}
	}
	return drawing.Plan{Surface: s, Answer: &geometry.Answer{Positions: []geometry.PositionAnswer{p(1700, -2000),
		p(2300, -3500), p(600, -600)}}}
}
