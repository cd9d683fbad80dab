package oidc

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"strconv"
	"strings"
	"time"

	"lathmark/domain/firm"
)

// attempt is one attempt to sign in. The browser keeps it in a cookie: a secret
// of 256 bits, when it began, and the one-time link that is to be used with it,
// if any. Everything else is derived from these, so that nothing can be swapped
// between attempts: the state, the nonce and the PKCE verifier.
type attempt struct {
	provider, secret, link string
	began                  time.Time
}

func newAttempt(provider, link string, now time.Time) attempt {
	var secret [32]byte
	rand.Read(secret[:])
	return attempt{provider: provider, link: link, began: now, secret: base64.RawURLEncoding.EncodeToString(secret[:])}
}

// cookie returns the value that readAttempt reads.
func (a attempt) cookie() string {
	return a.secret + "." + strconv.FormatInt(a.began.Unix(), 10) + "." + a.link
}

// readAttempt reads a provider's cookie; false for none, or an expired one.
func readAttempt(provider, cookie string, now time.Time) (attempt, bool) {
	secret, rest, _ := strings.Cut(cookie, ".")
	began, link, _ := strings.Cut(rest, ".")
	unix, err := strconv.ParseInt(began, 10, 64)
	raw, err2 := base64.RawURLEncoding.DecodeString(secret)
	a := attempt{provider, secret, link, time.Unix(unix, 0)}
	age := now.Sub(a.began)
	return a, err == nil && err2 == nil && len(raw) == 32 && age > -time.Minute && age < firm.AttemptLifetime
}

// part derives a value of the attempt for one use: 43 letters, of 256 bits.
func (a attempt) part(use string) string {
	mac := hmac.New(sha256.New, []byte(a.secret))
	for _, text := range []string{use, a.provider, strconv.FormatInt(a.began.Unix(), 10), a.link} {
		mac.Write([]byte(text + "\x00"))
	}
	return base64.RawURLEncoding.EncodeToString(mac.Sum(nil))
}

func (a attempt) state() string    { return a.part("state") }
func (a attempt) nonce() string    { return a.part("nonce") }
func (a attempt) verifier() string { return a.part("verifier") } // RFC 7636, section 4.1: 43 to 128 letters

// hash returns what identifies the attempt in the store.
func (a attempt) hash() firm.Hash { return AttemptOf(a.cookie()) }

// Asked is a cookie's attempt as the page says it that asks whether to go on with it, so that
// the answer is about that attempt, and with its link, and no other.
func Asked(cookie string) string {
	secret, rest, _ := strings.Cut(cookie, ".")
	mac := hmac.New(sha256.New, []byte(secret))
	mac.Write([]byte("asked\x00" + rest))
	return base64.RawURLEncoding.EncodeToString(mac.Sum(nil))
}

// LinkOf returns the one-time link that is to be used with a cookie's attempt; empty:
// none.
func LinkOf(cookie string) string {
	_, rest, _ := strings.Cut(cookie, ".")
	_, link, _ := strings.Cut(rest, ".")
	return link
}

// AttemptOf returns what identifies a cookie's attempt in the store. The store
// knows no attempt for anything that is not our cookie.
func AttemptOf(cookie string) firm.Hash {
	secret, _, _ := strings.Cut(cookie, ".")
	return sha256.Sum256([]byte("attempt\x00" + secret))
}
