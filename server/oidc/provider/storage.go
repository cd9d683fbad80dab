package provider

import (
	"context"
	"crypto/subtle"
	"errors"
	"maps"
	"slices"
	"time"

	"github.com/go-jose/go-jose/v4"
	"github.com/zitadel/oidc/v3/pkg/oidc"
	"github.com/zitadel/oidc/v3/pkg/op"
)

// storage is op's storage, all of it in memory. Refresh tokens, devices and
// signed requests are not supported, so asking for them is refused.
type storage struct{ *Provider }

var errNone = errors.New("there is none")

func (s storage) CreateAuthRequest(_ context.Context, asked *oidc.AuthRequest, _ string) (op.AuthRequest, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	now := time.Now()
	over := func(_ string, r *request) bool { return now.Sub(r.made) > requestLifetime }
	maps.DeleteFunc(s.requests, over)
	maps.DeleteFunc(s.tokens, over)
	maps.DeleteFunc(s.codes, func(_, id string) bool { return s.requests[id] == nil })
	r := &request{asked: asked, id: random(), made: now}
	s.requests[r.id] = r
	return r, nil
}

func (s storage) AuthRequestByID(_ context.Context, id string) (op.AuthRequest, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if r := s.requests[id]; r != nil {
		return r, nil
	}
	return nil, errNone
}

// AuthRequestByCode removes the code: it works once (RFC 6749, section 4.1.2).
func (s storage) AuthRequestByCode(_ context.Context, code string) (op.AuthRequest, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	r := s.requests[s.codes[code]]
	delete(s.codes, code)
	if r == nil {
		return nil, errNone
	}
	return r, nil
}

func (s storage) SaveAuthCode(_ context.Context, id, code string) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.codes[code] = id
	return nil
}

func (s storage) DeleteAuthRequest(_ context.Context, id string) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.requests, id)
	return nil
}

func (s storage) CreateAccessToken(_ context.Context, of op.TokenRequest) (string, time.Time, error) {
	r, ok := of.(*request)
	if !ok {
		return "", time.Time{}, errNone
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	id := random()
	s.tokens[id] = r
	return id, r.made.Add(requestLifetime), nil
}

func (s storage) CreateAccessAndRefreshTokens(context.Context, op.TokenRequest, string) (string, string, time.Time,
	error) {
	return "", "", time.Time{}, errNone
}

func (s storage) TokenRequestByRefreshToken(context.Context, string) (op.RefreshTokenRequest, error) {
	return nil, errNone
}

func (s storage) TerminateSession(context.Context, string, string) error { return nil }

func (s storage) RevokeToken(context.Context, string, string, string) *oidc.Error { return nil }

func (s storage) GetRefreshTokenInfo(context.Context, string, string) (string, string, error) {
	return "", "", op.ErrInvalidRefreshToken
}

func (s storage) SigningKey(context.Context) (op.SigningKey, error) { return s.signing(), nil }

func (s storage) SignatureAlgorithms(context.Context) ([]jose.SignatureAlgorithm, error) {
	return []jose.SignatureAlgorithm{jose.ES256}, nil
}

func (s storage) KeySet(context.Context) ([]op.Key, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	var out []op.Key
	for _, k := range s.keys {
		out = append(out, public{k})
	}
	return out, nil
}

func (s storage) GetClientByClientID(_ context.Context, id string) (op.Client, error) {
	if id != s.Client.ID {
		return nil, errNone
	}
	return client{s.Client, s.EmailInToken}, nil
}

func (s storage) AuthorizeClientIDSecret(_ context.Context, id, secret string) error {
	if id != s.Client.ID || subtle.ConstantTimeCompare([]byte(secret), []byte(s.Client.Secret)) != 1 {
		return errNone
	}
	return nil
}

func (s storage) SetUserinfoFromScopes(context.Context, *oidc.UserInfo, string, string, []string) error {
	return nil
}

// SetUserinfoFromRequest fills in an ID token.
func (s storage) SetUserinfoFromRequest(ctx context.Context, info *oidc.UserInfo, of op.IDTokenRequest,
	scopes []string) error {
	r, ok := of.(*request)
	if !ok {
		return errNone
	}
	info.AppendClaims("sid", r.sid)
	return s.fill(ctx, info, r.subject, scopes)
}

func (s storage) SetUserinfoFromToken(ctx context.Context, info *oidc.UserInfo, token, _, _ string) error {
	s.mu.Lock()
	r := s.tokens[token]
	s.mu.Unlock()
	if r == nil || time.Since(r.made) > requestLifetime {
		return errNone
	}
	return s.fill(ctx, info, r.subject, r.asked.Scopes)
}

func (s storage) fill(ctx context.Context, info *oidc.UserInfo, subject string, scopes []string) error {
	one, err := s.find(ctx, subject)
	if err != nil {
		return err
	}
	info.Subject = subject
	if slices.Contains(scopes, oidc.ScopeEmail) {
		info.Email, info.EmailVerified = one.Email, oidc.Bool(!one.Unverified)
	}
	if slices.Contains(scopes, oidc.ScopeProfile) {
		info.Name = one.Name
	}
	return nil
}

func (s storage) SetIntrospectionFromToken(context.Context, *oidc.IntrospectionResponse, string, string, string) error {
	return errNone
}

func (s storage) GetPrivateClaimsFromScopes(context.Context, string, string, []string) (map[string]any, error) {
	return nil, nil
}

func (s storage) GetKeyByIDAndClientID(context.Context, string, string) (*jose.JSONWebKey, error) {
	return nil, errNone
}

func (s storage) ValidateJWTProfileScopes(context.Context, string, []string) ([]string, error) {
	return nil, errNone
}

func (s storage) Health(context.Context) error { return nil }
