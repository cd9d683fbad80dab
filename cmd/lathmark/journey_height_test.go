package main

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/persistence"
	"lathmark/server/auth"
	"lathmark/server/live"
	"lathmark/server/page/kit"
)

// crowded makes a room of 24 positions and 100 readings in a job.
func crowded(t *testing.T, s persistence.Services, by firm.Person, of job.Job) string {
	t.Helper()
	r, err := s.Desk.Create(t.Context(), by, room.Draft{Job: of.ID, Name: "Crowded", Height: 2400,
		Outline: room.Rectangle(6000, 4000), Surfaces: []room.SurfaceDraft{{Kind: "ceiling"}}})
	if err != nil {
		t.Fatal(err)
	}
	do := func(d deed.Deed) {
		t.Helper()
		if r, err = s.Desk.Do(t.Context(), by, r.Record.ID, d); err != nil {
			t.Fatal(err)
		}
	}
	ceiling := r.Record.Surfaces[0]
	drafts, err := room.Spaced(ceiling.Outline, room.Grid{Rows: 4, Columns: 6, Prefix: "D", Kind: "downlight", Cutout: 76})
	if err != nil {
		t.Fatal(err)
	}
	do(deed.Schedule{Surface: ceiling.ID, Positions: drafts})
	chance := rand.New(rand.NewPCG(100, 0))
	for i := range 100 {
		q, wall := r.Record.Positions[i%24], r.Record.Datums[i/24%4]
		value := room.ToLine(*q.Planned, wall.A, wall.B) + chance.Float64()*4
		if i%17 == 16 {
			value += 60 // misread: a doubt, which stands in sight
		}
		do(deed.Measure{Reading: room.Reading{Kind: words.Offset, Of: q.ID, From: wall.ID, State: "bare", Value: value,
			By: "tape"}})
	}
	return r.Record.ID.String()
}

// A room's page ends after four screens, for the foreman and for a trade, in every room of the demo and in a crowded
// one; the links to its other pages are on the first screen, and what is in doubt is in sight.
func TestARoomsPageEnds(t *testing.T) {
	t.Parallel()
	_, db, whose := stood(t)
	s, hub := persistence.NewServices(db, time.Now), live.NewHub()
	url := serving(t, hub, kit.Services{Firm: s.Firm, Job: s.Job, Desk: s.Desk, Book: s.Book, Diary: s.Diary,
		Photo: s.Photo, Held: s.Held, Now: time.Now}, auth.Demo{Firms: s.Firm, Firm: whose.Firm})
	foreman := firm.Person{Firm: whose.Firm, Role: firm.Foreman}
	all, err := s.Firm.Members(t.Context(), foreman)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range all {
		if m.Role == firm.Foreman {
			foreman = m.Person
		}
	}
	jobs, err := s.Job.Jobs(t.Context(), foreman)
	if err != nil {
		t.Fatal(err)
	}
	at := map[string]string{"Crowded": crowded(t, s, foreman, jobs[0])}
	for _, j := range jobs {
		rooms, err := s.Desk.Rooms(t.Context(), foreman, j.ID)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range rooms {
			at[r.Name] = r.ID.String()
		}
	}
	b := &building{url: url, browser: chromium(t)}
	for _, who := range []string{"Ruth Aldous", "Ola Brandt"} {
		p := b.as(t, firm.Person{Name: who})
		for name, room := range at {
			p.open("/rooms/" + room)
			tall := eval[float64](p, "document.documentElement.scrollHeight")
			links := eval[float64](p, `document.querySelector(".room-links").getBoundingClientRect().bottom`)
			doubts := eval[[]string](p, `[...document.querySelectorAll("main .measurements .hard")].map(e =>
				e.closest("tr").querySelector("th").textContent)`)
			said := eval[string](p, `[...document.querySelectorAll("main .doubt")].filter(e => e.checkVisibility())
				.map(e => e.textContent).join()`)
			hidden := len(slices.DeleteFunc(slices.Clone(doubts), func(of string) bool { return strings.Contains(said, of) }))
			if name == "Crowded" && len(doubts) == 0 {
				t.Error("nothing is in doubt in the crowded room")
			}
			t.Logf("%-16s %-12s %5.0f px, links at %4.0f", name, who, tall, links)
			if tall > tallest || links > 844 || hidden > 0 {
				t.Errorf("%s for %s: %.0f px tall, the links end at %.0f, %d doubts out of sight", name, who, tall, links, hidden)
			}
		}
	}
}
