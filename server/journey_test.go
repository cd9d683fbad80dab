package server_test

import (
	"html"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
)

// A room from an empty job to the last hole, by four people, through the pages
// only. Every refusal on the way says what is missing.
func TestRoomFromScheduleToDecoration(t *testing.T) {
	w := newWorld(t)
	foreman, spark, boards, plaster, paint := w.as(t, w.Foreman), w.as(t, w.Electrician), w.as(t, w.DryLiner), w.as(t,
		w.Plasterer), w.as(t, w.Decorator)

	has(t, foreman.get("/"), "No jobs yet")
	job := foreman.post("/jobs/new", "name", "14 Orchard Row", "address", "Nether Appleby")
	has(t, foreman.get(job), "14 Orchard Row", "The job is added.")
	jobAt := "/jobs/" + after(t, job, "/jobs/")
	room := foreman.post(jobAt+"/rooms/new", "name", "Utility", "height", "2400", "shape", "walls", "walls",
		"3600 left\n2400 left\n3600 left\n2400 left")
	at := "/rooms/" + after(t, room, "/rooms/")
	ids := w.called(t, after(t, room, "/rooms/"))
	has(t, foreman.get(at), "Ceiling", "south wall")

	foreman.post("/build-ups", "name", "Brick, dabs, skim", "layers", "board 25 boarding\nskim 3 plaster")
	for _, side := range []string{"south", "west", "north", "east"} {
		foreman.post(at+"/datums/"+ids[face(t, ids, side)]+"/build-up", "layers", "board 25 boarding\nskim 3 plaster")
	}
	foreman.post(at+"/surfaces/"+ids["ceiling"]+"/timbers", "shape", "spaced", "face", ids[face(t, ids, "west")], "first",
		"400", "spacing", "600", "name", "J1", "width", "47", "depth", "195")
	foreman.post(at+"/schedule/spaced", "spaced_surface", ids["ceiling"], "spaced_kind", "downlight", "rows", "1",
		"columns", "2", "prefix", "D", "spaced_cut_out", "76")
	has(t, foreman.get(at+"/schedule"), "D1", "D2")
	ids = w.called(t, after(t, room, "/rooms/"))

	has(t, spark.get("/tasks"), "Utility", "Measure D1")
	has(t, spark.refused(http.StatusBadRequest, at+"/measure", "kind", "offset", "position", ids["D1"], "value", "6oo"),
		"6oo", "was read as 6 and letters", "from what it was measured")
	offset := func(of, side, value string) string {
		t.Helper()
		return spark.get(spark.post(at+"/measure", "kind", "offset", "position", ids[of], "datum",
			ids[face(t, ids, side)]+"|bare", "value", value, "by", "tape"))
	}
	has(t, offset("D1", "south", "1200"), "no place yet", "Still to do")
	has(t, offset("D1", "west", "900"), "not checked", "900 from west wall, bare")
	offset("D1", "north", "1201")
	has(t, offset("D1", "east", "2699"), "checked")
	spark.post(at + "/sign-offs/first-fix/offer")
	page := foreman.refused(http.StatusUnprocessableEntity, at+"/sign-offs/first-fix/sign-off",
		w.revision(t, at)...)
	has(t, page, "D2", "cannot be signed off", "To fix it", "Measure it")
	for _, m := range [][2]string{{"south", "1199"}, {"west", "2700"}, {"north", "1202"}, {"east", "900"}} {
		offset("D2", m[0], m[1])
	}
	sign(t, foreman, at, "first-fix")
	has(t, spark.refused(http.StatusForbidden, at+"/sign-offs/boarding/sign-off"), "Only the foreman")

	has(t, boards.get("/ready"), "Utility", "boarding")
	boards.post(at + "/sign-offs/boarding/offer")
	has(t, foreman.refused(http.StatusUnprocessableEntity, at+"/sign-offs/boarding/sign-off",
		w.revision(t, at)...), "tail")
	boards.post(at+"/tails", "seen", ids["D1"], "seen", ids["D2"])
	for _, side := range []string{"south", "west", "north", "east"} {
		boards.post(at+"/as-built", "stage", "boarding", "t."+ids["board on "+ids[face(t, ids, side)]], "27")
	}
	has(t, boards.get(at+"/as-built"), "on record")
	sign(t, foreman, at, "boarding")

	for _, side := range []string{"south", "west", "north", "east"} {
		plaster.post(at+"/as-built", "stage", "plaster", "t."+ids["skim on "+ids[face(t, ids, side)]], "3")
	}
	plaster.post(at + "/sign-offs/plaster/offer")
	has(t, foreman.refused(http.StatusUnprocessableEntity, at+"/sign-offs/plaster/sign-off",
		w.revision(t, at)...), "plaster")
	plaster.post(at+"/finished", "stage", "plaster", "date", w.Clock.Now().Format(time.DateOnly))
	sign(t, foreman, at, "plaster")
	w.Clock.Pass(10 * 24 * time.Hour)

	sheet := spark.get(at + "/set-out")
	has(t, sheet, "first", "from south wall, skimmed", "prove it dead", "asbestos")
	for _, of := range []string{"D1", "D2"} {
		spark.post(at+"/positions/"+ids[of]+"/outcome", "outcome", "found", "off_a", "", "off_b", "")
	}
	spark.post(at + "/sign-offs/second-fix/offer")
	sign(t, foreman, at, "second-fix")
	foreman.post(at+"/snags", "what", "Scratch on the sill", "where", "by the window")
	paint.post(at + "/sign-offs/decoration/offer")
	has(t, foreman.refused(http.StatusUnprocessableEntity, at+"/sign-offs/decoration/sign-off",
		w.revision(t, at)...), "Scratch on the sill")
	snags := foreman.get(at + "/snags")
	_, rest, _ := strings.Cut(snags, at+"/snags/")
	snag, _, _ := strings.Cut(rest, "/")
	paint.post(at + "/snags/" + snag + "/done")
	has(t, foreman.get(at+"/snags"), "put right by "+w.Decorator.Name, "to be looked at")
	has(t, foreman.refused(http.StatusConflict, at+"/sign-offs/decoration/sign-off",
		w.revision(t, at)...), "nobody has looked at it")
	foreman.post(at + "/snags/" + snag + "/done")
	sign(t, foreman, at, "decoration")
	has(t, foreman.get("/"), "Finished")
	has(t, foreman.get(jobAt+"/diary"), "Bram Okafor", "Ines Carro", "Decoration in Utility was signed off")
}

func face(t *testing.T, ids map[string]string, side string) string {
	t.Helper()
	for _, name := range []string{side, side + " wall"} {
		if ids[name] != "" {
			return name
		}
	}
	t.Fatalf("no face to the %s among %v", side, ids)
	return ""
}

// sign signs a stage off with a reason for everything that needs one.
func sign(t *testing.T, v visitor, at, stage string) {
	t.Helper()
	page := v.get(at + "/sign-offs/" + stage)
	if !strings.Contains(page, `name="revision"`) { // something was mended since it was offered
		v.post(at + "/sign-offs/" + stage + "/offer")
		page = v.get(at + "/sign-offs/" + stage)
	}
	pairs := hidden(page)
	for _, part := range strings.Split(page, `name="reason.`)[1:] {
		field, _, _ := strings.Cut(part, `"`)
		pairs = append(pairs, "reason."+field, "Seen on site, and agreed.")
	}
	v.post(at+"/sign-offs/"+stage+"/sign-off", pairs...)
}

// revision is what says of a sign-off that the room was seen as it is.
func (w *world) revision(t *testing.T, at string) []string {
	t.Helper()
	return []string{"revision", strconv.FormatInt(w.read(t, after(t, at, "/rooms/")).Record.Revision, 10)}
}

var hiddenField = regexp.MustCompile(`name="(revision|words\.[^"]*)" value="([^"]*)"`)

func hidden(page string) (pairs []string) {
	for _, m := range hiddenField.FindAllStringSubmatch(page, -1) {
		pairs = append(pairs, m[1], html.UnescapeString(m[2]))
	}
	return pairs
}

// A hole that meets a timber: the patch it owes, the new position in its place,
// and first fix open again until that one is measured.
func TestLostHole(t *testing.T) {
	w := newWorld(t)
	s := atSecondFix(t, w)
	spark, foreman := w.as(t, w.Electrician), w.as(t, w.Foreman)
	hole := s.path(t, "/rooms/:room/positions/:position/outcome")
	has(t, spark.refused(http.StatusBadRequest, hole, "outcome", "found", "new_name", "D1b"), "the hole is of use")
	lost := []string{"outcome", "on_timber", "note", "noggin nobody drew", "patch", "yes", "new_name", "D1b", "new_place",
		"1300 600", "reopen_asked", "yes"}
	has(t, spark.refused(http.StatusConflict, hole, lost...), "Adding D1b opens first fix again and everything after it")
	spark.post(hole, append(lost, "reopen", "yes")...)
	patches := spark.get(s.path(t, "/rooms/:room/patches"))
	has(t, patches, "D1", "on timber: noggin nobody drew", "open")
	of := after(t, patches, s.path(t, "/rooms/:room/patches/"))
	path := s.path(t, "/rooms/:room/patches/") + of
	spark.post(path + "/filled")
	has(t, spark.get(s.path(t, "/rooms/:room/patches")), "dry from Tue 3 Mar 2026", "Dry already")
	spark.post(path + "/dry")
	has(t, spark.get(s.path(t, "/rooms/:room/patches")), "; dry")
	page := foreman.get(s.path(t, "/rooms/:room/sign-offs/first-fix"))
	has(t, page, "in hand", "D1b")
	has(t, foreman.get(s.path(t, "/rooms/:room/sign-offs/second-fix")), "waits for plaster")
}

// atSecondFix returns a room whose only position is measured, boarded over and
// plastered, by the shortest way: every wall stays bare.
func atSecondFix(t *testing.T, w *world) subject {
	t.Helper()
	s := newSubject(t, w, "Mill Loft")
	plastered(t, w, s)
	return s
}

// plastered takes a subject's room from first fix to second fix.
func plastered(t *testing.T, w *world, s subject) {
	t.Helper()
	v := w.as(t, w.Foreman)
	at := s.path(t, "/rooms/:room")
	ids := w.called(t, s.ids["room"])
	for _, side := range []string{"south", "west"} {
		v.post(at+"/datums/"+ids[face(t, ids, side)]+"/build-up", "stays_bare", "yes", "layers", "")
	}
	v.post(at + "/sign-offs/first-fix/offer")
	sign(t, v, at, "first-fix")
	for _, q := range w.read(t, s.ids["room"]).Record.Positions {
		v.post(at+"/tails", "seen", q.ID.String())
	}
	v.post(at + "/sign-offs/boarding/offer")
	sign(t, v, at, "boarding")
	v.post(at+"/finished", "stage", "plaster", "date", w.Clock.Now().Format(time.DateOnly))
	v.post(at + "/sign-offs/plaster/offer")
	sign(t, v, at, "plaster")
}
