package server_test

import (
	"compress/gzip"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"lathmark/domain/firm"
	"lathmark/server"
	"lathmark/web"
)

// line is one line of the copy as a phone reads it.
type line struct {
	Path, Type, Tag, Seq, Made string
	Body                       *string
	Pages                      *int
}

// takes fetches the copy, naming the tags of what is there already.
func (v visitor) takes(has ...string) map[string]line {
	v.t.Helper()
	r := httptest.NewRequest(http.MethodGet, web.CopyPath, nil)
	r.AddCookie(&http.Cookie{Name: "lathmark", Value: v.session})
	r.Header.Set("If-None-Match", strings.Join(has, ", "))
	w := httptest.NewRecorder()
	v.w.ServeHTTP(w, r)
	if w.Code != http.StatusOK || w.Header().Get("Content-Encoding") != "gzip" {
		v.t.Fatalf("the copy answers %d, %v", w.Code, w.Header())
	}
	text, err := gzip.NewReader(w.Body)
	if err != nil {
		v.t.Fatal(err)
	}
	out, lines := map[string]line{}, json.NewDecoder(text)
	for {
		var l line
		if err := lines.Decode(&l); errors.Is(err, io.EOF) {
			v.t.Fatal("the copy has no last line")
		} else if err != nil {
			v.t.Fatal(err)
		}
		if l.Pages != nil {
			if *l.Pages != len(out) {
				v.t.Errorf("%d pages are said to be there, %d are", *l.Pages, len(out))
			}
			return out
		}
		if _, twice := out[l.Path]; twice {
			v.t.Errorf("%s is there twice", l.Path)
		}
		out[l.Path] = l
	}
}

// A copy counts by the pages that it draws: who takes one after another is told to wait
// before as many are asked for as pages may be.
func TestACopyCountsByItsPages(t *testing.T) {
	w := newWorldWith(t, "http://127.0.0.1:8080", server.Rates{Session: server.Rate{Every: time.Hour, Burst: 20}})
	newSubject(t, w, "14 Orchard Row")
	v := w.as(t, w.Electrician)
	pages := len(v.takes())
	asked, status := 1, 0
	for ; asked < 20 && status != http.StatusTooManyRequests; asked++ {
		status = v.do(http.MethodGet, web.CopyPath, nil).StatusCode
	}
	if most := 2 + 20/(1+pages/5); asked > most {
		t.Errorf("%d copies of %d pages were taken, want %d at most", asked-1, pages, most-1)
	}
}

// The copy holds every page of a room in which a person has something to do, as
// the person would get it, including the forms of single readings and holes.
func TestCopyIsWhatOneCouldOpen(t *testing.T) {
	w := newWorld(t)
	first, second := newSubject(t, w, "14 Orchard Row"), atSecondFix(t, w)
	v := w.as(t, w.Electrician)
	all := v.takes()
	kept := initialled(t, w, w.Electrician)
	at := web.Place{Room: first.ids["room"]}
	for _, path := range []string{web.VisitsPath, web.TasksPath, at.RoomPage(), at.Measure(), at.Tails(), at.AsBuilt(),
		at.Finished(), at.SetOut(),
		at.Holes(), at.Schedule(), at.Patches(), at.Snags(), at.Photos(), at.Sums(), at.Gate("first-fix"),
		at.Reading(first.ids["reading"]),
		second.path(t, "/rooms/:room/positions/:position/outcome")} {
		if _, ok := all[path]; !ok {
			t.Errorf("%s is not in the copy", path)
		}
	}
	for path, l := range all {
		if path != web.TasksPath && path != web.VisitsPath && path != web.ReadyPath && !strings.HasPrefix(path, "/rooms/") {
			t.Errorf("%s is in the copy of a trade", path)
		}
		r := v.do(http.MethodGet, path, nil)
		if r.StatusCode != http.StatusOK || kept.Replace(textOf(r.body)) != textOf(*l.Body) ||
			l.Type != r.Header.Get("Content-Type") {
			t.Errorf("%s is not what one gets there: %d", path, r.StatusCode)
		}
		if isPage := strings.HasPrefix(l.Type, "text/html"); isPage &&
			(l.Made == "" || (l.Seq == "") == strings.HasPrefix(path, "/rooms/")) {
			t.Errorf("%s: made %q, diary %q", path, l.Made, l.Seq)
		}
	}
	if _, ok := w.as(t, w.Foreman).takes()[web.Home]; !ok {
		t.Error("the foreman's first page is not in the copy")
	}
}

// others are everybody of the firm but one.
func others(t *testing.T, w *world, but firm.Person) (out []firm.Member) {
	t.Helper()
	all, err := w.Firm.Members(t.Context(), w.Owner)
	if err != nil {
		t.Fatal(err)
	}
	return slices.DeleteFunc(all, func(m firm.Member) bool { return m.ID == but.ID })
}

// initialled turns the names of everybody else into initials.
func initialled(t *testing.T, w *world, but firm.Person) *strings.Replacer {
	t.Helper()
	var names []string
	for _, m := range others(t, w, but) {
		names = append(names, m.Name, m.Initials())
	}
	return strings.NewReplacer(names...)
}

// What a phone keeps names nobody else, and has no e-mail and no secret of a link, whoever keeps it.
func TestTheCopyHoldsNothingSensitive(t *testing.T) {
	w := newWorld(t)
	newSubject(t, w, "14 Orchard Row")
	atSecondFix(t, w)
	for _, p := range []firm.Person{w.Owner, w.Foreman, w.Electrician, w.DryLiner} {
		v, named := w.as(t, p), 0
		all := v.takes()
		for path, l := range all {
			for _, m := range others(t, w, p) {
				if strings.Contains(textOf(*l.Body), m.Name) || strings.Contains(*l.Body, m.Name) {
					t.Errorf("the copy of %s names %s: %s", p.Name, m.Name, path)
				}
				if strings.Contains(textOf(v.get(path)), m.Name) {
					named++
				}
			}
			if found := sensitive.FindString(*l.Body); found != "" {
				t.Errorf("the copy of %s has %q: %s", p.Name, found, path)
			}
		}
		if len(all) == 0 || named == 0 && (p == w.Foreman || p == w.Electrician) {
			t.Errorf("%s keeps %d pages, and %d names would be on them", p.Name, len(all), named)
		}
	}
}

// sensitive finds what no page may have that a phone keeps: an e-mail, a link with a secret, a cookie.
var sensitive = regexp.MustCompile(`[\w.]+@\w+\.\w+|/(?:in|invited|client|progress)/\w{20,}|\b[0-9a-f]{64}\b|mailto:`)

// What the phone has is not sent again, and what has changed is.
func TestCopyLeavesOutWhatIsThere(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	v := w.as(t, w.Electrician)
	all := v.takes()
	var tags []string
	for _, l := range all {
		tags = append(tags, `"`+l.Tag+`"`)
	}
	for path, l := range v.takes(tags...) {
		if l.Body != nil {
			t.Errorf("%s is sent again", path)
		}
	}
	snags := s.path(t, "/rooms/:room/snags")
	v.post(snags, "what", "Scratch on the sill")
	again := v.takes(tags...)
	if l := again[snags]; l.Body == nil || !strings.Contains(*l.Body, "Scratch on the sill") {
		t.Error("the page of snags is not sent though it has changed")
	}
	measure := s.path(t, "/rooms/:room/measure")
	if l := again[measure]; l.Body != nil || l.Seq == all[measure].Seq {
		t.Errorf("the page for measuring: diary %s after %s, sent again: %v", l.Seq, all[measure].Seq, l.Body != nil)
	}
}

// Nobody is given what they may not see: the copy holds no room of another
// firm, and the server answers that person for every route that it names.
func TestCopyKeepsToOnesOwn(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	stranger := w.as(t, w.Found(t, "Elsewhere & Sons"))
	for path := range stranger.takes() {
		if strings.Contains(path, s.ids["room"]) {
			t.Errorf("another firm is given %s", path)
		}
	}
	if r := (visitor{t: t, w: w}).do(http.MethodGet, web.CopyPath, nil); r.StatusCode != http.StatusSeeOther {
		t.Errorf("nobody is answered %d", r.StatusCode)
	}
}

// The rooms of a visit are listed with what comes first and what to bring.
func TestVisits(t *testing.T) {
	w := newWorld(t)
	newSubject(t, w, "14 Orchard Row")
	page := w.as(t, w.Electrician).get(web.VisitsPath)
	has(t, page, "My visits", "Utility 14 Orchard Row", "First fix Ceiling: D1 is not checked",
		"tape or laser", "not yet")
	has(t, w.as(t, w.Found(t, "Elsewhere & Sons")).get(web.VisitsPath), "No rooms for you today")
}

// The worker and the manifest are for everybody, and are revalidated each time.
func TestWorkerAndManifest(t *testing.T) {
	w := newWorld(t)
	for _, a := range []web.Asset{web.Worker, web.Manifest} {
		r := visitor{t: t, w: w}.do(http.MethodGet, a.Path, nil)
		if r.StatusCode != http.StatusOK || r.body != string(a.Data) || r.Header.Get("Content-Type") != a.Type ||
			!strings.Contains(r.Header.Get("Cache-Control"), "no-cache") {
			t.Errorf("%s: %d, %v", a.Path, r.StatusCode, r.Header)
		}
	}
}
