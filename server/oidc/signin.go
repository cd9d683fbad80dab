package oidc

import (
	"context"
	"crypto/subtle"
	"errors"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"

	rp "github.com/coreos/go-oidc/v3/oidc"
	"golang.org/x/oauth2"
)

// Begin starts an attempt to sign in with a provider: it returns where the
// browser has to go, and the cookie that it has to bring back. link is a
// one-time link that is to be used with it; empty: none. again has the provider ask who it
// is once more (section 3.1.2.1, max_age), unless it did just now; whether it was so, the
// proof's SignedAt says. Errors: ErrDown; faults: NotFound.
func (p *Providers) Begin(id, link string, again bool) (to, cookie string, err error) {
	o, err := p.find(id)
	if err != nil {
		return "", "", err
	}
	m, err := o.ask(p)
	if err != nil {
		return "", "", err
	}
	a := newAttempt(o.ID, link, p.now())
	with := []oauth2.AuthCodeOption{rp.Nonce(a.nonce()), oauth2.S256ChallengeOption(a.verifier())}
	if again {
		with = append(with, oauth2.SetAuthURLParam("max_age", maxAge))
	}
	return m.oauth.AuthCodeURL(a.state(), with...), a.cookie(), nil
}

// maxAge is how old a sign-in at the provider may be, in seconds, where it is asked for
// again: half of what counts as fresh, so that time is left to do what it was asked for.
var maxAge = strconv.Itoa(int(firm.FreshFor.Seconds()) / 2)

// Arrival is somebody who came back from a provider, with what it says of them.
type Arrival struct {
	firm.Proof
	Link    string    // the one-time link that is to be used with it; empty: none
	Attempt firm.Hash // by which the store makes sure that it is used once
}

// Finish checks what a browser brings back from a provider: the attempt's
// cookie and the query of the address. Errors: ErrDown; faults: NotFound,
// Refused for every check that fails. The fault does not say which check it
// was; the log does.
func (p *Providers) Finish(ctx context.Context, id, cookie string, q url.Values) (Arrival, error) {
	o, err := p.find(id)
	if err != nil {
		return Arrival{}, err
	}
	came, err := p.finish(ctx, o, cookie, q)
	return came, p.told(ctx, o, "not signed in", err, &fault.Error{Kind: fault.Refused,
		Msg: "That did not come off. Start again."})
}

// failure is a check that failed. why holds no secret and nothing about a
// person.
type failure struct{ check, why string }

// told logs what check failed, and returns the fault in its place: that does not
// say it. Other errors stay what they are.
func (p *Providers) told(ctx context.Context, o *provider, what string, err error, in *fault.Error) error {
	var n *failure
	if !errors.As(err, &n) {
		return err
	}
	p.log.WarnContext(ctx, what, "provider", o.ID, "check", n.check, "cause", n.why)
	return in
}

// Error returns check and reason.
func (n *failure) Error() string { return n.check + ": " + n.why }

func (p *Providers) finish(ctx context.Context, o *provider, cookie string, q url.Values) (Arrival, error) {
	a, ok := readAttempt(o.ID, cookie, p.now())
	if !ok {
		return Arrival{}, &failure{"attempt", "no cookie, or one that is over"}
	}
	// RFC 6749, section 10.12: the answer must belong to what this browser
	// asked.
	if subtle.ConstantTimeCompare([]byte(single(q, "state")), []byte(a.state())) != 1 {
		return Arrival{}, &failure{"state", "not that of the attempt"}
	}
	m, err := o.ask(p)
	if err != nil {
		return Arrival{}, err
	}
	// RFC 9207, section 2.4: a provider that names itself must be the one we
	// asked.
	if iss := single(q, "iss"); (m.saysIss || q.Has("iss")) && iss != o.Issuer {
		return Arrival{}, &failure{"iss", "the answer is another provider's"}
	}
	if q.Has("error") { // RFC 6749, section 4.1.2.1
		return Arrival{}, &failure{"answer", "the provider refused the sign-in"}
	}
	code := single(q, "code")
	if code == "" {
		return Arrival{}, &failure{"code", "there is not one"}
	}
	ctx, cancel := context.WithTimeout(rp.ClientContext(ctx, p.http), answerTimeout)
	defer cancel()
	token, err := m.oauth.Exchange(ctx, code, oauth2.VerifierOption(a.verifier())) // RFC 7636, section 4.5
	if err != nil {
		return Arrival{}, exchangeFailure(err)
	}
	proof, err := o.read(ctx, m, token, a)
	if err == nil && proof.SignedAt.After(p.now().Add(maxClockSkew)) { // section 2, auth_time
		return Arrival{}, &failure{"auth_time", "not yet"}
	}
	return Arrival{Proof: proof, Link: a.link, Attempt: a.hash()}, err
}

// single returns a parameter that occurs once (RFC 6749, section 3.1), else "".
func single(q url.Values, name string) string {
	if len(q[name]) != 1 {
		return ""
	}
	return q[name][0]
}

// exchangeFailure returns why a code got no token. What the provider writes
// beside its error code is dropped: it may repeat what it was sent.
func exchangeFailure(err error) error {
	var answer *oauth2.RetrieveError
	if !errors.As(err, &answer) {
		return ErrDown
	}
	if answer.Response != nil && answer.Response.StatusCode >= 500 {
		return ErrDown
	}
	code := answer.ErrorCode
	if !slices.Contains([]string{"invalid_request", "invalid_client", "invalid_grant", "unauthorized_client",
		"unsupported_grant_type", "invalid_scope"}, code) {
		code = "another error" // RFC 6749, section 5.2 has those above
	}
	return &failure{"code", "not taken: " + code}
}

// claims holds the claims of an ID token that go-oidc leaves to us.
type claims struct {
	Party    *string `json:"azp"`
	Session  string  `json:"sid"`
	Email    string  `json:"email"`
	Verified any     `json:"email_verified"`
	SignedAt float64 `json:"auth_time"` // seconds since 1970 (section 2)
}

// read checks an ID token (section 3.1.3.7) and takes the person's identity
// from it.
func (o *provider) read(ctx context.Context, m *metadata, token *oauth2.Token, a attempt) (firm.Proof, error) {
	raw, ok := token.Extra("id_token").(string)
	if !ok {
		return firm.Proof{}, &failure{"id token", "there is none"} // section 3.1.3.3
	}
	// Items 2, 3, 6, 7 and 9 of the section: issuer, audience, signature, algorithm, expiry.
	id, err := m.verifier.Verify(ctx, raw)
	if err != nil {
		return firm.Proof{}, &failure{"id token", short(err)}
	}
	var c claims
	if err := id.Claims(&c); err != nil {
		return firm.Proof{}, &failure{"id token", "its claims cannot be read"}
	}
	switch {
	case subtle.ConstantTimeCompare([]byte(id.Nonce), []byte(a.nonce())) != 1: // item 11
		return firm.Proof{}, &failure{"nonce", "not that of the attempt"}
	case slices.ContainsFunc(id.Audience, o.foreign): // item 3
		return firm.Proof{}, &failure{"aud", "it is for others, too"}
	case len(id.Audience) > 1 && c.Party == nil, c.Party != nil && *c.Party != o.ClientID: // items 4 and 5
		return firm.Proof{}, &failure{"azp", "it was made for another"}
	case id.Subject == "" || len(id.Subject) > 255 || len(c.Session) > 255: // section 2, sub: 255 at most
		return firm.Proof{}, &failure{"sub", "none, or too long"}
	case id.IssuedAt.Unix() <= 0 || id.IssuedAt.Before(a.began.Add(-maxClockSkew)): // item 10
		return firm.Proof{}, &failure{"iat", "none, or from before the attempt"}
	case c.SignedAt < 0 || c.SignedAt > 1e11: // section 2, auth_time; the year 5138
		return firm.Proof{}, &failure{"auth_time", "no time"}
	case id.AccessTokenHash != "" && id.VerifyAccessToken(token.AccessToken) != nil: // section 3.1.3.8
		return firm.Proof{}, &failure{"at_hash", "of another access token"}
	}
	out := firm.Proof{Identity: firm.Identity{Issuer: o.Issuer, Subject: id.Subject}, Session: c.Session,
		IssuedAt: id.IssuedAt}
	if c.SignedAt > 0 {
		out.SignedAt = time.Unix(int64(c.SignedAt), 0)
	}
	if c.Email == "" && m.of.UserInfoEndpoint() != "" {
		if c, err = o.info(ctx, m, token, id.Subject); err != nil {
			return firm.Proof{}, err
		}
	}
	out.Email = o.email(c)
	return out, nil
}

// info asks the provider for the e-mail address if the token leaves it out, as
// section 5.4 recommends.
func (o *provider) info(ctx context.Context, m *metadata, token *oauth2.Token, subject string) (c claims, err error) {
	info, err := m.of.UserInfo(ctx, oauth2.StaticTokenSource(token))
	if err != nil {
		return c, &failure{"userinfo", "not given"} // the error contains the answer
	}
	if subtle.ConstantTimeCompare([]byte(info.Subject), []byte(subject)) != 1 {
		return c, &failure{"userinfo", "of another subject"} // section 5.3.2
	}
	if err := info.Claims(&c); err != nil {
		return c, &failure{"userinfo", fmt.Sprintf("cannot be read: %T", err)}
	}
	return c, nil
}

// email returns the e-mail address if the provider has verified it and is
// trusted to, else "": section 5.1, email_verified. Some write true as a
// string.
func (o *provider) email(c claims) string {
	if c.Verified != true && c.Verified != "true" {
		return ""
	}
	email, err := firm.CheckEmail(c.Email)
	if err != nil || !o.vouches(email) {
		return ""
	}
	return email
}
