package server_test

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
	"lathmark/web"
)

// lines returns how many entries a job's diary has.
func (w *world) lines(t *testing.T, of string) int64 {
	t.Helper()
	parsed, err := id.Parse[id.Job](of)
	if err != nil {
		t.Fatal(err)
	}
	j, err := w.Job.Job(t.Context(), w.Foreman, parsed)
	if err != nil {
		t.Fatal(err)
	}
	return j.Seq
}

// A foreman closes a job: the page says what is open and asks; then it is on no
// list, can be found and read, and is opened again.
func TestAJobIsClosedAndOpenedAgain(t *testing.T) {
	s := newShell(t)
	at, foreman, electrician := web.Place{Job: s.r.Record.Job.String()}, s.as(t, s.Foreman), s.as(t, s.Electrician)
	foreman.post(s.room.Snags(), "what", "a nail stands out")
	has(t, foreman.get(at.JobPage()), at.CloseJob(), at.Rename())
	page := foreman.get(at.CloseJob())
	has(t, page, "1 room still to finish", "first fix is in hand", "a snag is open: a nail stands out")
	electrician.refused(http.StatusForbidden, at.CloseJob(), "anyway", "yes")
	has(t, foreman.refused(http.StatusUnprocessableEntity, at.CloseJob()), "something is not finished",
		"first fix is in hand")
	has(t, foreman.get(foreman.post(at.CloseJob(), "anyway", "yes")), "The job is closed. Use search to find it.",
		"This job was closed on", "Reopen the job", "Utility")
	for path, v := range map[string]visitor{"/": foreman, "/tasks": electrician, "/visits": foreman,
		"/ready": electrician} {
		if html := v.get(path); strings.Contains(html, "Orchard Row") {
			t.Errorf("%s names the closed job", path)
		}
	}
	for path := range foreman.takes() {
		if strings.HasPrefix(path, "/rooms/") {
			t.Errorf("the copy has %s", path)
		}
	}
	// Read as before, and with nothing to fill in.
	for _, path := range []string{at.JobPage(), at.Diary(), at.Team(), s.room.RoomPage(), s.room.Schedule(),
		s.room.Tails(),
		s.room.Photos(), s.room.AsBuilt(), s.room.SetOut(), s.room.Holes(), s.room.Patches(), s.room.Snags(),
		s.room.Gate("first-fix")} {
		html := foreman.get(path)
		if path == at.Team() {
			continue // whoever may read it
		}
		has(t, html, "This job was closed on", "Reopen the job")
		_, body, _ := strings.Cut(html, `<fieldset class="shut" disabled="disabled">`)
		end := strings.LastIndex(body, "</fieldset>")
		if end < 0 || strings.Contains(body[end:], "<form") || strings.Contains(html, `<a class="act"`) {
			t.Errorf("%s can be filled in", path)
		}
	}
	if html := electrician.get(s.room.RoomPage()); strings.Contains(html, "Reopen the job") ||
		strings.Contains(html, s.room.Measure()) {
		t.Error("the electrician is led to what cannot be done")
	}
	has(t, foreman.get("/search?q=orchard"), "14 Orchard Row", "closed")
	has(t, foreman.refused(http.StatusUnprocessableEntity, s.room.Snags(), "what", "a dent"),
		"14 Orchard Row is closed. Reopen it first.")
	electrician.refused(http.StatusForbidden, at.ReopenJob())
	has(t, foreman.get(foreman.post(at.ReopenJob())), "The job is open again.", "Close the job")
	has(t, foreman.get(at.Diary()), "14 Orchard Row was closed. Still open: Utility", "14 Orchard Row is open again.")
	has(t, foreman.get("/"), "14 Orchard Row")
}

// No form is accepted in a closed job, however it is sent, except those that
// write nothing to it.
func TestNoFormIsTakenInAClosedJob(t *testing.T) {
	w := newWorld(t)
	x := newSubject(t, w, "Mill Loft")
	at, v := web.Place{Job: x.ids["job"]}, w.as(t, w.Foreman)
	v.post(at.CloseJob(), "anyway", "yes")
	full := fields("name", "Hall", "height", "2400", "shape", "corners", "corners", "0 0\n900 0\n900 900", "kind", "floor",
		"what", "a dent", "reason", "so it is", "value", "600", "position", x.ids["position"], "datum",
		x.ids["datum"]+"|bare",
		"by", "tape", "outcome", "found", "surface", x.ids["surface"], "lines", "D7", "date", "2026-03-02", "seen",
		x.ids["position"], "anyway", "yes", "address", "x", "says", "x", "on", "surface/"+x.ids["surface"])
	before, was := w.lines(t, at.Job), w.read(t, x.ids["room"]).Record.Revision
	apart := []string{"POST /jobs/:job/team", "POST /jobs/:job/invite", "POST /jobs/:job/reopen", "POST /jobs/:job/close",
		"POST /jobs/:job/team/:member/off", "POST /jobs/:job/invite/:invitation/take-back",
		"POST /jobs/:job/progress-link/end"}
	refused := 0
	for _, route := range routes(w) {
		if !strings.HasPrefix(route, "POST /jobs/:job") && !strings.HasPrefix(route, "POST /rooms/") ||
			slices.Contains(apart, route) {
			continue
		}
		_, pattern, _ := strings.Cut(route, " ")
		r := v.do(http.MethodPost, x.path(t, pattern), full)
		// what changes nothing is accepted
		if r.StatusCode != http.StatusSeeOther && r.StatusCode < 400 || r.StatusCode >= 500 {
			t.Errorf("%s answers %d", route, r.StatusCode)
		}
		if strings.Contains(textOf(r.body), "is closed. Reopen it first.") {
			refused++
		}
	}
	if refused < 20 {
		t.Errorf("only %d forms were refused for what they are", refused)
	}
	if after, is := w.lines(t, at.Job), w.read(t, x.ids["room"]).Record.Revision; after != before || is != was {
		t.Errorf("the diary grew by %d, the room by %d", after-before, is-was)
	}
}

// What a phone sends to a closed job is refused by name, and can be sent again.
func TestActsOfAClosedJob(t *testing.T) {
	s := newShell(t)
	early, late := s.reading(0, "south wall", "600"), s.reading(1, "south wall", "600")
	s.sent(s.Electrician, "kept", early)
	foreman, at := s.as(t, s.Foreman), web.Place{Job: s.r.Record.Job.String()}
	foreman.post(at.CloseJob(), "anyway", "yes")
	if a := s.sent(s.Electrician, "kept refused", early,
		late); a[1].Says != "14 Orchard Row is closed. Reopen it first." {
		t.Errorf("%+v", a)
	}
	foreman.post(at.ReopenJob())
	s.sent(s.Electrician, "kept kept", early, late)
}

// A job and a room are renamed; of two who do it at once the second sees both
// names.
func TestRenaming(t *testing.T) {
	s := newShell(t)
	v := s.as(t, s.Foreman)
	at := web.Place{Job: s.r.Record.Job.String()}
	for _, c := range []struct{ path, says string }{{at.Rename(), "Work is recorded in its diary"},
		{s.room.Rename(), "Nothing is recorded in it."}} {
		page := v.get(c.path)
		has(t, page, c.says)
		token := tokenOf(t, page)
		has(t, v.refused(http.StatusBadRequest, c.path, "token", token, "name", " "), "the name is missing or too long")
		has(t, v.get(v.post(c.path, "token", token, "name", "Wäscheküche", "address", "Over Appleby")),
			"Saved.", "Wäscheküche")
		has(t, s.as(t, s.Owner).refused(http.StatusConflict, c.path, "token", token, "name", "Scullery"), "Two records",
			"Wäscheküche", "Scullery")
	}
	has(t, v.get(at.Diary()), "14 Orchard Row is now called Wäscheküche. The address of Wäscheküche is Over Appleby.",
		"Utility is now called Wäscheküche.")
}

// A room and a job that were opened by mistake are removed; records prevent it,
// and the page says so beforehand.
func TestRemoving(t *testing.T) {
	s := newShell(t)
	v := s.as(t, s.Foreman)
	at := web.Place{Job: s.r.Record.Job.String()}
	hall, err := s.Desk.Create(t.Context(), s.Foreman, room.Draft{Job: s.r.Record.Job, Name: "Hall", Height: 2400,
		Outline: []roomsheet.Point{{0, 0}, {3600, 0}, {3600, 2400}}})
	if err != nil {
		t.Fatal(err)
	}
	there := web.Place{Room: hall.Record.ID.String()}
	has(t, v.get(there.Rename()), there.Remove())
	s.as(t, s.Electrician).refused(http.StatusForbidden, there.Remove())
	to := v.post(there.Remove())
	if !strings.HasPrefix(to, at.JobPage()) {
		t.Errorf("it leads to %s", to)
	}
	has(t, v.get(to), "The room is removed. Its lines stay in the diary.")
	v.refused(http.StatusNotFound, there.Remove())
	has(t, v.get(at.Diary()), "Hall was removed: nothing was recorded in it.")
	if _, err := s.Desk.Verdict(t.Context(), s.Electrician, s.r.Record.ID,
		deed.Measure{Reading: room.Reading{Kind: words.Offset,
			Of: s.r.Record.Positions[0].ID, From: s.r.Record.Datums[0].ID, State: "bare", Value: 600}}); err != nil {
		t.Fatal(err)
	}
	page := v.get(s.room.Rename())
	has(t, page, "1 reading is recorded.", "What is recorded stays, and so does the room.")
	if strings.Contains(page, s.room.Remove()) {
		t.Error("the page offers what is refused")
	}
	has(t, v.refused(http.StatusUnprocessableEntity, s.room.Remove()), "Utility cannot be removed.",
		"1 reading is recorded")
	has(t, v.refused(http.StatusUnprocessableEntity, at.Remove()), "14 Orchard Row cannot be removed.")
	j, err := s.Job.Create(t.Context(), s.Foreman, job.Job{Name: "Mill Lfot"})
	if err != nil {
		t.Fatal(err)
	}
	empty := web.Place{Job: j.ID.String()}
	has(t, v.get(empty.Rename()), empty.Remove(), "its diary, which says only that it began")
	has(t, v.get(v.post(empty.Remove())), "The job is removed.")
	if r := v.do(http.MethodGet, empty.JobPage(), nil); r.StatusCode != http.StatusNotFound {
		t.Errorf("the removed job answers %d", r.StatusCode)
	}
}

// The search page: empty with a hint, with results, and with too long a search.
func TestTheSearchPage(t *testing.T) {
	s := newShell(t)
	v := s.as(t, s.Electrician)
	has(t, v.get(web.SearchPath), "Search covers open and closed jobs")
	has(t, v.get(web.SearchPath+"?q=nowhere"), "Nothing found under that name")
	page := v.get(web.SearchPath + "?q=%20d1%20")
	has(t, page, `value="d1"`, "D1", "Utility, 14 Orchard Row")
	if !strings.Contains(page, `href="`+s.room.RoomPage()+"#row-"+s.r.Record.Surfaces[0].ID.String()+"-position-D1\"") {
		t.Errorf("it does not lead to the line of D1: %s", page)
	}
	has(t, v.get(web.SearchPath+"?q=util"), "1 thing found")
	if r := v.do(http.MethodGet, web.SearchPath+"?q="+strings.Repeat("x", 121),
		nil); r.StatusCode != http.StatusBadRequest {
		t.Errorf("too much answers %d", r.StatusCode)
	}
	has(t, v.get(web.TasksPath), `href="/search"`)
	has(t, s.as(t, s.Foreman).get(web.Home), `href="/search"`)
}
