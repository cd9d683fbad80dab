package oidc

import (
	"context"
	"crypto/subtle"
	"errors"
	"fmt"
	"net/url"
	"slices"

	"lathmark/domain/fault"
	"lathmark/domain/firm"

	rp "github.com/coreos/go-oidc/v3/oidc"
	"golang.org/x/oauth2"
)

// Begin starts an attempt to come in with a provider: where the browser has to
// go, and the cookie that it has to bring back. link is a one-time link that is
// to be used with it; empty: none. Errors: ErrDown; faults: NotFound.
func (p *Providers) Begin(id, link string) (to, cookie string, err error) {
	o, err := p.find(id)
	if err != nil {
		return "", "", err
	}
	m, err := o.ask(p)
	if err != nil {
		return "", "", err
	}
	a := newAttempt(o.ID, link, p.now())
	return m.oauth.AuthCodeURL(a.state(), rp.Nonce(a.nonce()), oauth2.S256ChallengeOption(a.verifier())), a.cookie(), nil
}

// Came is somebody who came back from a provider, with what it says of him.
type Came struct {
	firm.Proof
	Link    string    // the one-time link that is to be used with it; empty: none
	Attempt firm.Hash // by which the store knows that it is used once
}

// Back checks what a browser brings back from a provider: the cookie of the
// attempt and the query of the address. Errors: ErrDown; faults: NotFound,
// Refused for everything that does not hold. The fault says no more than that;
// which check it was goes to the log.
func (p *Providers) Back(ctx context.Context, id, cookie string, q url.Values) (Came, error) {
	o, err := p.find(id)
	if err != nil {
		return Came{}, err
	}
	came, err := p.back(ctx, o, cookie, q)
	var n *no
	if errors.As(err, &n) {
		p.log.WarnContext(ctx, "not let in", "provider", o.ID, "check", n.check, "cause", n.why)
		return Came{}, &fault.Error{Kind: fault.Refused, Msg: "That did not come off. Start again."}
	}
	return came, err
}

// no is a check that did not hold. why holds no secret and nothing of a person.
type no struct{ check, why string }

// Error is check and reason.
func (n *no) Error() string { return n.check + ": " + n.why }

func (p *Providers) back(ctx context.Context, o *provider, cookie string, q url.Values) (Came, error) {
	a, ok := readAttempt(o.ID, cookie, p.now())
	if !ok {
		return Came{}, &no{"attempt", "no cookie, or one that is over"}
	}
	// RFC 6749, section 10.12: the answer belongs to what this browser asked.
	if subtle.ConstantTimeCompare([]byte(one(q, "state")), []byte(a.state())) != 1 {
		return Came{}, &no{"state", "not that of the attempt"}
	}
	m, err := o.ask(p)
	if err != nil {
		return Came{}, err
	}
	// RFC 9207, section 2.4: a provider that names itself is the one we asked.
	if iss := one(q, "iss"); (m.saysIss || q.Has("iss")) && iss != o.Issuer {
		return Came{}, &no{"iss", "the answer is another provider's"}
	}
	if q.Has("error") { // RFC 6749, section 4.1.2.1
		return Came{}, &no{"answer", "the provider let nobody in"}
	}
	code := one(q, "code")
	if code == "" {
		return Came{}, &no{"code", "there is not one"}
	}
	ctx, cancel := context.WithTimeout(rp.ClientContext(ctx, p.http), answerWithin)
	defer cancel()
	token, err := m.oauth.Exchange(ctx, code, oauth2.VerifierOption(a.verifier())) // RFC 7636, section 4.5
	if err != nil {
		return Came{}, notTaken(err)
	}
	proof, err := o.read(ctx, m, token, a)
	return Came{Proof: proof, Link: a.link, Attempt: a.hash()}, err
}

// one returns a parameter that is there once (RFC 6749, section 3.1); else empty.
func one(q url.Values, name string) string {
	if len(q[name]) != 1 {
		return ""
	}
	return q[name][0]
}

// notTaken is why a code got no token. What the provider writes beside its error
// code goes nowhere: it may repeat what it was sent.
func notTaken(err error) error {
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
	return &no{"code", "not taken: " + code}
}

// claims are those of an ID token that go-oidc leaves to us.
type claims struct {
	Party    *string `json:"azp"`
	Session  string  `json:"sid"`
	Email    string  `json:"email"`
	Verified any     `json:"email_verified"`
}

// read checks an ID token (section 3.1.3.7) and takes from it who somebody is.
func (o *provider) read(ctx context.Context, m *metadata, token *oauth2.Token, a attempt) (firm.Proof, error) {
	raw, ok := token.Extra("id_token").(string)
	if !ok {
		return firm.Proof{}, &no{"id token", "there is none"} // section 3.1.3.3
	}
	// Items 2, 3, 6, 7 and 9 of the section: issuer, audience, signature, algorithm, expiry.
	id, err := m.verifier.Verify(ctx, raw)
	if err != nil {
		return firm.Proof{}, &no{"id token", short(err)}
	}
	var c claims
	if err := id.Claims(&c); err != nil {
		return firm.Proof{}, &no{"id token", "its claims cannot be read"}
	}
	switch {
	case subtle.ConstantTimeCompare([]byte(id.Nonce), []byte(a.nonce())) != 1: // item 11
		return firm.Proof{}, &no{"nonce", "not that of the attempt"}
	// item 3
	case slices.ContainsFunc(id.Audience, func(to string) bool {
		return to != o.ClientID && !slices.Contains(o.Audiences,
			to)
	}):
		return firm.Proof{}, &no{"aud", "it is for others, too"}
	case len(id.Audience) > 1 && c.Party == nil, c.Party != nil && *c.Party != o.ClientID: // items 4 and 5
		return firm.Proof{}, &no{"azp", "it was made for another"}
	case id.Subject == "" || len(id.Subject) > 255 || len(c.Session) > 255: // section 2, sub: 255 at most
		return firm.Proof{}, &no{"sub", "none, or too long"}
	case id.IssuedAt.Unix() <= 0 || id.IssuedAt.Before(a.began.Add(-clocksDiffer)): // item 10
		return firm.Proof{}, &no{"iat", "none, or from before the attempt"}
	case id.AccessTokenHash != "" && id.VerifyAccessToken(token.AccessToken) != nil: // section 3.1.3.8
		return firm.Proof{}, &no{"at_hash", "of another access token"}
	}
	out := firm.Proof{Identity: firm.Identity{Issuer: o.Issuer, Subject: id.Subject}, Session: c.Session,
		IssuedAt: id.IssuedAt}
	if c.Email == "" && m.of.UserInfoEndpoint() != "" {
		if c, err = o.info(ctx, m, token, id.Subject); err != nil {
			return firm.Proof{}, err
		}
	}
	out.Email = o.email(c)
	return out, nil
}

// info asks the provider for the e-mail where the token leaves it out, as section
// 5.4 would have it.
func (o *provider) info(ctx context.Context, m *metadata, token *oauth2.Token, subject string) (c claims, err error) {
	info, err := m.of.UserInfo(ctx, oauth2.StaticTokenSource(token))
	if err != nil {
		return c, &no{"userinfo", "not given"} // the error holds what was answered
	}
	if subtle.ConstantTimeCompare([]byte(info.Subject), []byte(subject)) != 1 {
		return c, &no{"userinfo", "of another subject"} // section 5.3.2
	}
	if err := info.Claims(&c); err != nil {
		return c, &no{"userinfo", fmt.Sprintf("cannot be read: %T", err)}
	}
	return c, nil
}

// email returns the e-mail that the provider has made sure of, where its word counts;
// else empty: section 5.1, email_verified. Some write true as a text.
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
