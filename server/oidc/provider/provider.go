// Package provider is an OpenID Connect provider in the process: for the demo,
// where one chooses who one is and nobody is asked for a password, and for the
// tests of what it is like to come in with one. The protocol is that of
// zitadel/oidc, a certified implementation; here are its people, its one client,
// its keys and its page.
package provider

import (
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/go-jose/go-jose/v4"
	"github.com/zitadel/oidc/v3/pkg/oidc"
	"github.com/zitadel/oidc/v3/pkg/op"
)

// Person is somebody with an account here.
type Person struct {
	Subject, Name string
	About         string // a word or two beside the name
	Email         string
	Unverified    bool // the provider has not made sure of the e-mail
}

// Client is the server that people come into from here.
type Client struct {
	ID, Secret string
	Back       string // where people are sent back to
	Out        string // what is told when somebody goes out here
	// Home is where the page of who has gone out leads to.
	Home string
}

// Options is what a provider is made of.
type Options struct {
	Issuer string // http or https, without a slash at its end
	Client Client
	People func(context.Context) ([]Person, error)
	// EmailInToken puts the e-mail into the token, and not only into the answer
	// of userinfo.
	EmailInToken bool
}

// Provider is an http.Handler for everything below its issuer.
type Provider struct {
	Options
	http.Handler
	form *http.CrossOriginProtection

	mu       sync.Mutex
	keys     []key // the last one signs
	requests map[string]*request
	codes    map[string]string   // the request of a code
	tokens   map[string]*request // of an access token
	sessions map[string]session  // by the browser's cookie
}

// session is somebody who is known here in one browser.
type session struct{ subject, sid string }

// New makes a provider with a key of its own.
func New(o Options) (*Provider, error) {
	p := &Provider{Options: o, form: http.NewCrossOriginProtection(), requests: map[string]*request{},
		codes:  map[string]string{},
		tokens: map[string]*request{}, sessions: map[string]session{}}
	if err := p.Rotate(); err != nil {
		return nil, err
	}
	config := &op.Config{CodeMethodS256: true, BackChannelLogoutSupported: true, BackChannelLogoutSessionSupported: true,
		DefaultLogoutRedirectURI: outPath}
	rand.Read(config.CryptoKey[:])
	var options []op.Option
	if strings.HasPrefix(o.Issuer, "http://") {
		options = append(options, op.WithAllowInsecure())
	}
	protocol, err := op.NewProvider(config, storage{p}, op.StaticIssuer(o.Issuer), options...)
	if err != nil {
		return nil, err
	}
	m := http.NewServeMux()
	m.Handle("/", protocol)
	m.HandleFunc("GET /{$}", p.who)
	m.HandleFunc("POST /{$}", p.choose)
	m.HandleFunc("POST "+outPath, p.goOut)
	m.HandleFunc("GET /static/", file)
	p.Handler = m
	return p, nil
}

const outPath = "/out"

// key is one that signs.
type key struct {
	id      string
	private *ecdsa.PrivateKey
}

// ID is op.SigningKey and op.Key.
func (k key) ID() string { return k.id }

// SignatureAlgorithm is op.SigningKey.
func (k key) SignatureAlgorithm() jose.SignatureAlgorithm { return jose.ES256 }

// Key is op.SigningKey.
func (k key) Key() any { return k.private }

// public is the half of a key that everybody may see.
type public struct{ key }

// Algorithm is op.Key.
func (k public) Algorithm() jose.SignatureAlgorithm { return jose.ES256 }

// Use is op.Key.
func (k public) Use() string { return "sig" }

// Key is op.Key.
func (k public) Key() any { return &k.private.PublicKey }

// Rotate makes a new key, which signs from now on. Tokens under the last one can
// still be checked; the one before is withdrawn.
func (p *Provider) Rotate() error {
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return err
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.keys = append(p.keys[max(0, len(p.keys)-1):], key{random(), private})
	return nil
}

func (p *Provider) signing() key {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.keys[len(p.keys)-1]
}

// Sign signs claims with the key of now.
func (p *Provider) Sign(claims any) (string, error) {
	signer, err := op.SignerFromKey(p.signing())
	if err != nil {
		return "", err
	}
	payload, err := json.Marshal(claims)
	if err != nil {
		return "", err
	}
	signed, err := signer.Sign(payload)
	if err != nil {
		return "", err
	}
	return signed.CompactSerialize()
}

// say tells the client that somebody went out (Back-Channel Logout 1.0, section 2.5).
func (p *Provider) say(ctx context.Context, s session) error {
	token, err := p.Sign(oidc.NewLogoutTokenClaims(p.Issuer, s.subject, oidc.Audience{p.Client.ID},
		time.Now().Add(2*time.Minute), random(), s.sid, 0))
	if err != nil {
		return err
	}
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, p.Client.Out,
		strings.NewReader(url.Values{"logout_token": {token}}.Encode()))
	if err != nil {
		return err
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		return fmt.Errorf("the client answers %s", answer.Status)
	}
	return nil
}

// random is 256 bits as text.
func random() string {
	var b [32]byte
	rand.Read(b[:])
	return base64.RawURLEncoding.EncodeToString(b[:])
}

// find returns a person by the subject.
func (p *Provider) find(ctx context.Context, subject string) (Person, error) {
	all, err := p.People(ctx)
	if err != nil {
		return Person{}, err
	}
	if i := slices.IndexFunc(all, func(one Person) bool { return one.Subject == subject }); i >= 0 {
		return all[i], nil
	}
	return Person{}, fmt.Errorf("nobody is called %q here", subject)
}
