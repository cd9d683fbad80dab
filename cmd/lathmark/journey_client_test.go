package main

import (
	"regexp"
	"strings"
	"testing"
	"time"

	"lathmark/persistence"
	"lathmark/server/auth"
	"lathmark/server/live"
	"lathmark/server/page/kit"
	"lathmark/web"
)

// The client sees how it goes: stages, days, and what they have to decide. No name of anybody
// of the firm, no measurement, no mistake.
func TestJourneyTheClientsView(t *testing.T) {
	_, db, made := stood(t)
	all := persistence.NewServices(db, time.Now)
	url := serving(t, live.NewHub(), kit.Services{Firm: all.Firm, Job: all.Job, Desk: all.Desk,
		Book:  all.Book,
		Diary: all.Diary, Programme: all.Programme, Now: time.Now}, auth.Links{})
	client := newPhone(t, chromium(t), url)
	for _, l := range made.Links {
		client.open(web.ProgressPath + l.Token)
		client.sees(l.Job, "First fix", "Decoration")
		for _, p := range made.People {
			for _, part := range strings.Fields(p.Name) {
				if part != "Aldous" { // the firm's name
					client.lacks(part)
				}
			}
		}
		client.lacks(" mm", "±", "obstacle", "not found", "on timber", "suspect", "does not fit", "Snag", "snag", "scratch",
			"patch", "no record", "misread", "D1", "reopened")
		if n := eval[int](client, `document.querySelectorAll("form, input, button").length`); n > 0 {
			t.Errorf("%s: the client's page has %d things to press", l.Job, n)
		}
		figures := regexp.MustCompile(`\b\d{3,}\b`).FindAllString(client.text(), -1)
		for _, f := range figures {
			if len(f) != 4 || !strings.HasPrefix(f, "20") { // a year
				t.Errorf("%s: the client's page says %s", l.Job, f)
			}
		}
	}
	client.open(web.ProgressPath + made.Links[1].Token)
	client.sees("Decisions needed from you", "Kitchen, the fan", "You have not chosen the fan", "This room is finished",
		"Not before")
	// The link leads nowhere else, and a wrong one nowhere at all.
	for _, path := range []string{"/", "/tasks", "/build-ups"} {
		if client.open(path); !strings.HasPrefix(client.at(), "/sign-in") {
			t.Errorf("with a client's link one comes to %s", client.at())
		}
	}
	if client.open(web.ProgressPath + made.Links[0].Token[:60] + "AAAA"); client.status != 404 {
		t.Errorf("a wrong link is answered with %d", client.status)
	}
}
