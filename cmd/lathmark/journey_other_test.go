package main

import (
	"bytes"
	"math"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"lathmark/cmd/lathmark/scenario"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/migrations"
	"lathmark/persistence"
	"lathmark/persistence/pgtest"
	"lathmark/server/auth"
	"lathmark/server/page"
	"lathmark/web"
)

// measured makes a room with one position that two trades could sign off: four good
// offsets, and a build-up on every wall. It gives the room's address.
func (b *building) measured(t *testing.T) (at string, r *room.Judged) {
	t.Helper()
	ctx := t.Context()
	j, err := b.Job.Create(ctx, b.Foreman, job.Job{Name: "Ferry House"})
	if err != nil {
		t.Fatal(err)
	}
	r, err = b.Room.Create(ctx, b.Foreman, room.Draft{Job: j.ID, Name: "Utility", Height: 2400,
		Outline: []roomsheet.Point{{0, 0}, {3600, 0}, {3600, 2400}, {0, 2400}}, Surfaces: []room.SurfaceDraft{{Kind: "ceiling"}}})
	if err != nil {
		t.Fatal(err)
	}
	of, ceiling := r.Record.ID, r.Record.Surfaces[0].ID
	plan := room.Plan{Surface: ceiling, Layers: []firm.Layer{{Name: "board", Thickness: 25, Stage: gate.Boarding}, {Name: "skim", Thickness: 3, Stage: gate.Plaster}}}
	for _, d := range r.Record.Datums {
		plan.Datums = append(plan.Datums, d.ID)
	}
	if _, err = b.Room.PlanBuildUp(ctx, b.Foreman, of, plan); err != nil {
		t.Fatal(err)
	}
	if r, err = b.Room.Schedule(ctx, b.Foreman, of, ceiling, []room.PositionDraft{{Name: "D1", Kind: "downlight", Cutout: 76}}); err != nil {
		t.Fatal(err)
	}
	for name, value := range map[string]float64{"south wall": 1000, "north wall": 1401, "west wall": 1100, "east wall": 2499} {
		v, err := b.Room.Measure(ctx, b.Electrician, of, room.Reading{Kind: gate.Offset, Of: r.Record.Positions[0].ID, From: datumOf(t, r, name),
			State: "bare", Value: value})
		if err != nil {
			t.Fatal(err)
		}
		r = v.Judged
	}
	return "/rooms/" + of.String(), r
}

func datumOf(t *testing.T, r *room.Judged, name string) id.Datum {
	t.Helper()
	for _, d := range r.Record.Datums {
		if d.Name == name {
			return d.ID
		}
	}
	t.Fatalf("there is no %s", name)
	return id.Datum{}
}

// A sign-off is refused and says why, is mended, and goes through. The foreman's page is
// from before the electrician struck a reading out, so that its button is still there.
func TestJourneyRefusedAndMended(t *testing.T) {
	b := build(t)
	at, r := b.measured(t)
	foreman, spark := b.as(t, b.Foreman), b.as(t, b.Electrician)
	spark.offer(at, "first fix")
	foreman.open(at + "/gates/first-fix")
	foreman.reasons()
	if _, err := b.Room.Strike(t.Context(), b.Electrician, r.Record.ID, r.Record.Measurements[0].ID, 0, "read off the wrong wall"); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Room.Strike(t.Context(), b.Electrician, r.Record.ID, opposite(t, r), 0, "read off the wrong wall"); err != nil {
		t.Fatal(err)
	}
	foreman.press("Sign off first fix")
	if foreman.status != 422 {
		t.Errorf("the sign-off was answered with %d", foreman.status)
	}
	foreman.sees("First fix in the utility stays open", "D1", "Measure it from")
	foreman.open(at + "/gates/first-fix")
	foreman.sees("What keeps it open", "The way out")
	if foreman.offers("Sign off first fix") {
		t.Error("it could be signed off all the same")
	}
	for wall, value := range map[string]string{"south wall": "1000", "north wall": "1401", "west wall": "1100", "east wall": "2499"} {
		spark.offset(at, "D1", wall+", bare", value)
	}
	foreman.signOff(at, "first fix")
	if got := b.read(t, r.Record.ID).Record.Gates[gate.FirstFix]; got.State != gate.SignedOff {
		t.Errorf("first fix is %s", got.State)
	}
}

// opposite gives the reading from the wall that faces the first one's.
func opposite(t *testing.T, r *room.Judged) id.Measurement {
	t.Helper()
	facing := map[string]string{"south wall": "north wall", "north wall": "south wall", "west wall": "east wall", "east wall": "west wall"}
	first, err := r.Record.Datum(r.Record.Measurements[0].From)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range r.Record.Measurements {
		if m.From == datumOf(t, r, facing[first.Name]) {
			return m.ID
		}
	}
	t.Fatal("the room is not measured")
	return id.Measurement{}
}

func (b *building) read(t *testing.T, of id.Room) *room.Judged {
	t.Helper()
	r, err := b.Room.Read(t.Context(), b.Foreman, of)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The set-out sheet shows the offsets that the geometry gives for a room sheet as the
// walls are then: bare, boarded, skimmed.
func TestJourneyCorrectedOffsets(t *testing.T) {
	text, err := os.ReadFile("../../testdata/rooms/kitchen.json")
	if err != nil {
		t.Fatal(err)
	}
	b := build(t)
	j, err := b.Job.Create(t.Context(), b.Foreman, job.Job{Name: "Ferry House"})
	if err != nil {
		t.Fatal(err)
	}
	foreman := b.as(t, b.Foreman)
	marks := map[string][]marked{}
	for _, state := range []struct{ layer, says string }{{"bare", "bare"}, {"board", "boarded"}, {"skim", "skimmed"}} {
		sheet, err := roomsheet.Read(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		sheet.Room = "Kitchen, " + state.says
		for i := range sheet.Surfaces {
			sheet.Surfaces[i].Now = state.layer
			for k := range sheet.Surfaces[i].Datums {
				if len(sheet.Surfaces[i].Datums[k].Layers) > 0 {
					sheet.Surfaces[i].Datums[k].Now = state.layer
				}
			}
		}
		var pasted bytes.Buffer
		if err := sheet.Write(&pasted); err != nil {
			t.Fatal(err)
		}
		foreman.open("/jobs/" + j.ID.String() + "/rooms/import")
		foreman.must("label", "The room sheet", "")
		foreman.paste(pasted.String())
		foreman.press("Take the room in")
		foreman.sees("Kitchen, " + state.says)
		at, _, _ := strings.Cut(foreman.at(), "?")
		foreman.open(at + "/set-out")
		rows := eval[[]string](foreman, `[...document.querySelectorAll(".hole")].map(e => e.textContent.replace(/\s+/g, " ").trim())`)

		solved := sheet.Solve()[0]
		holes := 0
		for i, p := range solved.Answer.Positions {
			name := sheet.Surfaces[0].Positions[i].ID
			if p.Mark == nil {
				continue
			}
			holes++
			row := ""
			for _, r := range rows {
				if strings.HasPrefix(r, name) && strings.HasPrefix(strings.TrimLeft(r[len(name):], "0123456789"), r[len(name):]) || strings.HasPrefix(r, "Open "+name+" first") {
					row = r
				}
			}
			for k, datum := range p.Mark.From {
				d := sheet.Surfaces[0].Datums[datum]
				want := web.MM(p.Plan.Offsets[k]) + " from " + d.ID
				if d.Kind == "face" {
					want += " wall, " + state.says
				}
				if !strings.Contains(row, want) {
					t.Errorf("%s, %s: the page does not say %q: %s", state.says, name, want, row)
				}
				if d.Kind == "face" && p.Plan.Move == (geometry.Vec{}) {
					mark := name + " from the " + d.ID + " wall"
					marks[mark] = append(marks[mark], marked{state.layer, p.Plan.Offsets[k], d.Layers})
				}
			}
		}
		if holes < 10 || len(rows) != holes {
			t.Errorf("%s: %d holes on the page, the geometry has %d", state.says, len(rows), holes)
		}
	}
	// Where a hole is marked from the same wall in two states, the offset shrinks by what came
	// on between them: as planned, to within what the readings teach of it.
	compared := 0
	for mark, in := range marks {
		for _, later := range in[1:] {
			want := later.planned() - in[0].planned()
			compared++
			if got := in[0].offset - later.offset; math.Abs(got-want) > 12 {
				t.Errorf("%s: from %s to %s the offset shrinks by %.1f, %.1f mm are planned", mark, in[0].state, later.state, got, want)
			}
		}
	}
	if compared < 5 {
		t.Errorf("%d holes only are marked from the same wall in two states", compared)
	}
}

// marked is an offset that a hole is marked by, with the wall's state and its layers.
type marked struct {
	state  string
	offset float64
	layers []roomsheet.Layer
}

// planned is the thickness that is planned up to the state, mm.
func (m marked) planned() float64 {
	sum := 0.0
	for _, l := range m.layers {
		if m.state == roomsheet.Bare {
			break
		}
		sum += l.Thickness
		if l.ID == m.state {
			break
		}
	}
	return sum
}

// Pressing twice, going back, and nonsense: what was typed stays, and one reading is one row.
func TestJourneyTwiceBackAndNonsense(t *testing.T) {
	b := build(t)
	at, r := b.measured(t)
	spark := b.as(t, b.Electrician)
	count := func() int { return len(b.read(t, r.Record.ID).Record.Measurements) }
	before := count()

	spark.open(at + "/measure")
	spark.fill("Position", "D1", "")
	spark.fill("From which datum", "north wall, boarded", "")
	spark.fill("Reading", "1375", "")
	spark.twice("Put on record")
	if got := count(); got != before+1 {
		t.Errorf("pressing twice made %d rows", got-before)
	}
	spark.sees("1375 from north wall, boarded")
	spark.back()
	if got := spark.typed("Reading"); got != "1375" {
		t.Errorf("after going back the reading is %q", got)
	}
	spark.press("Put on record")
	if got := count(); got != before+1 {
		t.Errorf("pressing once more after going back made %d rows", got-before)
	}
	// Another reading written on the same page is another one.
	spark.back()
	spark.fill("Reading", "1376", "")
	spark.press("Put on record")
	if got := count(); got != before+2 {
		t.Errorf("another reading on the page gone back to made %d rows", got-before)
	}

	spark.open(at + "/measure")
	spark.fill("Position", "D1", "")
	spark.fill("From which datum", "north wall, boarded", "")
	spark.fill("Reading", "13o5", "")
	spark.press("Put on record")
	spark.sees("13o5", "is no figure")
	if spark.status != 400 {
		t.Errorf("nonsense was answered with %d", spark.status)
	}
	if got := spark.typed("Reading"); got != "13o5" {
		t.Errorf("of the reading is left %q", got)
	}
	if got := eval[string](spark, `document.querySelector("select[name=datum]").selectedOptions[0].textContent`); got != "north wall, boarded" {
		t.Errorf("of the datum is left %q", got)
	}
	if got := count(); got != before+2 {
		t.Errorf("nonsense made %d rows", got-before-2)
	}
}

// The client sees how it goes: stages, days, and what is his to decide. No name of anybody
// of the firm, no measurement, no mistake.
func TestJourneyTheClientsView(t *testing.T) {
	d := pgtest.Migrated(t)
	db, err := persistence.Open(t.Context(), d.URL(migrations.Server))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(db.Close)
	made, err := scenario.Make(t.Context(), db, time.Now())
	if err != nil {
		t.Fatal(err)
	}
	all := persistence.NewServices(db, time.Now)
	url := serving(t, page.Services{Firm: all.Firm, Job: all.Job, Room: all.Room, Stage: all.Stage, Diary: all.Diary, Now: time.Now}, auth.Links{})
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
		client.lacks(" mm", "±", "obstacle", "not found", "on timber", "suspect", "does not fit", "Snag", "snag", "scratch", "patch", "no record", "misread", "D1", "reopened")
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
	client.sees("Waiting for you", "Kitchen, the fan", "You have not chosen the fan", "This room is finished", "Not before")
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
