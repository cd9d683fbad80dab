package oidc

import (
	"context"
	"encoding/base64"
	"encoding/json"
	"slices"
	"strings"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"

	rp "github.com/coreos/go-oidc/v3/oidc"
)

// maxClockSkew is how far a provider's clock may be from ours.
const maxClockSkew = 5 * time.Minute

// maxLogoutToken is the longest logout token that is read, in bytes.
const maxLogoutToken = 16 << 10

// CheckLogout checks a provider's message that somebody signed out there: a
// logout token (Back-Channel Logout 1.0, section 2.6). Repeating it does no
// harm, see firm.Logout. Errors: ErrDown; faults: NotFound, BadInput for every
// check that fails.
func (p *Providers) CheckLogout(ctx context.Context, id, token string) (firm.Logout, error) {
	o, err := p.find(id)
	if err != nil {
		return firm.Logout{}, err
	}
	g, err := p.checkLogout(ctx, o, token)
	return g, p.told(ctx, o, "a word that somebody went out does not hold", err,
		&fault.Error{Kind: fault.BadInput, Msg: "This logout token does not hold."})
}

func (p *Providers) checkLogout(ctx context.Context, o *provider, token string) (firm.Logout, error) {
	if token == "" || len(token) > maxLogoutToken {
		return firm.Logout{}, &failure{"token", "none, or too long"}
	}
	// Section 2.4 and RFC 8725, section 3.11: a token of another kind is not
	// accepted.
	if kind := kindOf(token); kind != "" && !strings.EqualFold(kind, "logout+jwt") && !strings.EqualFold(kind, "JWT") {
		return firm.Logout{}, &failure{"typ", "another kind of token"}
	}
	m, err := o.ask(p)
	if err != nil {
		return firm.Logout{}, err
	}
	// Steps 2 to 6: signature and algorithm, issuer, audience and expiry, a sub or
	// a sid, the event, no nonce.
	word, err := m.verifier.VerifyLogout(rp.ClientContext(ctx, p.http), token)
	if err != nil {
		return firm.Logout{}, &failure{"token", short(err)}
	}
	var c struct {
		Events map[string]json.RawMessage `json:"events"`
	}
	var event map[string]any
	switch err := word.Claims(&c); {
	case err != nil || json.Unmarshal(c.Events["http://schemas.openid.net/event/backchannel-logout"], &event) != nil ||
		event == nil:
		return firm.Logout{}, &failure{"events", "the event is no object"} // step 5, section 2.4
	case slices.ContainsFunc(word.Audience, o.foreign):
		return firm.Logout{}, &failure{"aud", "it is for others, too"}
	case word.IssuedAt.Unix() <= 0 || word.IssuedAt.After(p.now().Add(maxClockSkew)):
		return firm.Logout{}, &failure{"iat", "none, or from the future"} // step 3
	case len(word.Subject) > 255 || len(word.SessionID) > 255:
		return firm.Logout{}, &failure{"sub", "too long"}
	}
	return firm.Logout{Identity: firm.Identity{Issuer: o.Issuer, Subject: word.Subject}, Session: word.SessionID,
		At: word.IssuedAt}, nil
}

// kindOf returns the type that a token's header names, or "".
func kindOf(token string) string {
	head, _, _ := strings.Cut(token, ".")
	raw, err := base64.RawURLEncoding.DecodeString(head)
	var h struct {
		Type string `json:"typ"`
	}
	if err != nil || json.Unmarshal(raw, &h) != nil {
		return ""
	}
	return strings.TrimPrefix(h.Type, "application/")
}
