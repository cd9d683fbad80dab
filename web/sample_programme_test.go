package web

import (
	"time"

	"lathmark/domain/id"
	"lathmark/domain/programme"
	"lathmark/domain/words"
)

// programmeSamples are the pages of the programme, all from one invented one.
func programmeSamples() []sample {
	none := Place{}
	danger := Next{"The kitchen's second fix by Fri 11 Dec is in danger.", "See how to keep it", "#danger"}
	shown := ProgrammeView{Sheet: sheetFor(foreman, "Programme", none, danger), Programme: cannedProgramme(),
		From: dayBefore(2), Later: "/programme?from=2027-01-04"}
	return []sample{
		canned(Programme, "", shown),
		canned(Programme, "none", ProgrammeView{Sheet: sheetFor(foreman, "Programme", none,
			say("It is there in a minute."))}),
		canned(Programme, "empty", ProgrammeView{Sheet: sheetFor(foreman, "Programme", none, say("Nothing to plan yet.")),
			Programme: &programme.Programme{Made: cannedDate, Today: dayBefore(0)}, From: dayBefore(2)}),
	}
}

// on is a day so many days after the canned one, which is a Wednesday.
func on(n int) time.Time { return dayBefore(-n) }

// likely are the dates of something with a likely day.
func likely(n int, critical float64, assumed bool) programme.Days {
	return programme.Days{Earliest: on(n - 1), Likely: on(n), In50: on(n), In80: on(n + 2), In95: on(n + 5),
		Critical: critical, AssumedRates: assumed}
}

// cannedVisit is a crew's visit to a job for one room and more.
func cannedVisit(key, name string, t words.Trade, job byte, jobName string,
	pieces ...programme.Placed) programme.Visit {
	v := programme.Visit{Key: key, Crew: numbered[id.Crew](job), Name: name, Trade: t, Job: numbered[id.Job](job),
		JobName: jobName, From: pieces[0].From, To: pieces[len(pieces)-1].To, Pieces: pieces}
	for i := range pieces {
		pieces[i].Trade = t
		v.Slots += pieces[i].Slots
	}
	return v
}

func placed(room byte, name string, s words.Stage, amount string, from, to int, critical float64) programme.Placed {
	return programme.Placed{Piece: programme.Piece{Room: numbered[id.Room](room), Stage: s}, RoomName: name,
		Amount: amount,
		From:   on(from), To: on(to), Slots: 4 * (to - from + 1), Critical: critical}
}

func cannedProgramme() *programme.Programme {
	const lane, loft = "14 Quarry Lane", "Mill Loft"
	done := programme.Stage{Days: programme.Days{SignedOff: true, Likely: on(-9)}}
	stage := func(n int, critical float64, assumed bool) programme.Stage {
		return programme.Stage{Days: likely(n, critical, assumed)}
	}
	plaster := stage(6, 0.9, true)
	plaster.Dries, plaster.Waits = on(12), "The boards are not signed off."
	behind := stage(17, 0.9, true)
	behind.BehindPromise, behind.Waits = true, "The plaster dries until Mon 7 Dec."
	room := func(n, job byte, name string, s ...programme.Stage) programme.Room {
		return programme.Room{ID: numbered[id.Room](n), Job: numbered[id.Job](job), Name: name, Stages: [5]programme.Stage(s)}
	}
	p := &programme.Programme{Made: cannedDate, Today: on(0), Revision: 7,
		Jobs: []programme.Job{{ID: numbered[id.Job](1), Name: lane, Days: likely(22, 1, true)},
			{ID: numbered[id.Job](2), Name: loft, Days: likely(9, 1, false)}},
		Rooms: []programme.Room{
			room(1, 1, "Utility", stage(1, 0.1, false), stage(7, 0.1, true), stage(9, 0.1, true), stage(19, 0.2, true),
				stage(23, 0.2, true)),
			room(4, 1, "Kitchen", done, stage(2, 0.9, false), plaster, behind, stage(22, 0.9, true)),
			room(7, 2, "Studio", stage(5, 0.6, false), stage(6, 0.6, false), stage(7, 0.6, false), stage(8, 0.6, false),
				stage(9, 0.6, false))},
		Visits: []programme.Visit{
			cannedVisit("a", "Ola Brandt", words.Electrician, 1, lane, placed(1, "Utility", words.FirstFix, "12 positions",
				0, 1, 0.1)),
			cannedVisit("b", "Ines Quill", words.DryLiner, 1, lane, placed(4, "Kitchen", words.Boarding, "31 m² of boards", 1,
				2, 0.9), placed(1, "Utility", words.Boarding, "18 m² of boards", 5, 7, 0.1)),
			cannedVisit("c", "Ola Brandt", words.Electrician, 2, loft, placed(7, "Studio", words.FirstFix, "9 positions", 2, 5,
				0.6)),
			cannedVisit("d", "Pell Castor", words.Plasterer, 1, lane, placed(4, "Kitchen", words.Plaster, "31 m²", 5, 6, 0.9),
				placed(1, "Utility", words.Plaster, "18 m²", 8, 9, 0.1)),
			cannedVisit("e", "Ola Brandt", words.Electrician, 1, lane, placed(4, "Kitchen", words.SecondFix, "14 positions", 15,
				17, 0.9), placed(1, "Utility", words.SecondFix, "12 positions", 19, 19, 0.2)),
			cannedVisit("f", "Ned Varley", words.Plumber, 1, lane, placed(4, "Kitchen", words.SecondFix, "3 positions", 15, 15,
				0)),
			cannedVisit("g", "the decorators", words.Decorator, 1, lane, placed(4, "Kitchen", words.Decoration, "31 m²", 19,
				22, 0.9), placed(1, "Utility", words.Decoration, "18 m²", 23, 23, 0.2)),
		}}
	p.Visits[3].Pinned, p.Visits[4].Promised = true, true
	for n := range 60 {
		if d := on(n); d.Weekday() == time.Saturday || d.Weekday() == time.Sunday {
			p.Off = append(p.Off, d)
		}
	}
	promise := func(n byte, room id.Room, s words.Stage, day int) programme.Promise {
		return programme.Promise{ID: numbered[id.Promise](n), Job: numbered[id.Job](1), Room: room, Stage: s,
			To: words.Client,
			On: on(day), GivenBy: numbered[id.Member](1), GivenAt: daysBefore(9)}
	}
	p.Promises = []programme.Kept{
		{Promise: promise(1, numbered[id.Room](4), words.SecondFix, 16), Likely: on(17), Odds: 0.3,
			Says: "The client was promised second fix in the kitchen by Fri 11 Dec.",
			Ways: []string{"Ola Brandt comes to the kitchen before Mill Loft: Mill Loft ends a day later.",
				"The client chooses the fan by Tue 1 Dec."}},
		{Promise: promise(2, id.Room{}, words.Decoration, 34), Likely: on(22), Odds: 0.99,
			Says: "The client was promised 14 Quarry Lane by Tue 29 Dec."}}
	p.Decide = []programme.Decide{
		{Job: numbered[id.Job](1), Room: numbered[id.Room](1), What: "Utility, the fan F1: which fan", By: words.Client,
			Latest: on(6), Cost: "A week later, 14 Quarry Lane is done on Tuesday 22 December, 3 days later.", Days: 3},
		{Job: numbered[id.Job](1), Room: numbered[id.Room](4), What: "Kitchen, order the tap", By: words.Foreman,
			Cost: "Costs nothing yet."}}
	p.Moved = []programme.Moved{{Piece: p.Visits[4].Pieces[0].Piece, Job: numbered[id.Job](1), Before: on(15), Now: on(17),
		Says: "Second fix in the kitchen from Thursday 10 to Saturday 12 December: the patch at D6 dries until Wednesday, " +
			"and Ola Brandt is at Mill Loft until then."}}
	return p
}

// saidSamples are the pages on which something is said for the programme, and those of a trade.
func saidSamples() []sample {
	none, job := Place{}, Place{Job: "job-1"}
	p := cannedProgramme()
	at := func(title, next string, of Place) Sheet { return sheetFor(foreman, title, of, say(next)) }
	piece := p.Visits[3].Pieces[0].Piece
	move := MoveView{Sheet: at("Move a visit", "Choose the day on which it should begin.", none), Piece: piece,
		Typed: begins("on", "2026-11-30"), Now: &p.Visits[3].Pieces[0], Visit: p.Visits[3],
		Pin: &programme.Pin{Piece: piece, On: on(5), By: numbered[id.Member](1)}}
	tried := move
	tried.On, tried.Tried = on(7), p
	away := []programme.Away{{ID: numbered[id.Away](1), Crew: numbered[id.Crew](1), From: on(5), To: on(7), Why: "unwell"}}
	crews := []programme.Crew{{ID: numbered[id.Crew](1), Trade: words.Electrician, Name: "Ola Brandt", People: 1},
		{ID: numbered[id.Crew](2), Trade: words.Plasterer, Name: "Castor & Co", People: 3}}
	form := CrewForm{Trades: []Option{{"electrician", "Electrician"}, {"plasterer", "Plasterer"}},
		Members: []Option{{"m2", "Ola Brandt, electrician"}}}
	crew := CrewView{Sheet: at("Ola Brandt", "Say when Ola Brandt can't come, or send a link.", none), CrewForm: form,
		Crew: crews[0], Away: away, LinkMade: daysBefore(3), LinkEnds: daysBefore(-87), Typed: begins("name", "Ola Brandt",
			"trade", "electrician", "people", "1")}
	linked := crew
	linked.LinkHref = "/comes/m3f-k9q-w2d"
	rooms := []Option{{numbered[id.Room](1).String(), "Utility"}, {numbered[id.Room](4).String(), "Kitchen"}}
	promises := PromisesView{Sheet: at("Promises", "Promise only what the programme keeps 8 times in 10.", job),
		Stand: p.Promises, Rooms: append([]Option{{"job", "The whole job"}}, rooms...), Steps: StageOptions(),
		Tos: []Option{{"client", "The client"}, {"electrician", "Electrician"}},
		Old: []OldPromise{{Promise: p.Promises[0].Promise, About: "second fix in the kitchen", Now: on(16),
			Why: "the patch at D6 was wet"}}}
	owed := OwedView{Sheet: at("To order or decide", "List what a stage waits for.", job), Rooms: rooms,
		Steps: StageOptions(),
		Rows: []OwedRow{{RoomName: "Kitchen", Owed: programme.Owed{ID: numbered[id.Owed](1), For: words.SecondFix,
			What: "the tap", Lead: 14, By: words.Foreman}},
			{RoomName: "Utility", Owed: programme.Owed{ID: numbered[id.Owed](2), For: words.Decoration, What: "which tiles",
				By: words.Client, Since: on(-3)}}},
		Ways: []ThroughRow{{numbered[id.Room](1), "Utility", nil}, {numbered[id.Room](4), "Kitchen",
			[]id.Room{numbered[id.Room](1)}}}}
	mine := MineView{Sheet: sheetFor(electrician, "My next weeks", none,
		say("Next: 14 Quarry Lane, Wed 25 to Thu 26 Nov.")),
		Crews: crews[:1], Weeks: WeeksOf([]programme.Visit{p.Visits[0], p.Visits[2], p.Visits[4]}), Away: away,
		Made:     cannedDate,
		Coming:   func(v programme.Visit) bool { return v.Key == "a" },
		ComeHref: ComingPath, CantHref: CantPath, BackHref: BackPath}
	link := mine
	link.Sheet, link.Link, link.Crews = sheetFor(Person{}, "Your next weeks", none, say("Next: 14 Quarry Lane.")), true,
		crews
	return []sample{canned(Move, "", move), canned(Move, "tried", tried),
		canned(Week, "", WeekView{Sheet: at("Week and holidays", "Say on which days the firm works.", none), Away: away,
			Regions: []Option{{"England and Wales", "England and Wales"}}, Typed: begins("day", "1", "day", "2")}),
		canned(Week, "faults", WeekView{Sheet: at("Week and holidays", "Say on which days the firm works.", none),
			Typed: typed(wrong("week", "the firm works on no day", "Choose the days on which it works"))}),
		canned(Crews, "", CrewsView{Sheet: at("Crews", "Add each crew that comes.", none), CrewForm: form, Rows: crews,
			Away: away}),
		canned(Crews, "empty", CrewsView{Sheet: at("Crews", "Add each crew that comes.", none), CrewForm: form}),
		canned(Crew, "", crew), canned(Crew, "link", linked),
		canned(Rates, "", RatesView{Sheet: at("Rates", "Set what you know of your own crews.", none),
			Typed: begins("likely.electrician.first_fix", "0.4"), Rows: []RateRow{
				{Rate: programme.Rate{Trade: words.Electrician, Stage: words.FirstFix, Least: 0.22, Likely: 0.38, Most: 0.7},
					Unit: "position"}}}),
		canned(Promises, "", promises),
		canned(Promises, "empty", PromisesView{Sheet: at("Promises", "Promise only what is kept.", job)}),
		canned(AnotherDay, "", AnotherDayView{Sheet: at("Another day", "See first whether it can be kept.", job),
			Kept: p.Promises[0]}),
		canned(Owed, "", owed), canned(Owed, "empty",
			OwedView{Sheet: at("To order or decide", "List what a stage waits for.", job)}),
		canned(Mine, "", mine), canned(Mine, "link", link),
		canned(Mine, "none", MineView{Sheet: sheetFor(electrician, "My next weeks", none, say("It is there in a minute."))}),
		canned(Calendar, "", CalendarView{Sheet: sheetFor(electrician, "In your calendar", none, say("Make an address."))}),
		canned(Calendar, "made", CalendarView{Sheet: sheetFor(electrician, "In your calendar", none,
			say("Your calendar follows the programme.")), Href: "/calendar/m3f-k9q-w2d/visits.ics", Made: daysBefore(0),
			Ends: daysBefore(-366)}),
	}
}

// clientsProgramme is the canned programme as a client may see it.
func clientsProgramme() *programme.Programme {
	p := *cannedProgramme()
	p.Jobs, p.Rooms, p.Visits, p.Moved, p.Decide = p.Jobs[:1], p.Rooms[:2], nil, nil, p.Decide[:1]
	p.Promises = p.Promises[1:]
	return &p
}
