package server_test

import (
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"lathmark/domain/firm"
	"lathmark/domain/words"
)

// shownOnce finds an address that a page shows this once.
var shownOnce = regexp.MustCompile(`https?://[^<>" ]+/(comes/[\w.-]+|calendar/[\w.-]+/visits\.ics)`)

// secretOn returns the path of the private address that a page shows once.
func secretOn(t *testing.T, page string) string {
	t.Helper()
	got := shownOnce.FindStringSubmatch(page)
	if got == nil {
		t.Fatalf("no private address: %s", textOf(page))
	}
	return "/" + got[1]
}

// A programme from what is said on the pages: the chart shows it, a visit is moved after it
// was shown what that does, and is let go again.
func TestTheChartIsMadeAndMoved(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "Mill Loft")
	foreman := w.as(t, w.Foreman)
	if page := foreman.get("/programme"); !strings.Contains(page, "being worked out") {
		t.Errorf("before there is one: %s", textOf(page))
	}
	if _, _, err := w.Planner.Work(t.Context(), w.Foreman.Firm); err != nil {
		t.Fatal(err)
	}
	page := foreman.get("/programme")
	moves := regexp.MustCompile(`href="(/programme/move\?piece=[^"]+)" data-move="` + s.ids["room"] + `\|first_fix\|electrician"`).
		FindStringSubmatch(page)
	if moves == nil {
		t.Fatalf("no first fix can be moved: %s", textOf(page))
	}
	form := foreman.get(strings.ReplaceAll(moves[1], "&amp;", "&"))
	if !strings.Contains(form, "Which day should it begin?") || strings.Contains(form, "Keep it on") {
		t.Errorf("before a day is chosen: %s", textOf(form))
	}
	on := words.UTC.Day(w.Clock.Now()).AddDate(0, 0, 21)
	for on.Weekday() != 3 {
		on = on.AddDate(0, 0, 1)
	}
	tried := foreman.get(moves[1] + "&on=" + on.Format("2006-01-02"))
	if !strings.Contains(tried, "Keep it on "+words.ShortDay(on)) || !strings.Contains(tried, "Jobs then") {
		t.Errorf("a day that was chosen: %s", textOf(tried))
	}
	if none := foreman.get(moves[1] + "&on=tomorrow"); !strings.Contains(none, "is no day") {
		t.Errorf("a day that is none: %s", textOf(none))
	}
	piece := s.ids["room"] + "|first_fix|electrician"
	if to := foreman.post("/programme/move", "piece", piece, "on", on.Format("2006-01-02")); to != "/programme?done=pinned" {
		t.Errorf("kept, it leads to %s", to)
	}
	if pinned := foreman.get(moves[1]); !strings.Contains(pinned, "It is pinned to "+words.Date(on)) {
		t.Errorf("a pin is not shown: %s", textOf(pinned))
	}
	foreman.post("/programme/unpin", "piece", piece)
	if free := foreman.get(moves[1]); strings.Contains(free, "It is pinned") {
		t.Errorf("a pin that was taken out is shown: %s", textOf(free))
	}
}

// Whoever has a crew's link reads its weeks and says when it can't come, without an account;
// of other crews it says nothing, and it ends when the foreman says so.
func TestACrewsLink(t *testing.T) {
	w := newWorld(t)
	foreman, nobody := w.as(t, w.Foreman), w.as(t, firm.Person{})
	crew := foreman.post("/programme/crews", "name", "Castor & Co", "trade", "plasterer", "people", "2")
	crew, _, _ = strings.Cut(crew, "?")
	foreman.post("/programme/crews", "name", "Thorn Brothers", "trade", "joiner", "people", "1")
	link := secretOn(t, foreman.do(http.MethodPost, crew+"/link", fields()).body)
	page := nobody.get(link)
	if strings.Contains(page, "Thorn") || strings.Contains(page, "Sign out") {
		t.Errorf("the link's page names others: %s", textOf(page))
	}
	day := words.UTC.Day(w.Clock.Now()).AddDate(0, 0, 3).Format("2006-01-02")
	if to := nobody.post(link+"/away", "from", day, "to", day, "why", "unwell"); to != link+"?done=away" {
		t.Errorf("it leads to %s", to)
	}
	nobody.refused(http.StatusUnprocessableEntity, link+"/away", "from", day, "to", "soon")
	if page = foreman.get(crew); !strings.Contains(page, "unwell") {
		t.Errorf("the foreman does not see it: %s", textOf(page))
	}
	away := regexp.MustCompile(`name="away" value="([^"]+)"`).FindStringSubmatch(nobody.get(link))
	if away == nil {
		t.Fatal("it cannot be taken back")
	}
	nobody.post(link+"/back", "away", away[1])
	if page = nobody.get(link); strings.Contains(page, "unwell") {
		t.Errorf("what was taken back is there: %s", textOf(page))
	}
	foreman.post(crew + "/link/end")
	if got := nobody.do(http.MethodGet, link, nil); got.StatusCode != http.StatusNotFound {
		t.Errorf("a link that has ended answers %d", got.StatusCode)
	}
}

// ifNot asks for an address as somebody who has what a tag stands for.
func ifNot(w *world, address, tag string) reply {
	r := httptest.NewRequest(http.MethodGet, address, nil)
	r.Header.Set("If-None-Match", tag)
	got := httptest.NewRecorder()
	w.ServeHTTP(got, r)
	return reply{got.Code, got.Header(), got.Body.String()}
}

// A calendar's address: read by programs, with a tag, by nobody once it has ended, and no
// way to the pages of a crew.
func TestACalendarsAddress(t *testing.T) {
	w := newWorld(t)
	newSubject(t, w, "Mill Loft")
	electrician, nobody := w.as(t, w.Electrician), w.as(t, firm.Person{})
	address := secretOn(t, electrician.do(http.MethodPost, "/programme/calendar", fields()).body)
	if _, _, err := w.Planner.Work(t.Context(), w.Foreman.Firm); err != nil {
		t.Fatal(err)
	}
	got := nobody.do(http.MethodGet, address, nil)
	if got.StatusCode != http.StatusOK || !strings.HasPrefix(got.Header.Get("Content-Type"), "text/calendar") ||
		!strings.HasPrefix(got.body, "BEGIN:VCALENDAR\r\n") || got.Header.Get("Cache-Control") != "no-store" {
		t.Fatalf("%d %v\n%s", got.StatusCode, got.Header, got.body)
	}
	r := ifNot(w, address, got.Header.Get("ETag"))
	if r.StatusCode != http.StatusNotModified || r.body != "" {
		t.Errorf("with its tag it answers %d, %d bytes", r.StatusCode, len(r.body))
	}
	if r = nobody.do(http.MethodHead, address, nil); r.StatusCode != http.StatusOK || r.body != "" {
		t.Errorf("HEAD answers %d, %d bytes", r.StatusCode, len(r.body))
	}
	secret := strings.TrimSuffix(strings.TrimPrefix(address, "/calendar/"), "/visits.ics")
	if r = nobody.do(http.MethodGet, "/comes/"+secret, nil); r.StatusCode != http.StatusNotFound {
		t.Errorf("as a crew's link it answers %d", r.StatusCode)
	}
	electrician.post("/programme/calendar/end")
	if r = nobody.do(http.MethodGet, address, nil); r.StatusCode != http.StatusNotFound {
		t.Errorf("ended, it answers %d", r.StatusCode)
	}
}

// What the client is promised is on the client's page, with likely days, and nobody's names.
func TestTheClientReadsDays(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "Mill Loft")
	foreman, nobody := w.as(t, w.Foreman), w.as(t, firm.Person{})
	if _, _, err := w.Planner.Work(t.Context(), w.Foreman.Firm); err != nil {
		t.Fatal(err)
	}
	page := nobody.get("/progress/" + s.ids["link"])
	if !strings.Contains(page, "What you were promised") || !strings.Contains(page, "Likely days") {
		t.Errorf("the client reads: %s", textOf(page))
	}
	if strings.Contains(page, "Crew of") || strings.Contains(page, w.Electrician.Name) {
		t.Errorf("the client reads names: %s", textOf(page))
	}
	promises := "/jobs/" + s.ids["job"] + "/promises"
	to := words.UTC.Day(w.Clock.Now()).AddDate(0, 0, 40).Format("2006-01-02")
	foreman.refused(http.StatusUnprocessableEntity, promises+"/"+s.ids["promise"], "on", to, "why", "")
	foreman.post(promises+"/"+s.ids["promise"], "on", to, "why", "the boards came late")
	if page = foreman.get(promises); !strings.Contains(page, "the boards came late") {
		t.Errorf("the promises: %s", textOf(page))
	}
}
