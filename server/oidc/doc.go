// Package oidc lets people come in with an account that they have elsewhere, by
// OpenID Connect: the authorization code flow with PKCE, state and nonce. It
// checks what a provider says; who that is in a firm, the domain decides. It also
// takes a provider's word that somebody went out (back-channel logout).
//
// The sections named beside the checks are those of OpenID Connect Core 1.0 if
// nothing else is said.
package oidc
