package main

import (
	"encoding/json"
	"testing"

	"lathmark/web"
)

func quoted(s string) string {
	b, err := json.Marshal(s)
	if err != nil {
		panic(err) // no string is without its JSON
	}
	return string(b)
}

// What a visit needs opens without signal once My visits was opened with it,
// says since when it is, and is nobody else's.
func TestOfflineCopy(t *testing.T) {
	b := build(t)
	at, r := b.measured(t)
	kit, signal := b.takesItAlong(t)
	kit.without(signal)
	place := web.Place{Room: r.Record.ID.String()}
	for _, path := range []string{web.VisitsPath, web.TasksPath, at, place.Measure(),
		place.MeasureAt(r.Record.Positions[0].ID.String()), place.Tails(),
		place.SetOut(), place.Holes(), place.Snags(), place.Schedule(), place.Gate("first-fix")} {
		kit.open(path)
		if kit.status != 200 {
			t.Errorf("%s answers %d without signal", path, kit.status)
		}
		kit.awaitsWords("Stored on this phone, as it was at")
	}
	kit.open(web.BuildUpsPath)
	kit.sees("This page is not on this phone")
	kit.follow("My visits")
	kit.sees("Rooms to go to")

	// Back in the van: the same pages come from the server again.
	kit.with(signal)
	kit.open(at)
	kit.lacks("Stored on this phone")

	// Ann takes the phone over.
	kit.leave()
	kit.press("Sign in as " + b.DryLiner.Name)
	kit.without(signal)
	kit.open(place.Measure())
	kit.sees("This page is not on this phone")
	kit.lacks(r.Record.Name)
}
