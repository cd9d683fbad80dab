// Package passkey signs people in with a key pair on their own device (WebAuthn
// Level 2). The checks of section 7 are go-webauthn's; this package connects
// them to the firm's members, and accepts every challenge once.
package passkey

import (
	"bytes"
	"context"
	"net"
	"net/url"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"

	"github.com/go-webauthn/webauthn/protocol"
	"github.com/go-webauthn/webauthn/webauthn"
)

// Verifier registers and checks passkeys. The nil Verifier accepts none.
type Verifier struct {
	firms *firm.Service
	rp    *webauthn.WebAuthn
}

// NewVerifier returns the verifier of a server with the public address base. It
// is nil if passkeys are impossible: a browser makes them for a host name, not
// for a bare IP address.
func NewVerifier(firms *firm.Service, base string) *Verifier {
	u, err := url.Parse(base)
	if err != nil || u.Hostname() == "" || net.ParseIP(u.Hostname()) != nil {
		return nil
	}
	discoverable := true
	rp, err := webauthn.New(&webauthn.Config{
		RPID: u.Hostname(), RPDisplayName: "Lathmark", RPOrigins: []string{u.Scheme + "://" + u.Host},
		AttestationPreference: protocol.PreferNoAttestation, // we need not know a device's make
		AuthenticatorSelection: protocol.AuthenticatorSelection{RequireResidentKey: &discoverable,
			ResidentKey: protocol.ResidentKeyRequirementRequired, UserVerification: protocol.VerificationRequired},
	})
	if err != nil {
		return nil
	}
	return &Verifier{firms, rp}
}

// person is a member as the library needs it.
type person struct {
	handle []byte
	name   string
	keys   []firm.Passkey
}

// WebAuthnID implements webauthn.User: it returns the handle.
func (p person) WebAuthnID() []byte { return p.handle }

// WebAuthnName returns the name under which a device lists the passkey.
func (p person) WebAuthnName() string { return p.name }

// WebAuthnDisplayName returns the same name.
func (p person) WebAuthnDisplayName() string { return p.name }

// WebAuthnCredentials returns the member's passkeys.
func (p person) WebAuthnCredentials() (all []webauthn.Credential) {
	for _, k := range p.keys {
		all = append(all, webauthn.Credential{ID: k.Credential, PublicKey: k.PublicKey,
			Flags:         webauthn.CredentialFlags{BackupEligible: k.Synced},
			Authenticator: webauthn.Authenticator{SignCount: k.Count}})
	}
	return all
}

// BeginRegistration starts a new passkey of by: it returns what the browser has
// to be asked for (section 5.4). Faults: Refused.
func (d *Verifier) BeginRegistration(ctx context.Context, by firm.Person, of string) (*protocol.CredentialCreation,
	error) {
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

// Register takes the browser's answer to BeginRegistration. Faults: Refused,
// BadInput, and NotFound for a challenge that has expired or was answered
// before.
func (d *Verifier) Register(ctx context.Context, by firm.Person, in id.Session, name string,
	answer []byte) (firm.Passkey, error) {
	got, err := protocol.ParseCredentialCreationResponseBytes(answer)
	if err != nil {
		return firm.Passkey{}, unread(err)
	}
	challenge := got.Response.CollectedClientData.Challenge
	return d.firms.AddPasskey(ctx, by, in, []byte(challenge), name, func() (firm.Passkey, error) {
		p := person{handle: firm.Handle(by.Firm, by.ID)}
		c, err := d.rp.CreateCredential(p, webauthn.SessionData{Challenge: challenge, UserID: p.handle,
			UserVerification: protocol.VerificationRequired,
			CredParams:       webauthn.CredentialParametersDefault()}, got)
		if err != nil {
			return firm.Passkey{}, unread(err)
		}
		return firm.Passkey{Credential: c.ID, PublicKey: c.PublicKey, Count: c.Authenticator.SignCount,
			Synced: c.Flags.BackupEligible}, nil
	})
}

// BeginSignIn starts a sign-in: it returns what the browser has to be asked for
// (section 5.5). It names nobody; the device knows whose passkeys it has.
func (d *Verifier) BeginSignIn(ctx context.Context) (*protocol.CredentialAssertion, error) {
	options, session, err := d.rp.BeginDiscoverableLogin(webauthn.WithUserVerification(protocol.VerificationRequired))
	if err != nil {
		return nil, err
	}
	return options, d.firms.NewChallenge(ctx, []byte(session.Challenge))
}

// SignIn takes the browser's answer to BeginSignIn and starts a session. only is who may
// sign in, for somebody who signs in again; zero: anybody. Faults: BadInput, NotFound: the
// same for every check that fails.
func (d *Verifier) SignIn(ctx context.Context, only firm.Person, answer []byte) (firm.Person, string, error) {
	got, err := protocol.ParseCredentialRequestResponseBytes(answer)
	if err != nil {
		return firm.Person{}, "", unread(err)
	}
	challenge, handle := got.Response.CollectedClientData.Challenge, got.Response.UserHandle
	if !only.ID.IsZero() && !bytes.Equal(handle, firm.Handle(only.Firm, only.ID)) {
		return firm.Person{}, "", &fault.Error{Kind: fault.NotFound, Msg: "This passkey is somebody else's."}
	}
	return d.firms.SignInWithPasskey(ctx, handle, []byte(challenge), func(all []firm.Passkey) (firm.Passkey, error) {
		c, err := d.rp.ValidateDiscoverableLogin(func(_, _ []byte) (webauthn.User, error) {
			return person{handle: handle,
				keys: all}, nil
		},
			webauthn.SessionData{Challenge: challenge, UserVerification: protocol.VerificationRequired}, got)
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
