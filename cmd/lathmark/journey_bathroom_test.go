package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/words"
)

// mostTapsOfABathroom is what a bathroom of eleven positions may take from nothing to
// decoration, besides what is typed.
const mostTapsOfABathroom = 200

// bathroom is a building with the phones of whoever works in its bathroom.
type bathroom struct {
	*building
	foreman, spark, plumber, boards, skim, paint *phone
}

func (s *bathroom) phones() []*phone {
	return []*phone{s.foreman, s.spark, s.plumber, s.boards, s.skim, s.paint}
}

func (s *bathroom) taps() (sum int) {
	for _, p := range s.phones() {
		sum += p.taps
	}
	return sum
}

// A firm takes a bathroom of eleven positions through every stage, with nothing but what
// the pages offer, going from page to page by their links. Every touch counts: of links,
// buttons, pads and fields; a choice from a list is two. Typing is none.
func TestABathroomTakesTwoHundredTaps(t *testing.T) {
	b := build(t)
	if _, err := b.Firm.SaveBuildUp(t.Context(), b.Owner, firm.BuildUp{Name: "dot and dab, skim",
		Layers: []firm.Layer{{Name: "board", Thickness: 25, Stage: words.Boarding},
			{Name: "skim", Thickness: 3, Stage: words.Plaster}}}); err != nil {
		t.Fatal(err)
	}
	site := &bathroom{building: b, foreman: b.as(t, b.Foreman), spark: b.as(t, b.Electrician),
		plumber: b.as(t, b.Plumber), boards: b.as(t, b.DryLiner), skim: b.as(t, b.Plasterer), paint: b.as(t, b.Decorator)}
	start := site.taps()
	for _, step := range []struct {
		what string
		do   func()
	}{
		{"open the job, draw the room", site.draw},
		{"schedule of 11", site.schedule},
		{"build-ups and 9 joists", site.joists},
		{"44 readings", site.readings},
		{"sign first fix", site.firstFix},
		{"tails and a photo, boards, plaster", site.closes},
		{"11 holes, patches, decoration", site.holes},
	} {
		before := site.taps()
		step.do()
		t.Logf("%-36s %3d taps", step.what, site.taps()-before)
	}
	sum := site.taps() - start
	t.Logf("%-36s %3d taps", "all of it", sum)
	if sum > mostTapsOfABathroom {
		t.Errorf("the bathroom takes %d taps, %d are allowed", sum, mostTapsOfABathroom)
	}
	b.Holds(t)
}

// draw begins the job and its bathroom.
func (s *bathroom) draw() {
	p := s.foreman
	p.follow("Open the first job")
	p.fill("Name of the job", "Ferry House", "")
	p.fill("Address", "Quay Road", "")
	p.press("Add the job")
	p.follow("draw the first room")
	p.fill("Name of the room", "Bathroom", "")
	p.fill("Floor to ceiling", "2400", "")
	p.fill("What the room is used for", "Bathroom", "")
	p.fill("Length, mm", "3600", "")
	p.fill("Width", "2400", "")
	p.sees("The walls close.")
	p.fill("What goes on every wall", "dot and dab", "")
	p.unfold("A chimney breast")
	p.fill("Baths and showers", "bath 0 0 1700 0 1700 700 0 700\nshower 2700 1500 3600 1500 3600 2400 2700 2400", "")
	p.press("Draw the room")
	p.sees("The room is saved.")
}

// does goes to what there is to do and follows the link of one of it. Where the machine was so slow that the
// phone showed its copy meanwhile, the page is asked for again.
func (p *phone) does(words string) {
	p.t.Helper()
	p.goTo("To do")
	p.comesTo(fmt.Sprintf(`[...document.querySelectorAll("main a")].some(a => a.textContent.includes(%q)) ||
		document.body.textContent.includes("There is a newer version")`, words))
	if p.find("a", words, "") == "" {
		p.open(p.at())
	}
	p.follow(words)
}

// others are the five of the bathroom besides six downlights, and where they are wanted.
var others = []string{"F1, fan, 102, 1700, 1190", "S1, sensor, 68, 2500, 1190", "P1, pendant, 40, 900, 1200",
	"W1, pipe tail, 28, 2100, 1900", "W2, waste, 50, 3300, 1190"}

// spots are where the eleven are, along and up the sheet.
var spots = map[string][2]int{"D1": {600, 600}, "D2": {1800, 600}, "D3": {3000, 600}, "D4": {600, 1800},
	"D5": {1800, 1800}, "D6": {3000, 1800}, "F1": {1700, 1190}, "S1": {2500, 1190}, "P1": {900, 1200}, "W1": {2100, 1900},
	"W2": {3300, 1190}}

// schedule lists the positions, the downlights evenly spaced.
func (s *bathroom) schedule() {
	p := s.foreman
	p.follow("Start the schedule")
	p.fill("What", "downlight", "Spaced")
	for _, f := range [][2]string{{"Rows", "2"}, {"Columns", "3"}, {"Names begin with", "D"}, {"Cut-out", "76"}} {
		p.fill(f[0], f[1], "Spaced")
	}
	p.press("Space them")
	p.fill("Lines", strings.Join(others, "\n"), "Pasted lines")
	p.press("Add the lines")
	p.sees("W2")
}

// joists draws nine of them; the build-up of every wall was said with the room.
func (s *bathroom) joists() {
	p := s.foreman
	p.follow("No timbers drawn yet: add them")
	for _, f := range [][2]string{{"First centre at", "300"}, {"Centre to centre", "400"}, {"Width", "47"},
		{"Depth", "195"}} {
		p.fill(f[0], f[1], "")
	}
	p.comesTo(`document.querySelectorAll(".coming.timber").length === 9`)
	p.press("Add to the timbers")
	p.sees("J9")
	p.lacks("J10")
}

// readings takes four of each tail.
func (s *bathroom) readings() {
	p := s.spark
	p.does("Measure")
	p.comesTo(`document.querySelector(".goes").textContent !== ""`)
	for i := range 4 * len(spots) {
		says := eval[string](p, `document.querySelector(".thumb label").textContent`)
		to := goesTo.FindStringSubmatch(says)
		if to == nil {
			p.t.Fatalf("%s: reading %d goes to %q: %.1500s", p.at(), i+1, says, p.text())
		}
		x, y := spots[to[1]][0], spots[to[1]][1]
		p.figure(strconv.Itoa(map[string]int{"south": y, "north": 2400 - y, "west": x, "east": 3600 - x}[to[2]]))
		p.saves("Save for " + to[1])
	}
	p.sees("Every position is measured")
}

// offers is a trade that offers a stage where it is led to it, and the foreman who signs it off.
func (s *bathroom) offers(p *phone, stage string) {
	if link := "Offer " + stage + " for sign-off"; p.find("a", link, "") != "" {
		p.follow(link)
	} else {
		p.does(link)
	}
	p.press("Offer " + stage)
	p.sees("offered")
	s.signs(stage)
}

func (s *bathroom) signs(stage string) {
	p := s.foreman
	p.does("Sign off " + stage)
	p.reasons()
	p.press("Sign off " + stage)
	p.sees("signed off")
}

func (s *bathroom) firstFix() { s.offers(s.spark, "first fix") }

// closes has the tails looked at, and the boards and the plaster put on.
func (s *bathroom) closes() {
	p := s.spark
	p.does("Check the tails")
	p.choose("All of them seen free")
	p.press("Save what I saw")
	p.fill("What it shows", "Ceiling", "")
	p.chooses(fromACamera(p.t))
	p.press("Save the photo")
	s.builds(s.boards, "board", "27")
	s.offers(s.boards, "boarding")
	s.builds(s.skim, "skim", "3")
	s.skim.follow("Enter the day")
	s.skim.press("Save the day")
	s.offers(s.skim, "plaster")
	s.Clock.Pass(10 * 24 * time.Hour)
}

// builds is a trade that says how thick a layer of every wall is.
func (s *bathroom) builds(p *phone, layer, thick string) {
	p.does("Record it as built")
	p.fill(words.Capital(layer)+", where it is the same on all 4", thick, "")
	p.press("Save the thicknesses")
}

// holes cuts the eleven, has two patched and the room painted.
func (s *bathroom) holes() {
	s.cuts(s.spark, "W")
	s.cuts(s.plumber, "D F S P")
	s.offers(s.spark, "second fix")
	p := s.paint
	p.does("Go to the patches")
	for _, at := range patched {
		p.press("Filled: " + at)
	}
	s.Clock.Pass(3 * 24 * time.Hour)
	s.offers(p, "decoration")
	s.foreman.sees("the room is finished")
}

// patched are the holes that were cut too wide.
var patched = []string{"D2", "W1"}

// cuts is a trade that cuts its holes in the order in which the page has them. A hole of
// another trade is turned over.
func (s *bathroom) cuts(p *phone, others string) {
	p.does("Cut the holes")
	for {
		names := eval[[]string](p, `[...document.querySelectorAll(".leaf-name")].map(e => e.textContent)`)
		own := slices.IndexFunc(names, func(name string) bool { return !strings.Contains(others, name[:1]) })
		if own < 0 {
			return
		}
		for i := range own {
			p.nth(`.leaf [rel="next"]`, i)
			p.do(p.touch(1))
		}
		p.fill("Found: the tail was there", "", names[own])
		if slices.Contains(patched, names[own]) {
			p.fill("This hole needs filling", "", names[own])
		}
		p.press("Save " + names[own])
	}
}
