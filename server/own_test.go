package server_test

import (
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
)

// People see where they are signed in, and can sign out there; it takes effect
// at once.
func TestWhereOneIsSignedIn(t *testing.T) {
	w := newWorld(t)
	nobody := visitor{t: t, w: w}
	in := func(agent string) visitor {
		t.Helper()
		r := httptest.NewRequest(http.MethodPost, "/sign-in",
			strings.NewReader(fields("person", w.Plumber.ID.String()).Encode()))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("User-Agent", agent)
		rec := httptest.NewRecorder()
		w.ServeHTTP(rec, r)
		return visitor{t, w, (&http.Response{Header: rec.Header()}).Cookies()[0].Value}
	}
	phone := in("Mozilla/5.0 (Linux; Android 10; K) Chrome/131.0.0.0 Mobile Safari/537.36")
	has(t, phone.get("/sessions"), "Chrome on Android", "this one", "here and nowhere else")
	office, tablet := in("Mozilla/5.0 (X11; Linux x86_64; rv:132.0) Gecko/20100101 Firefox/132.0"),
		in("Mozilla/5.0 (iPad; CPU OS 18_1 like Mac OS X) Safari/604.1")
	page := phone.get("/sessions")
	has(t, page, "3 devices", "Firefox on Linux", "Safari on iPad", "Chrome on Android", "this one")
	if strings.Contains(page, office.session) || strings.Contains(page, phone.session) {
		t.Error("the page shows a session's secret")
	}
	row := regexp.MustCompile(`Firefox on Linux(?s:.*?)action="(/sessions/[0-9a-f-]+/end)"`).FindStringSubmatch(page)
	w.as(t, w.Electrician).refused(http.StatusNotFound, row[1])
	has(t, phone.get(phone.post(row[1])), "You are signed out there.")
	if r := office.do(http.MethodGet, "/tasks", nil); r.Header.Get("Location") != "/sign-in" {
		t.Errorf("the office is still in: %d", r.StatusCode)
	}
	tablet.get("/tasks")
	phone.post("/sessions/others")
	if r := tablet.do(http.MethodGet, "/tasks", nil); r.Header.Get("Location") != "/sign-in" {
		t.Errorf("the tablet is still in: %d", r.StatusCode)
	}
	phone.get("/tasks")
	if r := nobody.do(http.MethodGet, "/sessions", nil); r.Header.Get("Location") != "/sign-in" {
		t.Errorf("nobody gets %d", r.StatusCode)
	}
}

// Where a way of signing in was changed, the page offers to sign out everywhere else: with one press,
// and to nobody who is signed in nowhere else.
func TestAChangedWayInOffersToSignOutElsewhere(t *testing.T) {
	w := newWorld(t)
	const offer, button = "How you sign in has changed.", "Sign out everywhere else"
	page := "/people/" + w.Owner.ID.String()
	owner := w.as(t, w.Owner)
	if at := owner.get(owner.post(page, "name", w.Owner.Name, "as", "owner", "email",
		"ada@fell.example")); strings.Contains(at, offer) {
		t.Error("it offers to sign out where nobody is signed in")
	}
	tablet := w.as(t, w.Owner)
	at := owner.get(owner.post(page, "name", w.Owner.Name, "as", "owner", "email", "ADA@fell.example"))
	if strings.Contains(at, offer) {
		t.Error("it offers to sign out where nothing was changed")
	}
	at = owner.get(owner.post(page, "name", w.Owner.Name, "as", "owner", "email", "a.fell@fell.example"))
	has(t, at, "The old e-mail no longer signs you in.", offer, button)
	for _, done := range []string{"passkey", "passkey-away", "account"} {
		at := owner.get("/sessions?done=" + done)
		if has(t, at, offer); strings.Count(at, button) != 1 {
			t.Errorf("after %s: %d buttons", done, strings.Count(at, button))
		}
	}
	owner.post("/sessions/others")
	if r := tablet.do(http.MethodGet, "/", nil); r.Header.Get("Location") != "/sign-in" {
		t.Errorf("the tablet is still in: %d", r.StatusCode)
	}
}

var secrets = regexp.MustCompile(`lathmark_[A-Za-z0-9_-]{64}`)

// A key is shown once; it opens the API and no page.
func TestKeysForOtherPrograms(t *testing.T) {
	w := newWorld(t)
	v := w.as(t, w.Foreman)
	has(t, v.get("/keys"), "You have no keys", "running jobs")
	has(t, v.refused(http.StatusBadRequest, "/keys", "name", "", "scope", "read", "days", "400"), "no name",
		"out of range")
	r := v.do(http.MethodPost, "/keys", fields("name", "The <office's> spreadsheet", "scope", "read", "days", "30"))
	key := secrets.FindString(r.body)
	if r.StatusCode != http.StatusOK || key == "" || r.Header.Get("Cache-Control") != "no-store" {
		t.Fatalf("making a key answers %d, %q: %s", r.StatusCode, r.Header.Get("Cache-Control"), textOf(r.body))
	}
	page := v.get("/keys")
	has(t, page, "The &lt;office&#39;s&gt; spreadsheet", "never")
	if secrets.MatchString(page) {
		t.Error("the key is shown a second time")
	}
	ask := func(path, header string, cookie bool) int {
		t.Helper()
		r := httptest.NewRequest(http.MethodGet, path, nil)
		r.Header.Set("Authorization", header)
		if cookie {
			r.AddCookie(&http.Cookie{Name: "lathmark", Value: v.session})
		}
		rec := httptest.NewRecorder()
		w.ServeHTTP(rec, r)
		if rec.Code == http.StatusUnauthorized && !strings.HasPrefix(rec.Header().Get("WWW-Authenticate"), "Bearer") {
			t.Errorf("%s does not say how to ask", path)
		}
		return rec.Code
	}
	for _, c := range []struct {
		path, header string
		cookie       bool
		want         int
	}{
		{"/api/v1/jobs", "Bearer " + key, false, 200},
		{"/api/v1/jobs", "bearer " + key, false, 200},
		{"/api/v1/jobs", "Bearer " + key[:60], false, 401},
		{"/api/v1/jobs", "Bearer " + key[:60], true, 401}, // a cookie does not help a bad key
		{"/api/v1/jobs", "Bearer", true, 401},
		{"/api/v1/jobs", "Basic x", true, 200}, // no key: the session counts
		{"/tasks", "Bearer " + key, false, http.StatusSeeOther},
		{"/keys", "Bearer " + key, false, http.StatusSeeOther},
	} {
		if got := ask(c.path, c.header, c.cookie); got != c.want {
			t.Errorf("%s with %.12s and cookie %v answers %d, want %d", c.path, c.header, c.cookie, got, c.want)
		}
	}
	has(t, v.get("/keys"), "reading")
	away := regexp.MustCompile(`action="(/keys/[0-9a-f-]+/end)"`).FindStringSubmatch(page)
	w.as(t, w.Electrician).refused(http.StatusNotFound, away[1])
	v.post(away[1])
	if got := ask("/api/v1/jobs", "Bearer "+key, false); got != 401 {
		t.Errorf("a key that was taken away answers %d", got)
	}
}

// A key does no more than its scope allows, and does not make other sites'
// forms acceptable.
func TestWhatAKeyIsGoodFor(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	v := w.as(t, w.Foreman)
	keys := map[string]string{}
	for _, scope := range []string{"read", "record", "run"} {
		r := v.do(http.MethodPost, "/keys", fields("name", scope, "scope", scope, "days", "1"))
		keys[scope] = secrets.FindString(r.body)
	}
	send := func(key, path, body, site string) int {
		t.Helper()
		r := httptest.NewRequest(http.MethodPost, "/api/v1"+path, strings.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		if key != "" {
			r.Header.Set("Authorization", "Bearer "+key)
		}
		r.Header.Set("Sec-Fetch-Site", site)
		r.AddCookie(&http.Cookie{Name: "lathmark", Value: v.session})
		rec := httptest.NewRecorder()
		w.ServeHTTP(rec, r)
		return rec.Code
	}
	snag, job := s.path(t, "/rooms/:room/snags"), "/jobs"
	for i, c := range []struct {
		key, path, body, site string
		want                  int
	}{
		{keys["read"], snag, `{"id":"01902f4e-0000-7000-8000-000000000001","says":"x"}`, "none", 403},
		{keys["record"], snag, `{"id":"01902f4e-0000-7000-8000-000000000002","says":"x"}`, "cross-site", 200},
		{keys["record"], job, `{"id":"01902f4e-0000-7000-8000-000000000003","name":"x"}`, "none", 403},
		{keys["run"], job, `{"id":"01902f4e-0000-7000-8000-000000000004","name":"x"}`, "none", 200},
		{"", snag, `{"id":"01902f4e-0000-7000-8000-000000000005","says":"x"}`, "cross-site", 403},
		{"", snag, `{"id":"01902f4e-0000-7000-8000-000000000006","says":"x"}`, "same-origin", 200},
	} {
		if got := send(c.key, c.path, c.body, c.site); got != c.want {
			t.Errorf("case %d answers %d, want %d", i, got, c.want)
		}
	}
}

// Signing in again on a device makes a new session there and ends the one
// before.
func TestSigningInAgainEndsTheSessionBefore(t *testing.T) {
	w := newWorld(t)
	before := w.as(t, w.Plumber)
	before.get("/tasks")
	r := before.do(http.MethodPost, "/sign-in", fields("person", w.Electrician.ID.String()))
	if len(r.Cookies()) != 1 || r.Cookies()[0].Value == before.session {
		t.Fatalf("coming in anew gives %v", r.Cookies())
	}
	has(t, visitor{t, w, r.Cookies()[0].Value}.get("/tasks"), w.Electrician.Name)
	if got := before.do(http.MethodGet, "/tasks", nil).Header.Get("Location"); got != "/sign-in" {
		t.Errorf("the session before leads to %q", got)
	}
}
