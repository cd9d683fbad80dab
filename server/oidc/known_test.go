package oidc_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/words"
	"lathmark/server/oidc"
	"lathmark/server/oidc/provider"
)

var marks = regexp.MustCompile(`value="[0-9a-f-]{36}"|data-made="[^"]*"`)

// Whoever is not let in sees exactly the same page, whether or not an e-mail
// address is on record.
func TestNobodyLearnsWhetherAnEmailIsKnown(t *testing.T) {
	w := newWorld(t, nil)
	w.email(w.Plumber, "olek@fell.example")
	var first string
	for what, subject := range map[string]string{"known, and not made sure of": "s-olek", "of nobody": "s-zoe"} {
		b := w.browser()
		r := b.signIn(subject)
		b.notIn(what, r, http.StatusForbidden, "")
		body := marks.ReplaceAllString(r.body, "")
		if first == "" {
			first = body
		}
		if body != first || !strings.Contains(body, "No firm knows this account.") || !strings.Contains(body,
			"Ask the foreman for a code.") {
			t.Errorf("%s: %s, and the other: %s", what, textOf(body), textOf(first))
		}
	}
	w.keepsSecrets()
}

// The e-mail address may come from userinfo, which has to be about the same
// subject.
func TestTheEmailFromUserinfo(t *testing.T) {
	w := newWorld(t, func(o *provider.Options, _ *oidc.Config) { o.EmailInToken = false })
	change := func(name string, value any) map[string]func(map[string]any) {
		return map[string]func(map[string]any){"/userinfo": func(answer map[string]any) { answer[name] = value }}
	}
	for _, c := range []struct {
		what   string
		change map[string]func(map[string]any)
		check  string
	}{
		{"about another subject (section 5.3.2)", change("sub", "s-olek"), "userinfo"},
		{"about no subject (section 5.3.2)", change("sub", ""), "userinfo"},
		{"not made sure of (section 5.1)", change("email_verified", false), ""},
		{"no word on it (section 5.1)", change("email_verified", nil), ""},
		{"a number for a word", change("email_verified", 1), "userinfo"},
	} {
		w.middle.set(func(m *middle) { m.answers = c.change })
		b := w.browser()
		b.notIn(c.what, b.signIn("s-ines"), http.StatusForbidden, c.check)
	}
	w.middle.set(func(m *middle) { m.answers = nil })
	b := w.browser()
	if b.signIn("s-ines"); b.in() != "Ines Carro" {
		t.Errorf("nobody is signed in: %s", w.log.check())
	}
}

func TestAProviderVouchesForItsDomains(t *testing.T) {
	w := newWorld(t, func(_ *provider.Options, c *oidc.Config) { c.EmailDomains = []string{"marl.example"} })
	b := w.browser()
	b.notIn("an e-mail that it may not speak for", b.signIn("s-ines"), http.StatusForbidden, "")
}

func TestChoosingAFirm(t *testing.T) {
	w := newWorld(t, nil)
	other := w.Found(t, "Marl & Sons")
	if err := w.Firm.SetEmail(t.Context(), other, other.ID, "ines.carro@fell.example"); err != nil {
		t.Fatal(err)
	}
	b := w.browser()
	page := b.signIn("s-ines")
	if page.StatusCode != http.StatusOK || !strings.Contains(textOf(page.body), "Sign in as Ada Fell") || b.in() != "" {
		t.Fatalf("%d %s", page.StatusCode, textOf(page.body))
	}
	stranger := w.browser()
	stranger.notIn("without the attempt", stranger.do(http.MethodPost, w.at+"/sign-in/firm",
		asked(page.body, 0)), http.StatusForbidden, "")
	attempt := b.cookie("lathmark-attempt")
	forms := map[string]url.Values{}
	for n := range 2 {
		form := asked(page.body, n)
		forms[form.Get("firm")] = form
	}
	b.do(http.MethodPost, w.at+"/sign-in/firm", forms[other.Firm.String()])
	if b.in() != "Ada Fell" {
		t.Errorf("%q is in", b.in())
	}
	stranger.setCookie("lathmark-attempt", attempt)
	stranger.notIn("a second time", stranger.do(http.MethodPost, w.at+"/sign-in/firm",
		forms[w.Owner.Firm.String()]), http.StatusForbidden, "")
}

// Whoever is signed in somewhere and ties an account is offered to sign out there; who is
// in nowhere else goes on to their work.
func TestATiedAccountOffersToSignOutElsewhere(t *testing.T) {
	w := newWorld(t, nil)
	if _, _, err := w.Firm.StartSession(t.Context(), w.Plumber.Firm, w.Plumber.ID); err != nil {
		t.Fatal(err)
	}
	link, _, err := w.Firm.NewDeviceLink(t.Context(), w.Plumber)
	if err != nil {
		t.Fatal(err)
	}
	b := w.browser()
	r := b.yes(b.do(http.MethodGet, b.choose(b.begin(link), "s-olek"), nil))
	if r.to() != "/sessions?done=account" {
		t.Errorf("the tied account leads to %q", r.to())
	}
	if page := b.do(http.MethodGet, w.at+r.to(), nil).body; !strings.Contains(page, "The account is linked.") ||
		!strings.Contains(page, "Sign out everywhere else") {
		t.Errorf("it does not offer that: %s", textOf(page))
	}
	for _, to := range []string{w.browser().signIn("s-olek").to(), w.browser().signIn("s-ines").to()} {
		if to != "/tasks" {
			t.Errorf("what ties nothing, or is in nowhere else, leads to %q", to)
		}
	}
}

// A one-time link and an account: from then on the account alone is enough.
func TestALinkIsTiedToAnAccount(t *testing.T) {
	w := newWorld(t, nil)
	link, err := w.Firm.OneTimeLink(t.Context(), w.Owner, w.Plumber.ID)
	if err != nil {
		t.Fatal(err)
	}
	b := w.browser()
	if page := b.do(http.MethodGet, w.at+"/in/"+link, nil).body; !strings.Contains(page, `name="link" value="`+link) {
		t.Errorf("the link's page offers no account: %s", textOf(page))
	}
	asks := b.do(http.MethodGet, b.choose(b.begin(link), "s-olek"), nil)
	b.notIn("before it is said", asks, http.StatusOK, "")
	if page := textOf(asks.body); !strings.Contains(page, "You come from the office account as s-olek.") ||
		!strings.Contains(page, "sign in as Olek Nowik, plumber of ") {
		t.Errorf("it is not asked: %s", page)
	}
	b.yes(asks)
	if b.in() != "Olek Nowik" {
		t.Fatalf("%q is in; %s", b.in(), w.log.check())
	}
	if want := "sign_in=provider outcome=in member=" + w.Plumber.ID.String(); !strings.Contains(w.log.String(), want) {
		t.Errorf("the log does not say %s", want)
	}
	thief := w.browser()
	thief.notIn("the link again", thief.do(http.MethodGet, thief.choose(thief.begin(link), "s-zoe"), nil),
		http.StatusForbidden, "")
	b = w.browser()
	if b.signIn("s-olek"); b.in() != "Olek Nowik" {
		t.Errorf("%q is in", b.in())
	}
	if strings.Contains(w.log.String(), link) {
		t.Error("the log holds the link")
	}
}

// Whoever joined by a foreman's code signs in again with an account of their
// own.
func TestWhoJoinedByACodeTiesAnAccount(t *testing.T) {
	w := newWorld(t, nil)
	j, err := w.Job.Create(t.Context(), w.Owner, job.Job{Name: "Mill Loft"})
	if err != nil {
		t.Fatal(err)
	}
	_, code, err := w.Firm.Invite(t.Context(), w.Owner, firm.Invitation{Role: firm.Trade, Trade: words.Tiler,
		Jobs: []id.Job{j.ID}})
	if err != nil {
		t.Fatal(err)
	}
	b := w.browser()
	b.do(http.MethodPost, w.at+"/invited/"+code, url.Values{"name": {"Zoe Marl"}})
	if b.in() != "Zoe Marl" {
		t.Fatalf("%q is in", b.in())
	}
	page := b.do(http.MethodPost, w.at+"/sessions/device", url.Values{}).body
	link := regexp.MustCompile(`name="link" value="([A-Za-z0-9_-]{64})"`).FindStringSubmatch(page)
	if link == nil {
		t.Fatalf("no account is offered: %s", textOf(page))
	}
	b.yes(b.do(http.MethodGet, b.choose(b.begin(link[1]), "s-zoe"), nil))
	if b.in() != "Zoe Marl" {
		t.Errorf("%q is in after tying: %s", b.in(), w.log.check())
	}
	b = w.browser()
	if b.signIn("s-zoe"); b.in() != "Zoe Marl" {
		t.Errorf("with the account %q is in", b.in())
	}
}

// A provider that is down blocks nothing else, and is asked again.
func TestAProviderThatIsDown(t *testing.T) {
	w := newWorld(t, nil)
	down := func(paths ...string) { w.middle.set(func(m *middle) { m.down = paths }) }
	b := w.browser()
	down("all")
	b.notIn("down when one sets out", b.do(http.MethodPost, w.at+"/sign-in/with/op", url.Values{}),
		http.StatusServiceUnavailable, "")
	if r := b.do(http.MethodGet, w.at+"/sign-in", nil); r.StatusCode != http.StatusOK {
		t.Errorf("the sign-in page answers %d", r.StatusCode)
	}
	down()
	b.notIn("not asked again at once", b.do(http.MethodPost, w.at+"/sign-in/with/op", url.Values{}),
		http.StatusServiceUnavailable, "")
	w.pass(10 * time.Second)
	back := b.choose(b.begin(""), "s-ines")
	down("/oauth/token")
	b.notIn("down when one comes back", b.do(http.MethodGet, back, nil), http.StatusServiceUnavailable, "")
	down()
	if b.signIn("s-ines"); b.in() != "Ines Carro" {
		t.Errorf("up again nobody is signed in: %s", w.log.check())
	}
	b = w.browser()
	b.notIn("one that never was up", b.do(http.MethodPost, w.at+"/sign-in/with/other", url.Values{}),
		http.StatusServiceUnavailable, "")
}

// A provider's metadata has to be about the issuer that was asked (Discovery
// 1.0, section 4.3), and must not lead to unencrypted addresses.
func TestDiscoveryThatDoesNotHold(t *testing.T) {
	for what, change := range map[string]func(map[string]any){
		"another issuer":      func(m map[string]any) { m["issuer"] = "https://elsewhere.example" },
		"tokens in the clear": func(m map[string]any) { m["token_endpoint"] = "http://elsewhere.example/token" },
		"keys in the clear":   func(m map[string]any) { m["jwks_uri"] = "http://elsewhere.example/keys" },
		"no keys":             func(m map[string]any) { delete(m, "jwks_uri") },
	} {
		w := newWorld(t, nil)
		w.middle.set(func(m *middle) {
			m.answers = map[string]func(map[string]any){"/.well-known/openid-configuration": change}
		})
		b := w.browser()
		b.notIn(what, b.do(http.MethodPost, w.at+"/sign-in/with/op", url.Values{}), http.StatusServiceUnavailable, "")
	}
	// RFC 9207, section 2.4: a provider that promises to name itself has to.
	w := newWorld(t, nil)
	w.middle.set(func(m *middle) {
		m.answers = map[string]func(map[string]any){"/.well-known/openid-configuration": func(m map[string]any) {
			m["authorization_response_iss_parameter_supported"] = true
		}}
	})
	b := w.browser()
	b.notIn("it does not name itself", b.signIn("s-ines"), http.StatusForbidden, "iss")
	back := b.choose(b.begin(""), "s-ines")
	if b.yes(b.do(http.MethodGet, with(back, func(q url.Values) { q.Set("iss", w.op.Issuer) }),
		nil)); b.in() != "Ines Carro" {
		t.Errorf("it names itself and nobody is signed in: %s", w.log.check())
	}
}

// A new key is fetched when it is first seen (section 10.1.1), and a withdrawn
// one is accepted for an hour at most.
func TestKeysAreRotated(t *testing.T) {
	w := newWorld(t, nil)
	var old string
	w.middle.set(func(m *middle) {
		m.token = func(c map[string]any) string { old = w.honest(c); return old }
	})
	b := w.browser()
	if b.signIn("s-ines"); b.in() != "Ines Carro" {
		t.Fatalf("nobody is signed in: %s", w.log.check())
	}
	w.middle.set(func(m *middle) { m.token = nil })
	for range 2 {
		if err := w.op.Rotate(); err != nil {
			t.Fatal(err)
		}
		b = w.browser()
		if b.signIn("s-ines"); b.in() != "Ines Carro" {
			t.Errorf("with a new key nobody is signed in: %s", w.log.check())
		}
	}
	w.pass(time.Hour)
	w.middle.set(func(m *middle) { m.token = func(map[string]any) string { return old } })
	b = w.browser()
	b.notIn("signed with a key that was withdrawn", b.signIn("s-ines"), http.StatusForbidden, "id token")
	if !strings.Contains(w.log.String(), "failed to verify") {
		t.Errorf("it was not the signature: %s", w.log.String())
	}
}
