// Package oidc signs people in with an account that they have elsewhere, by
// OpenID Connect: the authorization code flow with PKCE, state and nonce. It
// checks what a provider says; the domain decides who that is in a firm. It
// also accepts a provider's message that somebody signed out (back-channel
// logout).
//
// The sections named beside the checks are those of OpenID Connect Core 1.0
// unless stated otherwise.
package oidc
