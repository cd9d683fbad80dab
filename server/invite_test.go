package server_test

import (
	"crypto/rand"
	"fmt"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
	"lathmark/server"
)

var invitedTo = regexp.MustCompile(`http://127\.0\.0\.1:8080(/invited/[A-Za-z0-9_-]{64})`)

// asksIn makes a code on the job's page and returns the address that it leads to.
func invite(t *testing.T, v visitor, s subject, as, on string) string {
	t.Helper()
	r := v.do(http.MethodPost, s.path(t, "/jobs/:job/invite"), fields("as", as, "on", on))
	to := invitedTo.FindStringSubmatch(r.body)
	if r.StatusCode != http.StatusOK || to == nil || !strings.Contains(r.body,
		`<svg xmlns="http://www.w3.org/2000/svg" class="code"`) {
		t.Fatalf("asking in answers %d: %s", r.StatusCode, textOf(r.body))
	}
	keptByNobody(t, r)
	return to[1]
}

// keptByNobody checks that no cache, no search engine and no linked page learns
// of a reply.
func keptByNobody(t *testing.T, r reply) {
	t.Helper()
	for name, want := range map[string]string{"Cache-Control": "no-store", "X-Robots-Tag": "noindex, nofollow",
		"Referrer-Policy": "no-referrer"} {
		if got := r.Header.Get(name); got != want {
			t.Errorf("%s is %q, not %q", name, got, want)
		}
	}
}

// The foreman shows a code, the electrician opens it, types a name and is
// signed in: for this trade, on this job and on no other, on this phone.
func TestAskingSomebodyIn(t *testing.T) {
	w := newWorld(t)
	orchard, mill := newSubject(t, w, "14 Orchard Row"), newSubject(t, w, "Mill Loft")
	foreman, nobody := w.as(t, w.Foreman), visitor{t: t, w: w}
	has(t, foreman.get(orchard.path(t, "/jobs/:job")), "Invite someone")
	page := foreman.get(orchard.path(t, "/jobs/:job/invite"))
	has(t, page, "electrician", "for 10 minutes", "until tonight")
	if strings.Contains(page, "foreman, who sees every job") {
		t.Error("a foreman can choose to ask in a foreman")
	}
	has(t, foreman.refused(http.StatusBadRequest, orchard.path(t, "/jobs/:job/invite"), "on", "glass"),
		"it does not say what the person does")
	foreman.refused(http.StatusForbidden, orchard.path(t, "/jobs/:job/invite"), "as", "foreman", "on", "glass")
	to := invite(t, foreman, orchard, "electrician", "glass")
	has(t, foreman.get(orchard.path(t, "/jobs/:job/invite")), "electrician on 14 Orchard Row", "Remove the code")

	for range 3 { // a preview asks before anybody has touched it
		r := nobody.do(http.MethodGet, to, nil)
		has(t, r.body, "Bram Okafor has invited you", "electrician on 14 Orchard Row", "Fell &amp; Daughters")
		if len(r.Cookies()) != 0 {
			t.Error("looking lets in")
		}
		keptByNobody(t, r)
	}
	if r := nobody.do(http.MethodHead, to, nil); r.StatusCode != http.StatusOK || len(r.Cookies()) != 0 {
		t.Errorf("HEAD answers %d with %d cookies", r.StatusCode, len(r.Cookies()))
	}
	has(t, nobody.refused(http.StatusBadRequest, to, "name", "bram okafor"), "already has that name", "bram okafor")
	r := nobody.do(http.MethodPost, to, fields("name", "Dara <b>Quill"))
	if r.StatusCode != http.StatusSeeOther || r.Header.Get("Location") != "/tasks" || len(r.Cookies()) != 1 {
		t.Fatalf("the code answers %d: %s", r.StatusCode, textOf(r.body))
	}
	dara := visitor{t, w, r.Cookies()[0].Value}
	has(t, dara.get("/tasks"), "Dara &lt;b&gt;Quill", "Utility")
	dara.get(orchard.path(t, "/rooms/:room"))
	for _, path := range []string{mill.path(t, "/rooms/:room"), mill.path(t, "/jobs/:job")} {
		if r := dara.do(http.MethodGet, path, nil); r.StatusCode != http.StatusNotFound {
			t.Errorf("%s answers %d to somebody asked in for another job", path, r.StatusCode)
		}
	}
	if r := dara.do(http.MethodGet, orchard.path(t, "/jobs/:job/invite"), nil); r.StatusCode != http.StatusForbidden {
		t.Errorf("a trade asks others in: %d", r.StatusCode)
	}
	has(t, nobody.refused(http.StatusNotFound, to, "name", "Pell Castor"), "no longer works")
}

// Whatever is wrong with a code, the answer is the same.
func TestCodesThatAreNoneAnswerAlike(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	foreman, nobody := w.as(t, w.Foreman), visitor{t: t, w: w}
	used, back, over := invite(t, foreman, s, "tiler", "glass"), invite(t, foreman, s, "joiner", "glass"), invite(t,
		foreman, s, "plumber", "glass")
	nobody.post(used, "name", "Dara Quill")
	page := foreman.get(s.path(t, "/jobs/:job/invite"))
	row := regexp.MustCompile(`joiner on (?s:.*?)action="(/jobs/[0-9a-f-]+/invite/[0-9a-f-]+/take-back)"`).
		FindStringSubmatch(page)
	w.as(t, w.Electrician).refused(http.StatusForbidden, row[1])
	w.as(t, w.Found(t, "Elsewhere & Sons")).refused(http.StatusNotFound, row[1])
	has(t, foreman.get(foreman.post(row[1])), "The code is removed.")
	w.Clock.Pass(11 * time.Minute)
	guess, _ := firm.NewToken(w.Owner.Firm)
	elsewhere, _ := firm.NewToken(id.New[id.Firm]())
	var want [2]string
	for what, to := range map[string]string{"used": used, "taken back": back, "over": over, "guessed": "/invited/" + guess,
		"of no firm": "/invited/" + elsewhere, "no code": "/invited/x"} {
		for n, method := range []string{http.MethodGet, http.MethodPost} {
			form := fields("name", "Pell Castor")
			if method == http.MethodGet {
				form = nil
			}
			r := nobody.do(method, to, form)
			keptByNobody(t, r)
			got := textOf(r.body)
			if want[n] == "" {
				want[n] = got
			}
			if r.StatusCode != http.StatusNotFound || got != want[n] || len(r.Cookies()) != 0 {
				t.Errorf("%s %s answers %d: %s", method, what, r.StatusCode, got)
			}
		}
	}
}

// People who are signed in are told so, and their session ends when somebody
// else signs in instead.
func TestACodeOnAPhoneThatIsInUse(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	to := invite(t, w.as(t, w.Foreman), s, "electrician", "paper")
	ines := w.as(t, w.Electrician)
	has(t, ines.get(to), "You are signed in here as Ines Carro", "carry on with your work", "Sign in as somebody else")
	r := ines.do(http.MethodPost, to, fields("name", "Dara Quill"))
	if len(r.Cookies()) != 1 {
		t.Fatalf("%d: %s", r.StatusCode, textOf(r.body))
	}
	if r := ines.do(http.MethodGet, "/tasks", nil); r.Header.Get("Location") != "/sign-in" {
		t.Errorf("the session there was still works: %d", r.StatusCode)
	}
	link, err := w.Firm.OneTimeLink(t.Context(), w.Owner, w.Plumber.ID)
	if err != nil {
		t.Fatal(err)
	}
	has(t, visitor{t, w, r.Cookies()[0].Value}.get("/in/"+link), "You are signed in here as Dara Quill")
}

// The client's link is stopped and renewed on the job's page; nobody stores
// what it answers.
func TestTheClientsLinkEnds(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	foreman, client := w.as(t, w.Foreman), visitor{t: t, w: w}
	job := s.path(t, "/jobs/:job")
	keptByNobody(t, client.do(http.MethodGet, s.path(t, "/progress/:link"), nil))
	has(t, foreman.get(job), "works until Sun 31 May 2026", "Stop the link")
	w.Clock.Pass(24 * time.Hour)
	has(t, foreman.get(foreman.post(job+"/progress-link/renew")), "90 days from today", "works until Mon 1 Jun 2026")
	if r := client.do(http.MethodPost, s.path(t, "/progress/:link"),
		fields()); r.StatusCode != http.StatusMethodNotAllowed {
		t.Errorf("something can be sent: %d", r.StatusCode)
	}
	has(t, foreman.get(foreman.post(job+"/progress-link/end")), "no longer works", "No link works now")
	r := client.do(http.MethodGet, s.path(t, "/progress/:link"), nil)
	if keptByNobody(t, r); r.StatusCode != http.StatusNotFound {
		t.Errorf("a link that was stopped answers %d", r.StatusCode)
	}
	r = foreman.do(http.MethodPost, job+"/progress-link", fields())
	if keptByNobody(t, r); strings.Contains(foreman.get(job), "/progress/") {
		t.Error("the link is shown a second time")
	}
	w.Clock.Pass(91 * 24 * time.Hour)
	to := regexp.MustCompile(`/progress/[A-Za-z0-9_-]{64}`).FindString(r.body)
	if r := client.do(http.MethodGet, to, nil); to == "" || r.StatusCode != http.StatusNotFound {
		t.Errorf("%q answers %d after 91 days", to, r.StatusCode)
	}
}

// No other site can make a browser use a code up, or make one.
func TestNoOtherSiteUsesACode(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	foreman := w.as(t, w.Foreman)
	to := invite(t, foreman, s, "electrician", "glass")
	for _, path := range []string{to, s.path(t, "/jobs/:job/invite"), "/sessions/device"} {
		r := httptest.NewRequest(http.MethodPost, path,
			strings.NewReader(fields("name", "Dara Quill", "as", "tiler").Encode()))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Sec-Fetch-Site", "cross-site")
		r.AddCookie(&http.Cookie{Name: "lathmark", Value: foreman.session})
		rec := httptest.NewRecorder()
		if w.ServeHTTP(rec, r); rec.Code != http.StatusForbidden {
			t.Errorf("%s answers %d to another site", path, rec.Code)
		}
	}
	visitor{t: t, w: w}.post(to, "name", "Dara Quill")
}

// The owner can also invite a foreman, who sees every job.
func TestTheOwnerAsksInAForeman(t *testing.T) {
	w := newWorld(t)
	s, mill := newSubject(t, w, "14 Orchard Row"), newSubject(t, w, "Mill Loft")
	to := invite(t, w.as(t, w.Owner), s, string(words.Foreman), "glass")
	r := visitor{t: t, w: w}.do(http.MethodPost, to, fields("name", "Ruth Aldous"))
	if r.Header.Get("Location") != "/" {
		t.Fatalf("%d: %s", r.StatusCode, textOf(r.body))
	}
	has(t, visitor{t, w, r.Cookies()[0].Value}.get(mill.path(t, "/jobs/:job")), "Mill Loft")
}

// People's own codes sign them in elsewhere, once.
func TestSigningInOnAnotherDevice(t *testing.T) {
	w := newWorld(t)
	ines := w.as(t, w.Electrician)
	has(t, ines.get("/sessions"), "Sign me in on another device")
	r := ines.do(http.MethodPost, "/sessions/device", fields())
	keptByNobody(t, r)
	to := regexp.MustCompile(`http://127\.0\.0\.1:8080(/in/[A-Za-z0-9_-]{64})`).FindStringSubmatch(r.body)
	if to == nil {
		t.Fatalf("%d: %s", r.StatusCode, textOf(r.body))
	}
	nobody := visitor{t: t, w: w}
	there := nobody.do(http.MethodPost, to[1], fields())
	has(t, visitor{t, w, there.Cookies()[0].Value}.get("/sessions"), "2 devices")
	nobody.refused(http.StatusNotFound, to[1])
	ines.get("/tasks")
}

// Whoever tries codes, links or clients' addresses soon has to wait, and then a
// right one is answered like a wrong one.
func TestTryingCodesIsKeptWaiting(t *testing.T) {
	w := newWorldWith(t, "http://127.0.0.1:8080", server.UsualRates)
	for i, way := range []string{"GET /invited/", "POST /invited/", "POST /in/", "GET /progress/"} {
		method, path, _ := strings.Cut(way, " ")
		answers := map[int]int{}
		for range 400 {
			req := httptest.NewRequest(method, path+strings.Repeat("A", 40)+rand.Text()[:24], nil)
			req.RemoteAddr = fmt.Sprintf("192.0.2.%d:9", 10+i)
			rec := httptest.NewRecorder()
			w.ServeHTTP(rec, req)
			answers[rec.Code]++
			if rec.Code == http.StatusTooManyRequests {
				break
			}
		}
		if answers[http.StatusTooManyRequests] != 1 || answers[http.StatusNotFound] < 5 || answers[http.StatusOK] != 0 {
			t.Errorf("%s: %v", way, answers)
		}
	}
}
