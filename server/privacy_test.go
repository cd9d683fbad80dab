package server_test

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// The client sees how the job goes, what to decide and which firm to tell: nobody's name, no measurement, no
// mistake, and of the positions only those that wait for the client.
func TestProgressTellsNoTales(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	foreman, client := w.as(t, w.Foreman), visitor{t: t, w: w}
	foreman.post(s.path(t, "/rooms/:room/schedule"), "name", "K7", "kind", "fan", "surface", s.ids["surface"])
	foreman.post(s.path(t, "/rooms/:room/positions/:position/hold"), "reason", "you have not chosen the fan")
	r := client.do(http.MethodGet, s.path(t, "/progress/:link"), nil)
	body := read(t, r)
	has(t, body, "14 Orchard Row", "Utility, the downlight D1. You have not chosen the fan", "First fix is in hand.",
		"Tell Fell &amp; Daughters what you decide")
	for _, secret := range []string{w.Foreman.Name, w.Electrician.Name, w.Owner.Name, "K7", "600", "900",
		"obstacle", "no record", s.ids["room"], s.ids["job"]} {
		if strings.Contains(body, secret) {
			t.Errorf("the client's page says %q:\n%s", secret, textOf(body))
		}
	}
	if got := r.Header.Get("X-Robots-Tag"); !strings.Contains(got, "noindex") {
		t.Errorf("X-Robots-Tag %q", got)
	}
	if got := r.Header.Get("Cache-Control"); got != "no-store" {
		t.Errorf("Cache-Control %q", got)
	}
	for _, link := range []string{"nothing", strings.Repeat("A", 64), s.ids["link"][:60] + "AAAA"} {
		if r := client.do(http.MethodGet, "/progress/"+link, nil); r.StatusCode != http.StatusNotFound {
			t.Errorf("the link %s answers %d", link, r.StatusCode)
		}
	}
	page := read(t, foreman.do(http.MethodPost, s.path(t, "/jobs/:job/progress-link"), fields()))
	has(t, page, "http://127.0.0.1:8080/progress/", "It is shown this once")
	if r := client.do(http.MethodGet, s.path(t, "/progress/:link"), nil); r.StatusCode != http.StatusNotFound {
		t.Errorf("the old link answers %d after a new one was made", r.StatusCode)
	}
}

// What belongs to another firm and what does not exist are answered alike, byte
// for byte except for the request's number and the page's token.
func TestForeignIsAbsent(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	other := w.as(t, w.Found(t, "Elsewhere & Sons"))
	foreign := read(t, other.do(http.MethodGet, s.path(t, "/rooms/:room"), nil))
	absent := read(t, other.do(http.MethodGet, "/rooms/"+id.New[id.Room]().String(), nil))
	if a, b := textOf(foreign), textOf(absent); a != b || a == "" {
		t.Errorf("another firm's room:\n%s\nno room:\n%s", a, b)
	}
}

func TestSigningInAndOut(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	nobody := visitor{t: t, w: w}
	has(t, nobody.get("/sign-in"), w.Foreman.Name, w.Electrician.Name, "electrician")
	r := nobody.do(http.MethodPost, "/sign-in", fields("person", w.Electrician.ID.String()))
	cookies := r.Cookies()
	if r.StatusCode != http.StatusSeeOther || r.Header.Get("Location") != "/tasks" || len(cookies) != 1 {
		t.Fatalf("coming in answers %d, leads to %s, %d cookies", r.StatusCode, r.Header.Get("Location"), len(cookies))
	}
	c := cookies[0]
	if !c.HttpOnly || c.SameSite != http.SameSiteLaxMode || c.Path != "/" || c.Secure || c.Domain != "" || c.MaxAge <= 0 {
		t.Errorf("the cookie is %+v", c)
	}
	in := visitor{t, w, c.Value}
	has(t, in.get("/tasks"), "Ines Carro", "Utility")
	in.get(s.path(t, "/rooms/:room"))
	out := in.do(http.MethodPost, "/sign-out", fields())
	if gone := out.Cookies(); len(gone) != 1 || gone[0].MaxAge >= 0 {
		t.Errorf("going leaves %+v", gone)
	}
	if r := in.do(http.MethodGet, "/tasks", nil); r.Header.Get("Location") != "/sign-in" {
		t.Errorf("the session works after going: %d", r.StatusCode)
	}
	if r := nobody.do(http.MethodPost, "/sign-in", fields("person", id.New[id.Member]().String())); len(r.Cookies()) != 0 {
		t.Error("somebody unknown came in")
	}
}

// A one-time link works once; looking at it does not use it up.
func TestOneTimeLink(t *testing.T) {
	w := newWorld(t)
	link, err := w.Firm.OneTimeLink(t.Context(), w.Owner, w.Plumber.ID)
	if err != nil {
		t.Fatal(err)
	}
	nobody := visitor{t: t, w: w}
	for range 2 {
		has(t, nobody.get("/in/"+link), "This link works once.")
	}
	r := nobody.do(http.MethodPost, "/in/"+link, fields())
	if r.StatusCode != http.StatusSeeOther || len(r.Cookies()) != 1 {
		t.Fatalf("the link answers %d with %d cookies", r.StatusCode, len(r.Cookies()))
	}
	has(t, visitor{t, w, r.Cookies()[0].Value}.get("/tasks"), w.Plumber.Name)
	again := nobody.do(http.MethodPost, "/in/"+link, fields())
	if body := read(t, again); again.StatusCode != http.StatusNotFound || len(again.Cookies()) != 0 {
		t.Errorf("the link answers %d the second time: %s", again.StatusCode, textOf(body))
	} else {
		has(t, body, "was used already")
	}
}

// With https, the cookie is sent over https only, and to no other host.
func TestSecureCookie(t *testing.T) {
	w := newWorldAt(t, "https://lathmark.example")
	r := visitor{t: t, w: w}.do(http.MethodPost, "/sign-in", fields("person", w.Foreman.ID.String()))
	if c := r.Cookies(); len(c) != 1 || c[0].Name != "__Host-lathmark" || !c[0].Secure {
		t.Errorf("the cookie is %+v", c)
	}
	get := httptest.NewRequest(http.MethodGet, "/", nil)
	get.AddCookie(&http.Cookie{Name: "lathmark", Value: r.Cookies()[0].Value})
	rec := httptest.NewRecorder()
	if w.ServeHTTP(rec, get); rec.Code != http.StatusSeeOther {
		t.Errorf("the plain cookie's name lets in over https: %d", rec.Code)
	}
}

// A member who has left has no access at once.
func TestLeft(t *testing.T) {
	w := newWorld(t)
	in := w.as(t, w.Plumber)
	in.get("/tasks")
	if err := w.Firm.EndMember(t.Context(), w.Owner, w.Plumber.ID); err != nil {
		t.Fatal(err)
	}
	if r := in.do(http.MethodGet, "/tasks", nil); r.Header.Get("Location") != "/sign-in" {
		t.Errorf("one who left is still in: %d", r.StatusCode)
	}
}

// Whatever is somebody's own is kept by no browser and by nothing on the way, whoever asks
// and by whatever means; pictures alone are kept, and asked about each time. Whoever signs
// in or out has the browser throw away what it kept.
func TestNothingPersonalIsKept(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	in, client := w.as(t, w.Owner), s.ids["link"]
	for _, path := range []string{"/", "/tasks", "/ready", "/sessions", "/people", s.path(t, "/rooms/:room"), "/sign-in",
		"/api/v1/me", "/api/v1/jobs", s.path(t, "/api/v1/rooms/:room"), "/api/v1/client/" + client, "/progress/" + client,
		"/nowhere", "/visits/copy"} {
		if got := in.do(http.MethodGet, path, nil).Header.Get("Cache-Control"); got != "no-store" {
			t.Errorf("%s: Cache-Control %q", path, got)
		}
	}
	if got := in.do(http.MethodPost, s.path(t, "/api/v1/jobs/:job/client-link"), nil); got.StatusCode != http.StatusOK &&
		got.StatusCode != http.StatusCreated || got.Header.Get("Cache-Control") != "no-store" {
		t.Errorf("a client's link answers %d, Cache-Control %q", got.StatusCode, got.Header.Get("Cache-Control"))
	}
	link, err := w.Firm.OneTimeLink(t.Context(), w.Owner, w.Plumber.ID)
	if err != nil {
		t.Fatal(err)
	}
	nobody := visitor{t: t, w: w}
	for path, form := range map[string][]string{"/sign-in": {"person", w.Electrician.ID.String()}, "/in/" + link: nil} {
		if r := nobody.do(http.MethodPost, path, fields(form...)); r.Header.Get("Clear-Site-Data") != `"cache"` {
			t.Errorf("%s: Clear-Site-Data %q", path, r.Header.Get("Clear-Site-Data"))
		}
	}
	if r := in.do(http.MethodPost, "/sign-out", fields()); r.Header.Get("Clear-Site-Data") != `"cache"` {
		t.Errorf("signing out: Clear-Site-Data %q", r.Header.Get("Clear-Site-Data"))
	}
}

// The pages of one person are not put into the copy of another whose page is still open.
func TestACopyIsFetchedByWhoseItIs(t *testing.T) {
	w := newWorld(t)
	v := w.as(t, w.Electrician)
	if r := v.do(http.MethodGet, "/visits/copy?member="+w.Electrician.ID.String(), nil); r.StatusCode != http.StatusOK {
		t.Errorf("one's own copy answers %d", r.StatusCode)
	}
	if r := v.do(http.MethodGet, "/visits/copy?member="+w.DryLiner.ID.String(), nil); r.StatusCode != http.StatusForbidden {
		t.Errorf("another's copy answers %d", r.StatusCode)
	}
}

func TestLinksThatWaitAreCounted(t *testing.T) {
	w := newWorld(t)
	v := w.as(t, w.Plumber) // a first sign-in ends those that wait
	for range firm.MaxLinks {
		if _, _, err := w.Firm.NewDeviceLink(t.Context(), w.Plumber); err != nil {
			t.Fatal(err)
		}
	}
	if _, _, err := w.Firm.NewDeviceLink(t.Context(), w.Plumber); fault.KindOf(err) != fault.BadInput {
		t.Errorf("one link too many: %v", err)
	}
	if r := v.do(http.MethodPost, "/sessions/device", fields()); r.StatusCode != http.StatusBadRequest {
		t.Errorf("the page answers %d", r.StatusCode)
	}
	w.Clock.Pass(firm.CodeLifetime)
	if _, _, err := w.Firm.NewDeviceLink(t.Context(), w.Plumber); err != nil {
		t.Errorf("once they have run out: %v", err)
	}
}
