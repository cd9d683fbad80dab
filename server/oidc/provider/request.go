package provider

import (
	"time"

	"github.com/zitadel/oidc/v3/pkg/oidc"
	"github.com/zitadel/oidc/v3/pkg/op"
)

// request is a sign-in in progress. It implements op.AuthRequest, and is what
// an access token stands for.
type request struct {
	asked *oidc.AuthRequest
	id    string
	made  time.Time
	// Set once an account was chosen:
	session
	at time.Time
}

// requestLifetime is how long a sign-in may take, and how long an access token
// is valid.
const requestLifetime = 10 * time.Minute

func (r *request) GetID() string                      { return r.id }
func (r *request) GetACR() string                     { return "" }
func (r *request) GetAMR() []string                   { return nil }
func (r *request) GetAudience() []string              { return []string{r.asked.ClientID} }
func (r *request) GetAuthTime() time.Time             { return r.at }
func (r *request) GetClientID() string                { return r.asked.ClientID }
func (r *request) GetNonce() string                   { return r.asked.Nonce }
func (r *request) GetRedirectURI() string             { return r.asked.RedirectURI }
func (r *request) GetResponseType() oidc.ResponseType { return r.asked.ResponseType }
func (r *request) GetResponseMode() oidc.ResponseMode { return r.asked.ResponseMode }
func (r *request) GetScopes() []string                { return r.asked.Scopes }
func (r *request) GetState() string                   { return r.asked.State }
func (r *request) GetSubject() string                 { return r.subject }
func (r *request) Done() bool                         { return r.subject != "" }

func (r *request) GetCodeChallenge() *oidc.CodeChallenge {
	if r.asked.CodeChallenge == "" {
		return nil
	}
	return &oidc.CodeChallenge{Challenge: r.asked.CodeChallenge, Method: r.asked.CodeChallengeMethod}
}

// client is the Client as op needs it.
type client struct {
	Client
	emailInToken bool
}

func (c client) GetID() string                       { return c.ID }
func (c client) RedirectURIs() []string              { return []string{c.Back} }
func (c client) PostLogoutRedirectURIs() []string    { return nil }
func (c client) ApplicationType() op.ApplicationType { return op.ApplicationTypeWeb }
func (c client) AuthMethod() oidc.AuthMethod         { return oidc.AuthMethodBasic }
func (c client) ResponseTypes() []oidc.ResponseType {
	return []oidc.ResponseType{oidc.ResponseTypeCode}
}
func (c client) GrantTypes() []oidc.GrantType {
	return []oidc.GrantType{oidc.GrantTypeCode}
}
func (c client) LoginURL(id string) string                                    { return "/?request=" + id }
func (c client) AccessTokenType() op.AccessTokenType                          { return op.AccessTokenTypeBearer }
func (c client) IDTokenLifetime() time.Duration                               { return 5 * time.Minute }
func (c client) DevMode() bool                                                { return false }
func (c client) RestrictAdditionalIdTokenScopes() func([]string) []string     { return same }
func (c client) RestrictAdditionalAccessTokenScopes() func([]string) []string { return same }
func (c client) IsScopeAllowed(string) bool                                   { return false }
func (c client) IDTokenUserinfoClaimsAssertion() bool                         { return c.emailInToken }
func (c client) ClockSkew() time.Duration                                     { return 0 }

func same(scopes []string) []string { return scopes }
