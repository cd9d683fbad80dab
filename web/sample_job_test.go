package web

import (
	"net/url"

	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

func wrong(path, what, mend string) fault.Field {
	return fault.Field{Path: path, Wrong: what, Mend: mend}
}

func typed(f ...fault.Field) Typed { return Typed{Faults: f} }

// begins returns a form that begins with values, in pairs.
func begins(pairs ...string) Typed { return Typed{}.with(pairs...) }

// with returns the form with values, in pairs.
func (t Typed) with(pairs ...string) Typed {
	t.Begins = url.Values{}
	for i := 0; i+1 < len(pairs); i += 2 {
		t.Begins.Add(pairs[i], pairs[i+1])
	}
	return t
}

func say(s string) Next { return Next{Sentence: s} }

func jobSamples() []sample {
	none, job := Place{}, Place{Job: "job-1"}
	look := Next{"Boarding in the kitchen is offered with 2 obstacles. Look at it next.", "Kitchen, boarding",
		Place{Room: "room-4"}.Gate("boarding")}
	first := Next{"Begin with the job you are standing in.", "Open the first job", NewJobPath}
	draw := Next{"This job has no rooms yet. Draw the first one.", "Draw a room", job.NewRoom()}
	empty := JobTable{At: job, Name: "14 Quarry Lane"}
	client := sheetFor(Person{}, "How it goes", job, say("One choice waits for you: the fan in the utility."))
	return []sample{
		canned(Dashboard, "", DashboardView{acrossJobs(sheetFor(foreman, "All jobs", none, look)),
			[]JobTable{quarryLane(), millLoft()}}),
		canned(Dashboard, "empty", DashboardView{Sheet: sheetFor(foreman, "All jobs", none, first)}),
		canned(Job, "", JobView{Sheet: sheetFor(foreman, "Rooms and stages", job, look), Table: quarryLane(), MayEdit: true,
			ProgressMade: daysBefore(12), ProgressEnds: daysBefore(-78)}),
		canned(Job, "link", JobView{Sheet: sheetFor(foreman, "Rooms and stages", job, look), Table: millLoft(), MayEdit: true,
			ProgressHref: "/progress/m3f-k9q-w2d", ProgressMade: daysBefore(0), ProgressEnds: daysBefore(-90)}),
		canned(Job, "empty", JobView{Sheet: sheetFor(foreman, "Rooms and stages", job, draw), Table: empty, MayEdit: true}),
		canned(NewJob, "", JobFormView{Sheet: sheetFor(foreman, "A new job", none, say("A name is enough to begin."))}),
		canned(NewJob, "faults", JobFormView{sheetFor(foreman, "A new job", none, say("Mend the name, then open the job.")),
			typed(wrong("name", "There is a job called Mill Loft already", "Give this one another name")).with(
				"name", "Mill Loft", "address", "Weir Street")}),
		canned(NewRoom, "", RoomFormView{Sheet: sheetFor(foreman, "A new room", job,
			say("Walk round the room once with a tape, then type what you read.")), Typed: begins("shape", "walls",
			"height", "2400")}),
		canned(NewRoom, "faults", RoomFormView{Sheet: sheetFor(foreman, "A new room", job,
			say("Mend the walls, then draw the room.")),
			Others: []Option{{Value: "r1", Label: "Utility"}, {Value: "r2", Label: "Hall, 3 Mill Row"}},
			Typed: typed(wrong("walls", "The outline does not close: it ends 120 mm east of where it began",
				"Measure the third wall again"), wrong("name", "The room has no name", "Name it as you say it on site")).with(
				"shape", "walls", "height", "2400", "walls", "3600 left south\n2400 left east\n3480 left north\n2400 left west",
				"breasts", "north 1100 1200 350")}),
		canned(ImportRoom, "", ImportView{Sheet: sheetFor(foreman, "Import a room sheet", job,
			say("Paste a room sheet that was kept from this or another firm."))}),
		canned(Diary, "", DiaryView{Sheet: sheetFor(foreman, "Diary", job,
			say("Everything done on this job is here.")), Days: diaryDays(),
			Does: map[id.Member]string{cannedID[id.Member](1): "foreman", cannedID[id.Member](2): "electrician",
				cannedID[id.Member](3): "dry liner"},
			Rooms: map[id.Room]string{cannedID[id.Room](4): "Kitchen", cannedID[id.Room](1): "Utility"},
			Older: "/jobs/job-1/diary?before=41", KindOptions: []Option{{"snags", "Snags"}}}),
		canned(Diary, "empty", DiaryView{Sheet: sheetFor(foreman, "Diary", job,
			say("Everything done on this job is here."))}),
		canned(Progress, "", ProgressView{Sheet: client, Rooms: progressRooms()}),
		canned(Progress, "when", ProgressView{Sheet: client, Rooms: progressRooms(), When: clientsProgramme()}),
		canned(Progress, "empty", ProgressView{Sheet: sheetFor(Person{}, "Progress", job, say("Nothing needed from you. Work is under way."))}),
		canned(BuildUps, "", BuildUpsView{Sheet: sheetFor(foreman, "Standard build-ups", none,
			say("Choose from these when you plan a room.")), Rows: standards(), MayEdit: true}),
		canned(BuildUps, "empty", BuildUpsView{Sheet: sheetFor(electrician, "Standard build-ups", none,
			say("The foreman writes these down."))}),
	}
}

func diaryDays() []DiaryDay {
	d := daysBefore(0)
	ruth, kitchen := cannedID[id.Member](1), cannedID[id.Room](4)
	return []DiaryDay{
		{Date: dayBefore(0), Entries: []diary.Entry{
			{Seq: 44, At: d, Who: "Ruth Aldous", Member: ruth, Room: kitchen,
				Says: "Accepted: two datums of D3 will both be covered."},
			{Seq: 43, At: d, Who: "Ines Quill", Member: cannedID[id.Member](3), Room: kitchen, Says: "Offered boarding."},
			{Seq: 42, At: d, Who: "Ola Brandt", Member: cannedID[id.Member](2), Room: cannedID[id.Room](1),
				Says: "Measured D1 from the south wall, bare: 628 by tape."}}},
		{Date: dayBefore(1), Folded: true, Entries: []diary.Entry{{Seq: 41, At: daysBefore(1), Who: "Ruth Aldous", Member: ruth,
			Says: "Opened the job."}}},
	}
}

func progressRooms() []standing.RoomProgress {
	var rooms []standing.RoomProgress
	states := map[State]words.State{Waiting: words.Waiting, InHand: words.InHand, Offered: words.Offered,
		SignedOff: words.SignedOff}
	for _, l := range quarryLane().Rooms {
		r := standing.RoomProgress{Name: l.Name, Next: words.Stage(max(l.Now, 0)), Done: l.Now < 0}
		for i, g := range l.Gates {
			r.States[i], r.Signed[i] = states[g.State], words.UTC.Day(g.Date)
		}
		rooms = append(rooms, r)
	}
	rooms[1].Decisions = []standing.Decision{{Name: "F1", Kind: "fan",
		Why: "you have not chosen the fan; its size decides the hole."}}
	rooms[4].Earliest = dayBefore(-9)
	return rooms
}

func standards() []StandardRow {
	return []StandardRow{
		{"Brick, dabs, board, skim", []LayerRow{{Name: "dabs and board", Stage: "boarding", Planned: 25},
			{Name: "skim", Stage: "plaster", Planned: 3}}, 28},
		{"Ceiling, board, skim", []LayerRow{{Name: "board", Stage: "boarding", Planned: 12.5},
			{Name: "skim", Stage: "plaster", Planned: 3}}, 15.5},
	}
}
