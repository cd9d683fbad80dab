// Package provider is an in-process OpenID Connect provider: for the demo,
// where people choose an account and need no password, and for tests of signing
// in with a provider. The protocol is implemented by zitadel/oidc, which is
// certified; this package adds people, a single client, keys and a page.
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
	About         string // a few words beside the name
	Email         string
	Unverified    bool // the provider has not verified the e-mail address
}

// Client is the server that people sign in to from here.
type Client struct {
	ID, Secret string
	Back       string // where people are sent back to
	Out        string // what is notified when somebody signs out here
	// Home is where the page leads after signing out.
	Home string
}

// Options configures a provider.
type Options struct {
	Issuer string // http or https, without a trailing slash
	Client Client
	People func(context.Context) ([]Person, error)
	// EmailInToken puts the e-mail address into the token, and not only into
	// the answer of userinfo.
	EmailInToken bool
}

// Provider serves everything below its issuer's address.
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

// session is somebody signed in here with one browser.
type session struct{ subject, sid string }

// New returns a provider with a new key.
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
	m.HandleFunc("POST "+outPath, p.signOut)
	m.HandleFunc("GET /static/", file)
	p.Handler = m
	return p, nil
}

const outPath = "/out"

// key is a signing key.
type key struct {
	id      string
	private *ecdsa.PrivateKey
}

// ID implements op.SigningKey and op.Key.
func (k key) ID() string { return k.id }

// SignatureAlgorithm implements op.SigningKey.
func (k key) SignatureAlgorithm() jose.SignatureAlgorithm { return jose.ES256 }

// Key implements op.SigningKey.
func (k key) Key() any { return k.private }

// public is the public half of a key.
type public struct{ key }

// Algorithm implements op.Key.
func (k public) Algorithm() jose.SignatureAlgorithm { return jose.ES256 }

// Use implements op.Key.
func (k public) Use() string { return "sig" }

// Key implements op.Key.
func (k public) Key() any { return &k.private.PublicKey }

// Rotate makes a new key, which signs from now on. Tokens signed with the last
// one can still be checked; the one before is withdrawn.
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

// Sign signs claims with the current key.
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

// notifyLogout tells the client that somebody signed out (Back-Channel Logout
// 1.0, section 2.5).
func (p *Provider) notifyLogout(ctx context.Context, s session) error {
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

// random returns 256 random bits as text.
func random() string {
	var b [32]byte
	rand.Read(b[:])
	return base64.RawURLEncoding.EncodeToString(b[:])
}

// find returns the person with a subject.
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
