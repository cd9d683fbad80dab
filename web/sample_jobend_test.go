package web

import (
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"time"
)

// endSamples are the pages of a job's end and of the search, and pages of a job
// that is closed.
func endSamples() []sample {
	none, at := Place{}, Place{Job: "job-1"}
	boarding, firstFix := words.Boarding, words.FirstFix
	left := []job.Left{{Room: cannedID[id.Room](4), Name: "Kitchen", Stage: &boarding, State: words.Offered,
		Snags: []string{"a nail stands out by the window"}},
		{Room: cannedID[id.Room](1), Name: "Utility", Stage: &firstFix, State: words.InHand, Choices: 2,
			Held: []job.Held{{Name: "F1", Why: "the client has not chosen the fan"}}}}
	shut := func(person Person, title string, at Place) Sheet {
		s := sheetFor(person, title, at, say("This job is closed: there is nothing to do here."))
		s.Closed = daysBefore(40)
		return s
	}
	closedAt := func(days int) time.Time { return daysBefore(days) }
	keeps := []string{"4 measurements are on record", "1 sign-off is on record"}
	hits := []SearchHit{{"14 Quarry Lane", "job", "Nether Appleby", "/jobs/job-1", time.Time{}},
		{"Quarry Cottage", "job", "", "/jobs/job-7", closedAt(400)},
		{"Utility", "room", "14 Quarry Lane", "/rooms/room-1", time.Time{}},
		{"D4", "position", "Utility, Quarry Cottage", "/rooms/room-9#row-s1-position-D4", closedAt(400)}}
	most := sheetFor(foreman, "Search", none, say("Find a job, a room or a position by part of its name."))
	return []sample{
		canned(CloseJob, "", CloseJobView{Sheet: sheetFor(foreman, "Close the job", at,
			say("2 rooms still to finish. Look at each before you close the job.")), Left: left}),
		canned(CloseJob, "faults", CloseJobView{sheetFor(foreman, "Close the job", at, say("2 rooms still to finish.")),
			typed(wrong("anyway", "something is not finished", "Finish it, or tick that you close the job anyway")), left}),
		canned(CloseJob, "done", CloseJobView{Sheet: sheetFor(foreman, "Close the job", at,
			say("Everything in it is finished. Close it when the last of it is done and paid."))}),
		canned(Rename, "", RenameView{Sheet: sheetFor(foreman, "Name and address", at,
			say("Use the name everybody on site uses.")), Typed: begins("name", "14 Quarry Lane",
			"address", "Nether Appleby"), Of: "job",
			Keeps:  []string{"Its diary says more than that it began, and nothing is taken out of a diary"},
			WayOut: "Close the job instead"}),
		canned(Rename, "room", RenameView{Sheet: sheetFor(foreman, "Name of the room", utilityAt,
			say("Use the name everybody on site uses.")), Typed: begins("name", "Utility"), Of: "room"}),
		canned(Rename, "faults", RenameView{sheetFor(foreman, "Name of the room", utilityAt, say("Call it otherwise.")),
			typed(wrong("name", "Another room of this job has this name", "Give it another")).with("name", "Kitchen"), "room",
			keeps,
			"What is recorded stays, and so does the room"}),
		canned(Search, "", SearchView{Sheet: most}),
		canned(Search, "found", SearchView{Sheet: most, Typed: begins("q", "quarry"), Hits: hits}),
		canned(Search, "most", SearchView{Sheet: most, Typed: begins("q", "d"), Hits: hits, Most: 50}),
		canned(Search, "nothing", SearchView{Sheet: most, Typed: begins("q", "qarry")}),
		canned(Search, "faults", SearchView{Sheet: most,
			Typed: typed(wrong("q", "it is too long", "Give a few words of a name")).with("q", "quarry quarry quarry")}),
		canned(Job, "closed", JobView{Sheet: shut(foreman, "Rooms and stages", at), Table: quarryLane(),
			ProgressMade: daysBefore(60), ProgressEnds: daysBefore(-30)}),
		canned(Room, "closed", RoomView{Sheet: shut(electrician, "Plan and schedules", utilityAt),
			Line: quarryLane().Rooms[0], Surfaces: []SurfaceView{utilitySurface()}}),
		canned(Snags, "closed", SnagsView{Sheet: shut(foreman, "Snags", utilityAt),
			Rows: []SnagRow{{Who: "the foreman", Snag: room.Snag{ID: numbered[id.Snag](1), Says: "A nail stands out",
				NotedBy: numbered[id.Member](1), NotedAt: daysBefore(50)}}}}),
	}
}
