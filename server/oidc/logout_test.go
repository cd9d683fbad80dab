package oidc_test

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/go-jose/go-jose/v4"
)

const event = "http://schemas.openid.net/event/backchannel-logout"

// message returns correct claims of a logout token.
func (w *world) message(sub, sid string) map[string]any {
	c := map[string]any{"iss": w.op.Issuer, "aud": "lathmark", "iat": time.Now().Unix(),
		"exp": time.Now().Add(2 * time.Minute).Unix(), "jti": "j1",
		"events": map[string]any{event: map[string]any{}}}
	if sub != "" {
		c["sub"] = sub
	}
	if sid != "" {
		c["sid"] = sid
	}
	return c
}

// say posts a logout token as a provider does, without a browser.
func (w *world) say(token string) reply {
	w.t.Helper()
	r, err := http.PostForm(w.at+"/sign-in/out/op", url.Values{"logout_token": {token}})
	if err != nil {
		w.t.Fatal(err)
	}
	defer r.Body.Close()
	return reply{Response: r}
}

// Everything that can be wrong with a logout token, one thing at a time:
// Back-Channel Logout 1.0, section 2.6 with its steps, from memory.
func TestLogoutTokensThatDoNotHold(t *testing.T) {
	w := newWorld(t, nil)
	b := w.browser()
	b.signIn("s-ines")
	mine, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	set := func(name string, value any) string {
		c := w.message("s-ines", "")
		if c[name] = value; value == nil {
			delete(c, name)
		}
		return w.honest(c)
	}
	var idToken string
	w.middle.set(func(m *middle) {
		m.token = func(c map[string]any) string { idToken = w.honest(c); return idToken }
	})
	w.browser().signIn("s-ines")
	for what, token := range map[string]string{
		"none":     "",
		"too long": strings.Repeat("a", 17<<10),
		"no token": "a.b.c",
		"step 2, another key": sign(t, jose.ES256, mine, map[string]any{"kid": w.published().KeyID},
			w.message("s-ines", "")),
		"step 2, its own key":         sign(t, jose.ES256, mine, map[string]any{"jwk": true}, w.message("s-ines", "")),
		"step 2, none":                unsigned(t, w.message("s-ines", "")),
		"step 2, the client's secret": sign(t, jose.HS256, []byte(clientSecret), nil, w.message("s-ines", "")),
		"step 3, issuer":              set("iss", "https://elsewhere.example"),
		"step 3, audience":            set("aud", "another"),
		"step 3, one more audience":   set("aud", []string{"lathmark", "another"}),
		"step 3, run out":             set("exp", time.Now().Add(-time.Minute).Unix()),
		"step 3, never running out":   set("exp", nil),
		"step 3, of no time":          set("iat", nil),
		"step 3, of the future":       set("iat", time.Now().Add(time.Hour).Unix()),
		"step 4, about nobody":        set("sub", nil),
		"step 5, no events":           set("events", nil),
		"step 5, another event": set("events",
			map[string]any{"http://schemas.openid.net/event/other": map[string]any{}}),
		"step 5, an event of nothing": set("events", map[string]any{event: nil}),
		"step 5, an event of words":   set("events", map[string]any{event: "out"}),
		"step 6, a nonce":             set("nonce", "n"),
		"step 6, an empty nonce":      set("nonce", ""),
		"section 2.4, no id":          set("jti", nil),
		"an ID token":                 idToken,
		"another kind (RFC 8725 3.11)": func() string {
			signer := w.message("s-ines", "")
			return sign(t, jose.ES256, mine, map[string]any{"typ": "at+jwt"}, signer)
		}(),
		"about too long a name": set("sub", strings.Repeat("a", 256)),
	} {
		if r := w.say(token); r.StatusCode != http.StatusBadRequest || r.Header.Get("Cache-Control") != "no-store" {
			t.Errorf("%s: answers %d, Cache-Control %q", what, r.StatusCode, r.Header.Get("Cache-Control"))
		}
		if strings.HasPrefix(what, "another kind") && w.log.check() != "typ" {
			t.Errorf("%s: it was held up by %q", what, w.log.check())
		}
		if b.in() != "Ines Carro" {
			t.Fatalf("%s: it ended the session", what)
		}
	}
	if r := b.do(http.MethodGet, w.at+"/sign-in/out/op", nil); r.StatusCode != http.StatusMethodNotAllowed {
		t.Errorf("a get answers %d", r.StatusCode)
	}
	w.keepsSecrets()
}

// Signing out at the provider signs out here; signing out here does not sign
// out at the provider.
func TestGoingOut(t *testing.T) {
	w := newWorld(t, nil)
	phone, desk := w.browser(), w.browser()
	phone.signIn("s-ines")
	desk.signIn("s-ines")
	_, own, err := w.Firm.StartSession(t.Context(), w.Electrician.Firm, w.Electrician.ID)
	if err != nil {
		t.Fatal(err)
	}
	link := w.browser()
	link.setCookie("lathmark", own)
	// At the provider's page, in the phone's browser.
	if r := phone.do(http.MethodPost, w.op.Issuer+"/out", url.Values{}); r.StatusCode != http.StatusOK {
		t.Fatalf("the provider answers %d: %s", r.StatusCode, r.body)
	}
	if phone.in() != "" || desk.in() != "Ines Carro" || link.in() != "Ines Carro" {
		t.Errorf("after going out on the phone: phone %q, desk %q, by a link %q", phone.in(), desk.in(), link.in())
	}
	token := w.honest(w.message("s-ines", ""))
	if r := w.say(token); r.StatusCode != http.StatusOK || r.Header.Get("Cache-Control") != "no-store" {
		t.Errorf("answers %d", r.StatusCode)
	}
	if desk.in() != "" || link.in() != "Ines Carro" {
		t.Errorf("after going out everywhere: desk %q, by a link %q", desk.in(), link.in())
	}
	// Repeated after the next sign-in: it ends nothing that was issued later.
	w.middle.set(func(m *middle) {
		m.token = func(c map[string]any) string { c["iat"] = time.Now().Unix() + 1; return w.honest(c) }
	})
	desk.signIn("s-ines")
	if r := w.say(token); r.StatusCode != http.StatusOK || desk.in() != "Ines Carro" {
		t.Errorf("said again: answers %d, %q is in", r.StatusCode, desk.in())
	}
	desk.do(http.MethodPost, w.at+"/sign-out", url.Values{})
	if desk.in() != "" {
		t.Error("after signing out the browser is still signed in")
	}
	if r := w.say(w.honest(w.message("s-nobody", ""))); r.StatusCode != http.StatusOK {
		t.Errorf("about somebody who is not in: answers %d", r.StatusCode) // section 2.7: no error
	}
}
