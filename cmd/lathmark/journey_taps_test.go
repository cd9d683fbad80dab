package main

import (
	"fmt"
	"regexp"
	"strconv"
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// mostTaps is what the second, third, tenth measurement of a room may take, besides the
// digits.
const mostTaps = 4

// bareRoom returns a room with a number of downlights that nobody has measured yet.
func (b *building) bareRoom(t *testing.T, tails int) string {
	t.Helper()
	ctx := t.Context()
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	j, err := b.Job.Create(ctx, b.Foreman, job.Job{Name: fmt.Sprintf("Ferry House %d", tails)})
	must(err)
	r, err := b.Desk.Create(ctx, b.Foreman, room.Draft{Job: j.ID, Name: "Utility", Height: 2400,
		Outline:  []roomsheet.Point{{0, 0}, {3600, 0}, {3600, 2400}, {0, 2400}},
		Surfaces: []room.SurfaceDraft{{Kind: "ceiling"}}})
	must(err)
	ceiling := r.Record.Surfaces[0].ID
	plan := deed.Plan{Surface: ceiling, Layers: []firm.Layer{{Name: "board", Thickness: 25, Stage: words.Boarding},
		{Name: "skim", Thickness: 3, Stage: words.Plaster}}}
	for _, d := range r.Record.Datums {
		plan.Datums = append(plan.Datums, d.ID)
	}
	_, err = b.Desk.Do(ctx, b.Foreman, r.Record.ID, plan)
	must(err)
	var all []room.PositionDraft
	for i := range tails {
		all = append(all, room.PositionDraft{Name: fmt.Sprintf("D%d", i+1), Kind: "downlight", Cutout: 76})
	}
	_, err = b.Desk.Do(ctx, b.Foreman, r.Record.ID, deed.Schedule{Surface: ceiling, Positions: all})
	must(err)
	return "/rooms/" + r.Record.ID.String()
}

// take enters one reading on the form as it stands and returns the taps it took: the pads
// that are not pressed already, the field, the button.
func (p *phone) take(position, datum, value string) (taps int) {
	p.t.Helper()
	taps += p.pad(position)
	taps += p.pad(datum)
	taps += p.figure(value)
	p.saves("Save")
	taps++
	p.sees(position+" "+value+" from "+datum, "by tape")
	return taps
}

// figure types a reading, and touches the field first where it is not typed into already.
func (p *phone) figure(value string) (taps int) {
	p.t.Helper()
	p.must("label", "Reading", "")
	if !eval[bool](p, `document.activeElement.name === "value"`) {
		p.do(p.touch(1))
		taps++
	}
	p.write(value)
	return taps
}

// goes is what the bar at the foot says that the figure goes to.
var goes = regexp.MustCompile(`^Reading: D(\d+) from (\w+) wall, bare$`)

// goesTo is that for a tail of any name.
var goesTo = regexp.MustCompile(`^Reading: (\S+) from (\w+) wall, bare$`)

// Eleven positions with four readings each, with signal and without: the form moves on by
// itself, and a reading takes one touch, the button's. No page is loaded in between.
func TestFortyFourReadingsTakeATapEach(t *testing.T) {
	b := build(t)
	const tails = 11
	signal, url := newLine(t, b.url)
	b.url = url
	spark := b.as(t, b.Electrician)
	for _, offline := range []bool{false, true} {
		at := b.bareRoom(t, tails)
		if offline {
			spark.takesAlong()
			spark.without(signal)
		}
		spark.open(at + "/measure")
		spark.comesTo(`document.querySelector(".goes").textContent !== ""`)
		eval[bool](spark, "window.stays = true")
		taps := 0
		for i := range 4 * tails {
			says := eval[string](spark, `(document.querySelector(".thumb label") || {}).textContent || ""`)
			to := goes.FindStringSubmatch(says)
			if to == nil {
				t.Fatalf("%s: reading %d, without signal %v, goes to %q: %.1500s", spark.at(), i+1, offline, says, spark.text())
			}
			n, _ := strconv.Atoi(to[1])
			u, v := 300+200*n, 200+150*n
			figure := map[string]int{"south": v, "north": 2400 - v, "west": u, "east": 3600 - u}[to[2]]
			taps += spark.figure(strconv.Itoa(figure)) + 1
			spark.saves("Save for D" + to[1])
		}
		t.Logf("%d readings, without signal %v: %d taps", 4*tails, offline, taps)
		if taps > 4*tails+1 {
			t.Errorf("they took %d taps", taps)
		}
		if !eval[bool](spark, "window.stays === true") {
			t.Errorf("a page was loaded in between")
		}
		if !offline {
			spark.sees("Every position is measured")
		}
	}
	spark.with(signal)
	spark.comesTo(`!document.querySelector("main").textContent.includes("not yet sent")`)
	spark.open(eval[string](spark, "location.pathname"))
	spark.sees("Every position is measured")
}

// Ten readings of one room, whether somebody goes round the walls tail by tail, along one
// wall after the other, or measures now here and now there.
func TestAReadingTakesFourTaps(t *testing.T) {
	b := build(t)
	spark := b.as(t, b.Electrician)
	for name, order := range map[string]func(i int) (tail int, wall string){
		"tail by tail": func(i int) (int, string) { return i / 2, walls[i%2] },
		"wall by wall": func(i int) (int, string) { return i % 5, walls[i/5] },
		"here, there":  func(i int) (int, string) { return i * 3 % 5, walls[(i/5+i%5)%2] },
	} {
		at := b.bareRoom(t, 5)
		spark.open(at + "/measure")
		most, sum := 0, 0
		for i := range 10 {
			tail, wall := order(i)
			taps := spark.take(fmt.Sprintf("D%d", tail+1), wall+", bare", fmt.Sprint(400+100*i))
			if i > 0 {
				most, sum = max(most, taps), sum+taps
			}
			if i > 0 && taps > mostTaps {
				t.Errorf("%s: reading %d took %d taps", name, i+1, taps)
			}
		}
		t.Logf("%s: the second to the tenth reading took at most %d taps, %.1f on average", name, most, float64(sum)/9)
	}
}
