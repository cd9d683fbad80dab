package web

import "time"

func jobSamples() []sample {
	next := Next{Sentence: "Boarding in the kitchen is offered with 2 obstacles. Look at it next.", Action: "Kitchen, boarding",
		Href: Place{Room: "room-4"}.Gate("boarding")}
	none := Place{}
	return []sample{
		canned(Dashboard, "", DashboardView{sheetFor(foreman, "All jobs", none, next), []JobTable{quarryLane(), millLoft()}}),
		canned(Dashboard, "empty", DashboardView{Sheet: sheetFor(foreman, "All jobs", none, Next{Sentence: "Begin with the job you are standing in.", Action: "Open the first job", Href: NewJobPath})}),
	}
}

var _ = time.Time{}
