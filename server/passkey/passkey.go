// Package passkey is the way in with a key pair on one's own device (WebAuthn
// Level 2). The checks of section 7 are go-webauthn's; here it is put to the firm's
// members, and every challenge is taken once.
package passkey

import (
	"bytes"
	"context"
	"net"
	"net/url"

	"lathmark/domain/fault"
	"lathmark/domain/firm"

	"github.com/go-webauthn/webauthn/protocol"
	"github.com/go-webauthn/webauthn/webauthn"
)

// Desk takes passkeys. The nil Desk takes none.
type Desk struct {
	firms *firm.Service
	rp    *webauthn.WebAuthn
}

// NewDesk makes the desk of a server that people reach at base. It is nil if no
// passkey can be: a browser makes one for a name, and for no bare address.
func NewDesk(firms *firm.Service, base string) *Desk {
	u, err := url.Parse(base)
	if err != nil || u.Hostname() == "" || net.ParseIP(u.Hostname()) != nil {
		return nil
	}
	discoverable := true
	rp, err := webauthn.New(&webauthn.Config{
		RPID: u.Hostname(), RPDisplayName: "Lathmark", RPOrigins: []string{u.Scheme + "://" + u.Host},
		AttestationPreference: protocol.PreferNoAttestation, // we need not know which make a device is of
		AuthenticatorSelection: protocol.AuthenticatorSelection{RequireResidentKey: &discoverable,
			ResidentKey: protocol.ResidentKeyRequirementRequired, UserVerification: protocol.VerificationPreferred},
	})
	if err != nil {
		return nil
	}
	return &Desk{firms, rp}
}

// person is a member as the library wants to see him.
type person struct {
	handle []byte
	name   string
	keys   []firm.Passkey
}

// WebAuthnID returns the handle.
func (p person) WebAuthnID() []byte { return p.handle }

// WebAuthnName returns the name by which a device lists the passkey.
func (p person) WebAuthnName() string { return p.name }

// WebAuthnDisplayName returns that name, too.
func (p person) WebAuthnDisplayName() string { return p.name }

// WebAuthnCredentials are his passkeys.
func (p person) WebAuthnCredentials() (all []webauthn.Credential) {
	for _, k := range p.keys {
		all = append(all, webauthn.Credential{ID: k.Credential, PublicKey: k.PublicKey,
			Flags:         webauthn.CredentialFlags{BackupEligible: k.Synced},
			Authenticator: webauthn.Authenticator{SignCount: k.Count}})
	}
	return all
}

// Offer begins a new passkey of by: what the browser has to be asked for (section
// 5.4). Faults: Refused.
func (d *Desk) Offer(ctx context.Context, by firm.Person, of string) (*protocol.CredentialCreation, error) {
	keys, err := d.firms.Passkeys(ctx, by)
	if err != nil {
		return nil, err
	}
	p := person{firm.Handle(by.Firm, by.ID), by.Name + ", " + of, keys}
	var have []protocol.CredentialDescriptor
	for _, c := range p.WebAuthnCredentials() {
		have = append(have, c.Descriptor())
	}
	options, session, err := d.rp.BeginRegistration(p, webauthn.WithExclusions(have))
	if err != nil {
		return nil, err
	}
	return options, d.firms.NewChallenge(ctx, []byte(session.Challenge))
}

// Add takes what the browser answered to Offer. Faults: Refused, BadInput, and
// NotFound for a challenge that is over or was answered before.
func (d *Desk) Add(ctx context.Context, by firm.Person, name string, answer []byte) (firm.Passkey, error) {
	got, err := protocol.ParseCredentialCreationResponseBytes(answer)
	if err != nil {
		return firm.Passkey{}, unread(err)
	}
	challenge := got.Response.CollectedClientData.Challenge
	return d.firms.AddPasskey(ctx, by, []byte(challenge), name, func() (firm.Passkey, error) {
		p := person{handle: firm.Handle(by.Firm, by.ID)}
		c, err := d.rp.CreateCredential(p, webauthn.SessionData{Challenge: challenge, UserID: p.handle,
			UserVerification: protocol.VerificationPreferred,
			CredParams:       webauthn.CredentialParametersDefault()}, got)
		if err != nil {
			return firm.Passkey{}, unread(err)
		}
		return firm.Passkey{Credential: c.ID, PublicKey: c.PublicKey, Count: c.Authenticator.SignCount,
			Synced: c.Flags.BackupEligible}, nil
	})
}

// Ask begins coming in: what the browser has to be asked for (section 5.5). It
// names nobody; the device knows whose passkeys it has.
func (d *Desk) Ask(ctx context.Context) (*protocol.CredentialAssertion, error) {
	options, session, err := d.rp.BeginDiscoverableLogin(webauthn.WithUserVerification(protocol.VerificationPreferred))
	if err != nil {
		return nil, err
	}
	return options, d.firms.NewChallenge(ctx, []byte(session.Challenge))
}

// ComeIn takes what the browser answered to Ask and starts a session. Faults:
// BadInput, NotFound: one and the same for whatever does not hold.
func (d *Desk) ComeIn(ctx context.Context, answer []byte) (firm.Person, string, error) {
	got, err := protocol.ParseCredentialRequestResponseBytes(answer)
	if err != nil {
		return firm.Person{}, "", unread(err)
	}
	challenge, handle := got.Response.CollectedClientData.Challenge, got.Response.UserHandle
	return d.firms.SignInWithPasskey(ctx, handle, []byte(challenge), func(all []firm.Passkey) (firm.Passkey, error) {
		c, err := d.rp.ValidateDiscoverableLogin(func(_, _ []byte) (webauthn.User, error) {
			return person{handle: handle,
				keys: all}, nil
		},
			webauthn.SessionData{Challenge: challenge, UserVerification: protocol.VerificationPreferred}, got)
		if err != nil {
			return firm.Passkey{}, err
		}
		for _, k := range all {
			// Section 7.2, step 21: a count that does not grow is a copied key.
			if bytes.Equal(k.Credential, c.ID) && !c.Authenticator.CloneWarning {
				k.Count = c.Authenticator.SignCount
				return k, nil
			}
		}
		return firm.Passkey{}, &fault.Error{Kind: fault.NotFound, Msg: "There is no such passkey."}
	})
}

func unread(err error) error {
	return &fault.Error{Kind: fault.BadInput, Msg: "The device's answer cannot be read. Try once more.", Err: err}
}
