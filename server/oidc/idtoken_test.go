package oidc_test

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"encoding/base64"
	"encoding/json"
	"encoding/pem"
	"net/http"
	"strings"
	"testing"
	"time"

	"lathmark/server/oidc"
	"lathmark/server/oidc/provider"

	"github.com/go-jose/go-jose/v4"
)

// sign signs claims with a key and a header of the caller's choice.
func sign(t *testing.T, alg jose.SignatureAlgorithm, key any, head map[string]any, claims map[string]any) string {
	t.Helper()
	o := &jose.SignerOptions{ExtraHeaders: map[jose.HeaderKey]any{}}
	for name, value := range head {
		if name == "jwk" {
			o.EmbedJWK = true
			continue
		}
		o.ExtraHeaders[jose.HeaderKey(name)] = value
	}
	s, err := jose.NewSigner(jose.SigningKey{Algorithm: alg, Key: key}, o)
	if err != nil {
		t.Fatal(err)
	}
	signed, err := s.Sign(payload(t, claims))
	if err != nil {
		t.Fatal(err)
	}
	out, err := signed.CompactSerialize()
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func payload(t *testing.T, claims map[string]any) []byte {
	t.Helper()
	out, err := json.Marshal(claims)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// unsigned returns a token of the algorithm none.
func unsigned(t *testing.T, claims map[string]any) string {
	t.Helper()
	return base64.RawURLEncoding.EncodeToString([]byte(`{"alg":"none","typ":"JWT"}`)) + "." +
		base64.RawURLEncoding.EncodeToString(payload(t, claims)) + "."
}

// published returns the provider's public key, as anybody can fetch it.
func (w *world) published() jose.JSONWebKey {
	w.t.Helper()
	var set jose.JSONWebKeySet
	if err := json.Unmarshal([]byte(w.browser().do(http.MethodGet, w.op.Issuer+"/keys", nil).body), &set); err != nil ||
		len(set.Keys) == 0 {
		w.t.Fatalf("keys %+v (%v)", set, err)
	}
	return set.Keys[len(set.Keys)-1]
}

// honest signs claims as the provider would.
func (w *world) honest(claims map[string]any) string {
	token, err := w.op.Sign(claims)
	if err != nil {
		w.t.Error(err)
	}
	return token
}

// Everything that can be wrong with an ID token, one thing at a time. The
// sections are of OpenID Connect Core 1.0 unless stated otherwise, all from
// memory.
func TestIDTokensThatDoNotHold(t *testing.T) {
	w := newWorld(t, func(_ *provider.Options, c *oidc.Config) { c.Audiences = []string{"reports"} })
	mine, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	theirs := w.published()
	der, err := x509.MarshalPKIXPublicKey(theirs.Key)
	if err != nil {
		t.Fatal(err)
	}
	inPEM := pem.EncodeToMemory(&pem.Block{Type: "PUBLIC KEY", Bytes: der})
	type claims = map[string]any
	set := func(name string, value any) func(claims) string {
		return func(c claims) string {
			if c[name] = value; value == nil {
				delete(c, name)
			}
			return w.honest(c)
		}
	}
	ago := func(d time.Duration) int64 { return time.Now().Add(-d).Unix() }
	for _, c := range []struct {
		what, section string
		token         func(claims) string
		check         string // the check that rejects it
	}{
		{"another issuer", "3.1.3.7 item 2", set("iss", "https://elsewhere.example"), "id token"},
		{"no issuer", "3.1.3.7 item 2", set("iss", nil), "id token"},
		{"the issuer with a slash", "3.1.3.7 item 2", set("iss", w.op.Issuer+"/"), "id token"},
		{"another audience", "3.1.3.7 item 3", set("aud", []string{"another"}), "id token"},
		{"no audience", "3.1.3.7 item 3", set("aud", nil), "id token"},
		{"one more audience", "3.1.3.7 item 3", set("aud", []string{"lathmark", "another"}), "aud"},
		{"several audiences, made for none", "3.1.3.7 item 4", func(c claims) string {
			c["aud"] = []string{"lathmark", "reports"}
			return set("azp", nil)(c)
		}, "azp"},
		{"made for another", "3.1.3.7 item 5", set("azp", "another"), "azp"},
		{"made for nobody", "3.1.3.7 item 5", set("azp", ""), "azp"},
		{"signed with another key of the same name", "3.1.3.7 item 6", func(c claims) string {
			return sign(t, jose.ES256, mine, map[string]any{"kid": theirs.KeyID}, c)
		}, "id token"},
		{"signed with a key that the token brings", "RFC 7515 section 4.1.3", func(c claims) string {
			return sign(t, jose.ES256, mine, map[string]any{"jwk": true}, c)
		}, "id token"},
		{"signed with a key that it tells where to fetch", "RFC 7515 section 4.1.2", func(c claims) string {
			return sign(t, jose.ES256, mine, map[string]any{"jku": "https://elsewhere.example/keys"}, c)
		}, "id token"},
		{"changed after it was signed", "3.1.3.7 item 6", func(c claims) string {
			parts := strings.Split(w.honest(c), ".")
			c["sub"] = "s-olek"
			return parts[0] + "." + base64.RawURLEncoding.EncodeToString(payload(t, c)) + "." + parts[2]
		}, "id token"},
		{"the signature cut off", "3.1.3.7 item 6", func(c claims) string {
			parts := strings.Split(w.honest(c), ".")
			return parts[0] + "." + parts[1] + "."
		}, "id token"},
		{"of the algorithm none", "3.1.3.7 item 7, RFC 8725 section 3.2", func(c claims) string { return unsigned(t, c) },
			"id token"},
		{"signed with the client's secret", "3.1.3.7 item 8, RFC 8725 section 3.1", func(c claims) string {
			return sign(t, jose.HS256, []byte(clientSecret), nil, c)
		}, "id token"},
		{"signed with the public key as a secret, in PEM", "RFC 8725 section 2.1", func(c claims) string {
			return sign(t, jose.HS256, inPEM, map[string]any{"kid": theirs.KeyID}, c)
		}, "id token"},
		{"signed with the public key as a secret, in DER", "RFC 8725 section 2.1", func(c claims) string {
			return sign(t, jose.HS256, der, map[string]any{"kid": theirs.KeyID}, c)
		}, "id token"},
		{"run out", "3.1.3.7 item 9", set("exp", ago(time.Minute)), "id token"},
		{"never running out", "3.1.3.7 item 9", set("exp", nil), "id token"},
		{"not good yet", "RFC 7519 section 4.1.5", set("nbf", ago(-time.Hour)), "id token"},
		{"of yesterday", "3.1.3.7 item 10", set("iat", ago(24*time.Hour)), "iat"},
		{"of no time", "section 2", set("iat", nil), "iat"},
		{"of somebody who signs in tomorrow", "section 2", set("auth_time", ago(-24*time.Hour)), "auth_time"},
		{"of somebody who signed in at no time", "section 2", set("auth_time", 1e300), "auth_time"},
		{"without a nonce", "3.1.3.7 item 11", set("nonce", nil), "nonce"},
		{"with another nonce", "3.1.3.7 item 11", set("nonce", "AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"), "nonce"},
		{"about nobody", "section 2", set("sub", nil), "sub"},
		{"about too long a name", "section 2", set("sub", strings.Repeat("a", 256)), "sub"},
		{"with another access token", "3.1.3.8", set("at_hash", "AAAAAAAAAAAAAAAAAAAAAA"), "at_hash"},
		{"a number for a subject", "section 2", set("sub", 7), "id token"},
		{"no token", "3.1.3.3", func(claims) string { return "" }, "id token"},
		{"two parts", "RFC 7515 section 3.1", func(c claims) string { return "a.b" }, "id token"},
		{"in the other form of signing", "RFC 7515 section 7.2", func(c claims) string {
			parts := strings.Split(w.honest(c), ".")
			return `{"payload":"` + parts[1] + `","signatures":[{"protected":"` + parts[0] + `","signature":"` +
				parts[2] + `"},{"protected":"` + parts[0] + `","signature":"` + parts[2] + `"}]}`
		}, "id token"},
	} {
		w.middle.set(func(m *middle) { m.token = c.token })
		b := w.browser()
		b.notIn(c.what+" ("+c.section+")", b.signIn("s-ines"), http.StatusForbidden, c.check)
	}
	// The control: with only permitted changes, the sign-in succeeds.
	for what, token := range map[string]func(claims) string{
		"signed anew":                 w.honest,
		"for a trusted other as well": set("aud", []string{"lathmark", "reports"}),
		"for one, as a text":          set("aud", "lathmark"),
		"without at_hash":             set("at_hash", nil),
		"without azp":                 set("azp", nil),
		"the e-mail's word as a text": set("email_verified", "true"),
	} {
		w.middle.set(func(m *middle) { m.token = token })
		b := w.browser()
		if b.signIn("s-ines"); b.in() != "Ines Carro" {
			t.Errorf("%s: nobody is signed in; %s", what, w.log.check())
		}
	}
	w.keepsSecrets()
}

// keepsSecrets checks that no secret is in the log.
func (w *world) keepsSecrets() {
	w.t.Helper()
	log := w.log.String()
	secrets := []string{clientSecret, "s-ines", "s-olek", "s-zoe", "fell.example", "nowhere.example", "eyJ", "Ines",
		"Olek"}
	w.middle.set(func(m *middle) {
		var answer map[string]any
		if json.Unmarshal(m.last["/oauth/token"], &answer) == nil {
			for _, name := range []string{"access_token", "id_token"} {
				if text, ok := answer[name].(string); ok {
					secrets = append(secrets, text)
				}
			}
		}
	})
	for _, secret := range secrets {
		if strings.Contains(log, secret) {
			w.t.Errorf("the log holds %q", secret)
		}
	}
	if !strings.Contains(log, "/sign-in/back/:provider") {
		w.t.Error("the log says nothing")
	}
}
