package server_test

import (
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
	"lathmark/persistence"
)

var oneTime = regexp.MustCompile(`http://127\.0\.0\.1:8080(/in/[A-Za-z0-9_-]{64})`)

// The owner adds somebody, hands out a link, sees its use, changes the person's
// role and ends the membership; each takes effect at once.
func TestSomebodyComesAndGoes(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	other := newSubject(t, w, "Mill Loft")
	owner, nobody := w.as(t, w.Owner), visitor{t: t, w: w}
	has(t, owner.get("/people"), "Ines Carro", "every job", "you", "Add to the firm")
	page := owner.post("/people", "name", "Wanda Lisle", "as", "tiler", "jobs", s.ids["job"], "email",
		"Wanda@lisle.example")
	has(t, owner.get(page), "Added to the firm", "not signed in anywhere", "wanda@lisle.example")
	page, _, _ = strings.Cut(page, "?")

	made := owner.do(http.MethodPost, page+"/link", fields())
	link := oneTime.FindStringSubmatch(made.body)
	if made.StatusCode != http.StatusOK || link == nil || made.Header.Get("Cache-Control") != "no-store" {
		t.Fatalf("the link answers %d, %q: %s", made.StatusCode, made.Header.Get("Cache-Control"), textOf(made.body))
	}
	if strings.Contains(owner.get(page), link[1]) {
		t.Error("the link is shown a second time")
	}
	in := nobody.do(http.MethodPost, link[1], fields())
	wanda := visitor{t, w, in.Cookies()[0].Value}
	wanda.get(s.path(t, "/rooms/:room"))
	if got := wanda.do(http.MethodGet, other.path(t, "/rooms/:room"), nil).StatusCode; got != http.StatusNotFound {
		t.Errorf("a job that does not name the member answers %d", got)
	}
	if got := nobody.do(http.MethodPost, link[1], fields()).StatusCode; got != http.StatusNotFound {
		t.Errorf("the link answers %d once more", got)
	}
	has(t, owner.get(page), "signed in on 1 device")

	has(t, owner.get(owner.post(page, "name", "Wanda Lisle-Marl", "as", "tiler", "jobs", other.ids["job"])),
		"Wanda Lisle-Marl", "applies from the next page")
	wanda.get(other.path(t, "/rooms/:room"))
	if got := wanda.do(http.MethodGet, s.path(t, "/rooms/:room"), nil).StatusCode; got != http.StatusNotFound {
		t.Errorf("a job that the member was taken off answers %d", got)
	}
	has(t, owner.get(owner.post(page+"/let-go")), "left on")
	if got := wanda.do(http.MethodGet, "/tasks", nil).Header.Get("Location"); got != "/sign-in" {
		t.Errorf("after leaving the member is led to %q", got)
	}
	has(t, owner.get("/people"), "Former members", "Wanda Lisle-Marl")
	owner.refused(http.StatusNotFound, page+"/link")
	data := owner.do(http.MethodGet, page+"/data", nil)
	has(t, data.body, `"name": "Wanda Lisle-Marl"`, `"role": "trade"`)
	if data.Header.Get("Cache-Control") != "no-store" || !strings.Contains(data.Header.Get("Content-Disposition"),
		"attachment") {
		t.Errorf("what is held comes with %v", data.Header)
	}
	has(t, owner.get(owner.post(page+"/forget")), "Somebody who left (", "The name was removed")
	if strings.Contains(owner.get("/people"), "Wanda Lisle") {
		t.Error("the name is still there")
	}
	has(t, w.as(t, w.Plumber).do(http.MethodGet, "/sessions/data", nil).body, w.Plumber.Name)
	owner.refused(http.StatusConflict, "/people/"+w.Plumber.ID.String()+"/forget")
}

// What has to be mended is said next to its field, and what was typed stays.
func TestWhatWasTypedOfSomebodyStays(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	owner := w.as(t, w.Owner)
	page := owner.refused(http.StatusBadRequest, "/people", "name", "", "as", "client", "every_job", "yes", "jobs",
		s.ids["job"], "email", "wim at haas")
	has(t, page, `href="#f-name"`, `href="#f-jobs"`, `href="#f-email"`, `value="wim at haas"`, `value="client" selected`,
		`value="`+s.ids["job"]+`" checked`, `value="yes" checked`)
	has(t, owner.refused(http.StatusBadRequest, "/people", "name", "Wim"), `href="#f-as"`)
	has(t, owner.refused(http.StatusBadRequest, "/people/"+w.Owner.ID.String(), "name", "Ada Fell", "as", "foreman"),
		`href="#f-as"`, "Make somebody else an owner")
	owner.post("/people", "name", "Wim Haas", "as", "client", "email", "wim@haas.example")
	has(t, owner.refused(http.StatusConflict, "/people", "name", "Wim Haas the younger", "as", "client", "email",
		"wim@haas.example"), `href="#f-email"`, "the younger")
	owner.refused(http.StatusNotFound, "/people", "name", "Wim", "as", "tiler", "jobs", w.Owner.ID.String())
	has(t, w.as(t, w.Foreman).refused(http.StatusForbidden, "/people", "name", "Wim Haas", "as", "owner"),
		"Only the owner")
}

var tokens = regexp.MustCompile(`name="token" value="([^"]+)"`)

// Two owners have the same person's page open: the second is shown both versions.
func TestTwoOwnersOnePerson(t *testing.T) {
	w := newWorld(t)
	ivo := w.as(t, w.Add(t, "Ivo Fell", firm.Owner, ""))
	page, ada := "/people/"+w.Plumber.ID.String(), w.as(t, w.Owner)
	first, second := tokens.FindStringSubmatch(ada.get(page))[1], tokens.FindStringSubmatch(ivo.get(page))[1]
	ada.post(page, "token", first, "name", "Olek Nowik", "as", "foreman")
	has(t, ivo.refused(http.StatusConflict, page, "token", second, "name", "Olek Nowik", "as", "plumber", "every_job",
		"yes"), "Two records", "foreman", "plumber", "differs", "every job")
	second = tokens.FindStringSubmatch(ivo.get(page))[1]
	ada.post(page + "/let-go")
	has(t, ivo.refused(http.StatusConflict, page, "token", second, "name", "Olek Nowik", "as", "plumber"), "left on")
}

// A phone is lost: the owner sees it, and ends its session only, or everything.
func TestALostPhone(t *testing.T) {
	w := newWorld(t)
	page, owner := "/people/"+w.Plumber.ID.String(), w.as(t, w.Owner)
	phone, tablet := w.as(t, w.Plumber), w.as(t, w.Plumber)
	if _, err := w.Firm.NameDevice(t.Context(), phone.session, "Chrome on Android"); err != nil {
		t.Fatal(err)
	}
	if _, _, err := w.Firm.MakeKey(t.Context(), w.Plumber, "the office", firm.KeyReads, 48*time.Hour); err != nil {
		t.Fatal(err)
	}
	for i, name := range []string{"My phone", "The tablet"} {
		k := firm.Passkey{ID: id.New[id.Passkey](), Member: w.Plumber.ID, Name: name, Credential: []byte{byte(i)},
			PublicKey: []byte{1}, CreatedAt: w.Clock.Now()}
		if err := w.DB.WithTx(t.Context(), w.Plumber, func(tx *persistence.Tx) error {
			return tx.InsertPasskey(t.Context(),
				k)
		}); err != nil {
			t.Fatal(err)
		}
	}
	html := owner.get(page)
	has(t, html, "2 devices", "Chrome on Android", "the office", "My phone", "The tablet")
	away := regexp.MustCompile(`My phone(?s:.*?)action="([^"]+/end)"`).FindStringSubmatch(html)
	w.as(t, w.Foreman).refused(http.StatusForbidden, away[1])
	html = owner.get(owner.post(away[1]))
	if strings.Contains(html, "My phone") || !strings.Contains(html, "The tablet") {
		t.Error("it was not the passkey that was taken away")
	}
	owner.refused(http.StatusNotFound, away[1])
	row := regexp.MustCompile(`Chrome on Android(?s:.*?)action="([^"]+/end)"`).FindStringSubmatch(html)
	w.as(t, w.Foreman).refused(http.StatusForbidden, row[1])
	owner.post(row[1])
	if got := phone.do(http.MethodGet, "/tasks", nil).Header.Get("Location"); got != "/sign-in" {
		t.Errorf("the phone is led to %q", got)
	}
	tablet.get("/tasks")
	html = owner.get(owner.post(page + "/sign-out"))
	has(t, html, "not signed in anywhere")
	if strings.Contains(html, "the office") || strings.Contains(html, "The tablet") {
		t.Error("the key or the passkey is still there")
	}
	if got := tablet.do(http.MethodGet, "/tasks", nil).Header.Get("Location"); got != "/sign-in" {
		t.Errorf("the tablet is led to %q", got)
	}
}

// The foreman decides which trades are on a job; only the owner adds a client.
func TestWhoIsOnTheJob(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	wim := w.AddTo(t, "Wim Haas", firm.Client, "")
	tiler := w.AddTo(t, "Wanda Lisle", firm.Trade, words.Tiler)
	foreman, owner, tilers := w.as(t, w.Foreman), w.as(t, w.Owner), w.as(t, tiler)
	team := s.path(t, "/jobs/:job/team")
	html := foreman.get(team)
	has(t, html, "Ines Carro", "is on every job", "Wanda Lisle, tiler")
	if strings.Contains(html, "Wim Haas") {
		t.Error("the foreman is offered a client")
	}
	has(t, foreman.refused(http.StatusBadRequest, team, "person", ""), `href="#f-person"`)
	has(t, foreman.refused(http.StatusBadRequest, team, "person", w.Electrician.ID.String()), "is on every job")
	foreman.refused(http.StatusForbidden, team, "person", wim.ID.String())
	has(t, foreman.get(foreman.post(team, "person", tiler.ID.String())), "named on this job")
	tilers.get(s.path(t, "/rooms/:room"))
	off := team + "/" + tiler.ID.String() + "/off"
	tilers.refused(http.StatusForbidden, off)
	foreman.post(off)
	foreman.post(off) // pressed twice
	if got := tilers.do(http.MethodGet, s.path(t, "/rooms/:room"), nil).StatusCode; got != http.StatusNotFound {
		t.Errorf("the job that the tiler was taken off answers %d", got)
	}
	has(t, owner.get(owner.post(team, "person", wim.ID.String())), "Wim Haas")
	foreman.refused(http.StatusForbidden, team+"/"+wim.ID.String()+"/off")
}

// The owner sets how long people stay signed in, with effect at once.
func TestHowLongPeopleStaySignedIn(t *testing.T) {
	w := newWorld(t)
	owner, plumber := w.as(t, w.Owner), w.as(t, w.Plumber)
	has(t, owner.get("/firm"), `value="14"`, `value="60"`)
	for _, c := range [][]string{
		{"idle", "5", "idle_in", "minutes", "absolute", "2", "absolute_in", "days"},
		{"idle", "99999999999999", "idle_in", "days", "absolute", "2", "absolute_in", "days"},
		{"idle", "x", "idle_in", "hours", "absolute", "2", "absolute_in", "days"},
		{"idle", "3", "idle_in", "fortnights", "absolute", "2", "absolute_in", "days"},
		{"idle", "3", "idle_in", "days", "absolute", "2", "absolute_in", "days"},
	} {
		has(t, owner.refused(http.StatusBadRequest, "/firm", c...), `value="`+c[1]+`"`)
	}
	w.as(t, w.Foreman).refused(http.StatusForbidden, "/firm", "idle", "1", "idle_in", "days", "absolute", "2",
		"absolute_in", "days")
	refused := owner.refused(http.StatusBadRequest, "/firm", "zone", "Europe/Atlantis", "idle", "90", "idle_in", "minutes",
		"absolute", "36", "absolute_in", "hours")
	has(t, refused, `value="Europe/Atlantis"`, "there is no time zone of this name", "Europe/London, America/New_York",
		`value="90"`)
	has(t, owner.get(owner.post("/firm", "zone", "Asia/Kolkata", "idle", "2", "idle_in", "days", "absolute", "3",
		"absolute_in", "days")), `value="Asia/Kolkata"`, `data-zone="Asia/Kolkata"`)
	has(t, owner.get(owner.post("/firm", "idle", "90", "idle_in", "minutes", "absolute", "36", "absolute_in", "hours")),
		`value="90"`, `value="36"`)
	plumber.get("/tasks")
	w.Clock.Pass(91 * time.Minute)
	if got := plumber.do(http.MethodGet, "/tasks", nil).Header.Get("Location"); got != "/sign-in" {
		t.Errorf("after an hour and a half the member is led to %q", got)
	}
}

// Unused codes are listed on the owner's page, whatever job they are for, and
// are revoked there.
func TestCodesThatWait(t *testing.T) {
	w := newWorld(t)
	orchard, mill := newSubject(t, w, "14 Orchard Row"), newSubject(t, w, "Mill Loft")
	owner, foreman := w.as(t, w.Owner), w.as(t, w.Foreman)
	to := invite(t, foreman, orchard, "tiler", "paper")
	invite(t, owner, mill, "foreman", "glass")
	html := owner.get("/people")
	has(t, html, "tiler on 14 Orchard Row", "on paper", "Bram Okafor", "foreman")
	back := regexp.MustCompile(`tiler on 14 Orchard Row(?s:.*?)action="([^"]+/take-back)"`).FindStringSubmatch(html)
	w.as(t, w.Electrician).refused(http.StatusForbidden, back[1])
	w.as(t, w.Found(t, "Elsewhere & Sons")).refused(http.StatusNotFound, back[1])
	html = owner.get(owner.post(back[1]))
	has(t, html, "The code is removed")
	if strings.Contains(html, "tiler on 14 Orchard Row") {
		t.Error("the code still waits")
	}
	nobody := visitor{t: t, w: w}
	if got := nobody.do(http.MethodPost, to, fields("name", "Somebody")).StatusCode; got != http.StatusNotFound {
		t.Errorf("the code answers %d", got)
	}
}
