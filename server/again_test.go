package server_test

import (
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
	"lathmark/persistence/localpg"
	"lathmark/server"
	"lathmark/web"

	"github.com/jackc/pgx/v5"
)

// asked are the routes that ask a sign-in of some time ago who it is, and of whom: of the
// owner, or of everybody.
var asked = map[string]bool{
	"GET /people/:member/data": false, "GET /sessions/data": false, "GET /sign-in/again": false,
	"POST /firm": false, "POST /jobs/:job/invite": true, "POST /keys": false, "POST /passkeys": false,
	"POST /passkeys/begin": false, "POST /passkeys/:passkey/end": false, "POST /people": false,
	"POST /people/:member": false, "POST /people/:member/forget": false, "POST /people/:member/keys/:key/end": false,
	"POST /people/:member/let-go": false, "POST /people/:member/link": false,
	"POST /people/:member/passkeys/:passkey/end": false, "POST /people/:member/sessions/:session/end": false,
	"POST /people/:member/sign-out": false, "POST /sessions/device": false, "POST /sessions/others": false,
	"POST /sessions/:session/end": false,
}

// asksWho reports whether an answer is the page that asks who it is.
func asksWho(r reply) bool {
	return r.StatusCode == http.StatusForbidden && strings.Contains(r.body, `id="goes-on"`)
}

// Whoever signed in some time ago is asked again on these routes, before anything is done,
// and on no others.
func TestAnOldSignInIsAskedAgain(t *testing.T) {
	w := newWorld(t)
	conn, err := pgx.Connect(t.Context(), w.Database.URL(localpg.Superuser))
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = conn.Close(t.Context()) }()
	of := newSubject(t, w, "14 Orchard Row")
	for name, who := range map[string]firm.Person{"owner": w.Owner, "foreman": w.Foreman, "trade": w.Electrician} {
		c := column{name, who, w.as(t, who), of}
		w.Clock.Pass(firm.FreshFor)
		old := c.session
		for _, route := range routes(w) {
			method, pattern, _ := strings.Cut(route, " ")
			onlyOwner, listed := asked[route]
			listed = listed && (!onlyOwner || name == "owner")
			if !listed && (method == http.MethodPost || slices.Contains(open, route)) && name != "trade" {
				continue // what they change would be in the way of the next; a trade's are refused
			}
			if pattern == web.SignOutPath {
				continue
			}
			c.session = old
			before := stored(t, conn)
			r := c.do(method, c.path(t, strings.TrimSuffix(pattern, "*")), fields("name", "Wim <Haas>"))
			if asksWho(r) != listed {
				t.Errorf("%s asks a %s of some time ago who it is: %v", route, name, asksWho(r))
			}
			if !listed {
				continue
			}
			after := stored(t, conn)
			for table := range after {
				if after[table] != before[table] {
					t.Errorf("%s changes %s before it asks a %s", route, table, name)
				}
			}
			if method == http.MethodPost {
				has(t, r.body, `name="name" value="Wim &lt;Haas&gt;"`)
			}
		}
	}
	for route := range asked {
		if !slices.Contains(routes(w), route) {
			t.Errorf("there is no %s", route)
		}
	}
}

// What was typed goes on where it was going to, in the name of whoever typed it.
func TestWhatWasTypedGoesOn(t *testing.T) {
	w := newWorld(t)
	v := w.as(t, w.Owner)
	w.Clock.Pass(firm.FreshFor + time.Minute)
	r := v.do(http.MethodPost, "/people", fields("name", "Wim Haas", "as", "tiler", "every_job", "yes"))
	if !asksWho(r) {
		t.Fatalf("answers %d", r.StatusCode)
	}
	as := "/people?as=" + w.Owner.ID.String()
	has(t, r.body, `action="`+as+`"`, "Sign in once more", "Wim Haas")
	form := formOn(t, r.body)
	if r := w.as(t, w.Foreman).do(http.MethodPost, as, form); r.StatusCode != http.StatusConflict {
		t.Errorf("in somebody else's name: %d", r.StatusCode)
	}
	v = w.as(t, w.Owner)
	if r := v.do(http.MethodPost, as, form); r.StatusCode != http.StatusSeeOther {
		t.Errorf("sent on, it answers %d: %s", r.StatusCode, textOf(r.body))
	}
	has(t, v.get("/people"), "Wim Haas")
}

// newPasskey gives somebody a passkey, made in a session.
func (w *world) newPasskey(t *testing.T, p firm.Person, in id.Session) firm.Passkey {
	t.Helper()
	challenge := []byte("challenge of " + p.Name)
	if err := w.Firm.NewChallenge(t.Context(), challenge); err != nil {
		t.Fatal(err)
	}
	k, err := w.Firm.AddPasskey(t.Context(), p, in, challenge, "my phone", func() (firm.Passkey, error) {
		return firm.Passkey{Credential: p.ID[:], PublicKey: []byte{1}}, nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// withPasskey signs somebody in with a passkey.
func (w *world) withPasskey(t *testing.T, p firm.Person, k firm.Passkey) visitor {
	t.Helper()
	challenge := []byte("sign-in of " + p.Name)
	if err := w.Firm.NewChallenge(t.Context(), challenge); err != nil {
		t.Fatal(err)
	}
	_, session, err := w.Firm.SignInWithPasskey(t.Context(), firm.Handle(p.Firm, p.ID), challenge,
		func([]firm.Passkey) (firm.Passkey, error) { return k, nil })
	if err != nil {
		t.Fatal(err)
	}
	return visitor{t, w, session}
}

// opensNothing requests every route but those named as somebody who lacks a passkey, and
// returns how many.
func opensNothing(t *testing.T, v visitor, name string, of subject, but ...string) (tried int) {
	t.Helper()
	for _, r := range server.Routes(v.w.Handler) {
		route := r.Method + " " + r.Path
		if r.Method == "echo_route_not_found" || slices.Contains(open, route) || slices.Contains(but, route) {
			continue
		}
		path := parameter.ReplaceAllStringFunc(strings.TrimSuffix(r.Path, "*"), func(p string) string {
			if v := of.ids[p[1:]]; v != "" {
				return v
			}
			return of.ids["room"]
		})
		tried++
		got := v.do(r.Method, path, fields())
		api := strings.HasPrefix(r.Path, server.APIPrefix) || r.Path == web.ActsPath
		if api && got.StatusCode != http.StatusUnauthorized || !api && !asksWho(got) {
			t.Errorf("%s answers %d to %s without the passkey", route, got.StatusCode, name)
		}
	}
	return tried
}

// whoNeeds are the firm's settings, with who needs a passkey.
func whoNeeds(need firm.PasskeyOf) []string {
	return []string{"zone", "Europe/London", "idle", "14", "idle_in", "days", "absolute", "60", "absolute_in", "days",
		"need_passkey", string(need)}
}

var makesOne = []string{"POST /passkeys", "POST /passkeys/begin"}

// Where the firm wants passkeys nothing opens without one, by any route.
func TestNothingOpensWithoutAWantedPasskey(t *testing.T) {
	w := newWorldAt(t, "http://localhost:8080")
	owner := w.as(t, w.Owner)
	has(t, owner.refused(http.StatusBadRequest, "/firm", whoNeeds(firm.OfRunners)...), "you have no passkey yourself",
		"Europe/London", `value="runners" checked="checked"`)
	has(t, owner.refused(http.StatusBadRequest, "/firm", whoNeeds("yes")...), "it does not say who needs a passkey")
	k := w.newPasskey(t, w.Owner, id.Session{})
	owner.post("/firm", whoNeeds(firm.OfRunners)...)
	of := newSubject(t, w, "14 Orchard Row")
	has(t, w.withPasskey(t, w.Owner, k).get("/firm"), `value="runners" checked="checked"`)
	w.as(t, w.Electrician).get("/tasks")

	foreman := w.as(t, w.Foreman)
	if tried := opensNothing(t, owner, "an owner", of) + opensNothing(t, foreman, "a foreman", of,
		makesOne...); tried < 300 {
		t.Errorf("%d requests were made", tried)
	}
	foreman = w.as(t, w.Foreman) // by the clock of these tests the one before is old by now
	has(t, foreman.do(http.MethodGet, "/", nil).body, "Make a passkey on this device")
	if r := foreman.do(http.MethodPost, "/passkeys/begin", fields()); r.StatusCode != http.StatusOK {
		t.Errorf("a passkey cannot be made: %d", r.StatusCode)
	}
	w.Clock.Pass(firm.FreshFor)
	for _, route := range makesOne {
		if r := foreman.do(http.MethodPost, strings.TrimPrefix(route, "POST "), fields()); !asksWho(r) {
			t.Errorf("%s answers %d to a foreman of some time ago", route, r.StatusCode)
		}
	}
	mine := w.newPasskey(t, w.Foreman, w.lastSession(t, w.Foreman))
	foreman.get("/") // made in this session
	if r := w.as(t, w.Foreman).do(http.MethodGet, "/", nil); !asksWho(r) {
		t.Errorf("another session answers %d", r.StatusCode)
	}
	if err := w.Firm.EndPasskeyOf(t.Context(), w.Owner, w.Foreman.ID, mine.ID); err != nil {
		t.Fatal(err)
	}
	if r := foreman.do(http.MethodGet, "/", nil); !asksWho(r) {
		t.Errorf("with the passkey taken away it answers %d", r.StatusCode)
	}
	w.withPasskey(t, w.Owner, k).post("/firm", whoNeeds(firm.OfNobody)...)
	foreman.get("/")
}

// Where everybody needs a passkey a trade who comes by a code makes one first, and so does whoever
// is there by a link.
func TestATradeMakesAWantedPasskeyFirst(t *testing.T) {
	w := newWorldAt(t, "http://localhost:8080")
	of := newSubject(t, w, "14 Orchard Row")
	k := w.newPasskey(t, w.Owner, id.Session{})
	w.withPasskey(t, w.Owner, k).post("/firm", whoNeeds(firm.OfEverybody)...)
	_, code, err := w.Firm.Invite(t.Context(), w.Foreman, firm.Invitation{Role: firm.Trade, Trade: words.Electrician,
		EveryJob: true})
	if err != nil {
		t.Fatal(err)
	}
	r := visitor{t: t, w: w}.do(http.MethodPost, "/invited/"+code, fields("name", "Dara Quill"))
	dara := visitor{t, w, r.Cookies()[0].Value}
	has(t, dara.do(http.MethodGet, r.Header.Get("Location"), nil).body, "Make a passkey on this device")
	opensNothing(t, dara, "a newcomer", of, makesOne...)
	client := w.Add(t, "Wim Haas", firm.Client, "")
	opensNothing(t, w.as(t, client), "a client", of, makesOne...)
	got, err := w.Firm.Session(t.Context(), dara.session)
	if err != nil {
		t.Fatal(err)
	}
	w.newPasskey(t, got, w.lastSession(t, got))
	dara.get("/tasks")
}

// lastSession is the one that somebody used last.
func (w *world) lastSession(t *testing.T, p firm.Person) id.Session {
	t.Helper()
	all, err := w.Firm.Sessions(t.Context(), p)
	if err != nil || len(all) == 0 {
		t.Fatal(len(all), err)
	}
	return all[0].ID
}
