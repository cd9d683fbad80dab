package main

import (
	"fmt"
	"lathmark/domain/words"
	"strings"
	"testing"
	"time"
)

// signOff goes to a stage's gate and signs it off, with a reason for each thing that
// needs one.
func (p *phone) signOff(at, stage string) {
	p.t.Helper()
	p.open(at + "/sign-offs/" + strings.ReplaceAll(stage, " ", "-"))
	p.reasons()
	p.press("Sign off " + stage)
	p.sees("signed off")
	if p.status != 200 {
		p.t.Fatalf("signing off %s: %d, %s", stage, p.status, p.text())
	}
}

// reasons writes one beside each thing that needs one, and one for all of a kind.
func (p *phone) reasons() {
	p.t.Helper()
	const all, reason = `input[name^="all."]`, ".obstacles > li > .field > textarea"
	count := func(selector string) int {
		return eval[int](p, fmt.Sprintf("document.querySelectorAll(%q).length", selector))
	}
	for i := range count(all) {
		p.nth(all, i)
		p.do(p.touch(1))
	}
	for i := range count(reason) {
		p.nth(reason, i)
		p.write("looked at on site, and agreed")
	}
}

// offer goes to a stage's gate and offers it.
func (p *phone) offer(at, stage string) {
	p.t.Helper()
	p.open(at + "/sign-offs/" + strings.ReplaceAll(stage, " ", "-"))
	p.press("Offer " + stage)
	p.sees("offered")
}

// offset writes down one offset on the page to measure.
func (p *phone) offset(at, position, datum, value string) {
	p.t.Helper()
	if !strings.HasPrefix(p.at(), at+"/measure") {
		p.open(at + "/measure")
	}
	p.pad(position)
	p.pad(datum)
	if eval[bool](p, `!!document.querySelector(".again:not([hidden])")`) { // it was measured before
		p.pad("Keep both as a check")
	}
	p.fill("Reading", value, "")
	p.saves("Save")
	p.sees(value+" from", "by tape")
}

var walls = []string{"south wall", "west wall", "north wall", "east wall"}

// Two trades and the foreman take a new room from schedule to decoration, with nothing but
// what the pages offer.
func TestJourneyFromScheduleToDecoration(t *testing.T) {
	b := build(t)
	foreman := b.as(t, b.Foreman)
	foreman.follow("Open the first job")
	foreman.fill("Name of the job", "Ferry House", "")
	foreman.fill("Address", "Quay Road", "")
	foreman.press("Add the job")
	foreman.sees("Ferry House", "The job is added.")
	foreman.follow("Draw another room")
	foreman.fill("Name of the room", "Utility", "")
	foreman.fill("Floor to ceiling", "2400", "")
	foreman.fill("Length, mm", "3600", "")
	foreman.fill("Width", "2400", "")
	foreman.sees("The walls close.")
	foreman.press("Draw the room")
	foreman.sees("The room is saved.")
	at, _, _ := strings.Cut(foreman.at(), "?")
	for _, wall := range walls {
		foreman.open(at)
		foreman.unfold("with build-ups")
		foreman.follow("build-up of " + wall)
		foreman.fill("Or your own", "board 25 boarding\nskim 3 plaster", "")
		foreman.press("Save the build-up")
	}
	foreman.open(at)
	foreman.unfold("with build-ups")
	foreman.follow("Add timbers")
	foreman.fill("Counted from", "west wall", "")
	for label, value := range map[string]string{"First centre at": "400", "Centre to centre": "600",
		"Name of the first": "J1", "Width": "47"} {
		foreman.fill(label, value, "")
	}
	foreman.press("Add to the timbers")
	foreman.open(at + "/schedule")
	foreman.fill("Lines", "D1, downlight, 76\nW1, pipe tail, 28", "Pasted lines")
	foreman.press("Add the lines")
	foreman.sees("D1", "W1", "no record")

	spark, plumber := b.as(t, b.Electrician), b.as(t, b.Plumber)
	spark.sees("Utility", "D1")
	spark.lacks("W1")
	plumber.sees("W1")
	for i, value := range []string{"1000", "1100", "1402", "2498"} {
		spark.offset(at, "D1", walls[i]+", bare", value)
	}
	spark.sees("checked")
	for i, value := range []string{"1500", "2600", "901", "1001"} {
		plumber.offset(at, "W1", walls[i]+", bare", value)
	}
	spark.offer(at, "first fix")
	foreman.signOff(at, "first fix")

	for phone, tail := range map[*phone]string{spark: "D1", plumber: "W1"} {
		phone.open(at + "/tails")
		phone.choose("Seen free: " + tail)
		phone.press("Save what I saw")
	}
	thick := func(layer, value string) {
		t.Helper()
		foreman.open(at + "/as-built")
		for _, wall := range walls {
			foreman.fill(layer+" on the "+wall, value, "")
		}
		foreman.press("Save the thicknesses")
	}
	thick("board", "27")
	foreman.offer(at, "boarding")
	foreman.signOff(at, "boarding")
	thick("skim", "3")
	foreman.open(at + "/finished")
	foreman.fill("Last day of", b.Clock.Now().Format(time.DateOnly), "")
	foreman.press("Save the day")
	foreman.offer(at, "plaster")
	foreman.signOff(at, "plaster")
	b.Clock.Pass(10 * 24 * time.Hour)

	spark.open(at + "/set-out")
	spark.sees("skimmed", "prove it dead", "asbestos")
	for phone, hole := range map[*phone]string{spark: "D1", plumber: "W1"} {
		phone.open(at + "/set-out")
		phone.follow("Record " + hole)
		phone.choose("Found: the tail was there")
		phone.press("Save what you found")
	}
	spark.offer(at, "second fix")
	foreman.signOff(at, "second fix")
	foreman.open(at + "/snags")
	foreman.fill("What", "Scratch on the sill", "Another snag")
	foreman.press("Save it")
	foreman.offer(at, "decoration")
	foreman.sees("Scratch on the sill")
	if foreman.offers("Sign off decoration") {
		t.Error("decoration could be signed off with a snag open")
	}
	foreman.open(at + "/snags")
	foreman.press("Put right: close it")
	foreman.offer(at, "decoration") // something was mended since
	foreman.signOff(at, "decoration")
	foreman.open("/")
	foreman.sees("Finished.")

	b.Holds(t)
	jobs, err := b.Book.Overview(t.Context(), b.Foreman)
	if err != nil {
		t.Fatal(err)
	}
	for _, cell := range jobs[0].Rows[0].Cells {
		if cell.State != words.SignedOff || cell.Initials != b.Foreman.Initials() {
			t.Errorf("%s is %s, by %s", cell.Stage, cell.State, cell.Initials)
		}
	}
}
