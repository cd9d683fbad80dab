package oidc

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync"
	"time"

	"lathmark/domain/fault"
	"lathmark/web"

	rp "github.com/coreos/go-oidc/v3/oidc"
	"golang.org/x/oauth2"
)

// How long a provider's metadata is cached. A key that it withdrew is accepted
// until then at the longest; a new one is fetched when it is first seen. A
// provider that was down is asked again after a while, not for every visitor.
const (
	learnAgain = time.Hour
	askAgain   = 5 * time.Second
	// answerTimeout is how long a provider may take for one answer.
	answerTimeout = 10 * time.Second
	// answerLimit is how much of one answer is read, in bytes.
	answerLimit = 1 << 20
)

// algorithms are those that a token may be signed with: by a key that only the
// provider has. "none" and those that sign with the client's secret are not
// among them (RFC 8725, sections 3.1 and 3.2).
var algorithms = []string{rp.RS256, rp.RS384, rp.RS512, rp.PS256, rp.PS384, rp.PS512, rp.ES256, rp.ES384, rp.ES512,
	rp.EdDSA}

// Providers holds all providers that people can sign in with. It is safe for
// concurrent use.
type Providers struct {
	all  []*provider
	log  *slog.Logger
	now  func() time.Time
	http *http.Client
}

// New returns them. base is this server's public address, without a trailing
// slash. No provider is contacted before somebody signs in with it.
func New(all []Config, base string, log *slog.Logger, now func() time.Time) *Providers {
	p := &Providers{log: log, now: now, http: &http.Client{
		Timeout:   answerTimeout,
		Transport: limited{},
		// A secret goes where the metadata says, and nowhere else.
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}}
	for _, c := range all {
		p.all = append(p.all, &provider{Config: c, back: base + web.ProviderReturnPath + c.ID})
	}
	return p
}

// Button is a provider as the sign-in page shows it.
type Button struct{ ID, Label string }

// Buttons returns those of all providers, in the order of the configuration.
func (p *Providers) Buttons() []Button {
	if p == nil {
		return nil
	}
	var out []Button
	for _, one := range p.all {
		out = append(out, Button{one.ID, one.Label})
	}
	return out
}

// Label returns what people call a provider; empty where there is none with this id.
func (p *Providers) Label(id string) string {
	for _, b := range p.Buttons() {
		if b.ID == id {
			return b.Label
		}
	}
	return ""
}

// Has reports whether there is a provider with this id.
func (p *Providers) Has(id string) bool {
	_, err := p.find(id)
	return err == nil
}

// find returns a provider by its id. Faults: NotFound.
func (p *Providers) find(id string) (*provider, error) {
	if p != nil {
		if i := slices.IndexFunc(p.all, func(o *provider) bool { return o.ID == id }); i >= 0 {
			return p.all[i], nil
		}
	}
	return nil, &fault.Error{Kind: fault.NotFound, Msg: "There is no such sign-in service."}
}

// provider is one provider with its metadata.
type provider struct {
	Config
	back string // its own redirect address, so that no provider can answer for another (RFC 9700, section 4.4)

	mu      sync.Mutex
	learnt  *metadata
	learnAt time.Time // when to ask again
	failed  error
}

// metadata is what a provider publishes about itself (Discovery 1.0, section
// 3).
type metadata struct {
	of       *rp.Provider
	verifier *rp.IDTokenVerifier
	oauth    oauth2.Config
	saysIss  bool // it names itself in each answer (RFC 9207)
}

// ErrDown says that a provider does not answer.
var ErrDown = errors.New("the provider does not answer")

// ask returns the provider's metadata, fetching it if that is due. The error is
// ErrDown.
func (o *provider) ask(p *Providers) (*metadata, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if now := p.now(); now.Before(o.learnAt) {
		return o.learnt, o.failed
	}
	// Not the visitor's context: the result is for everybody.
	m, err := o.learn(rp.ClientContext(context.Background(), p.http), p.now)
	if err != nil {
		p.log.Warn("a provider does not answer", "provider", o.ID, "cause", short(err))
		o.learnt, o.failed, o.learnAt = nil, ErrDown, p.now().Add(askAgain)
		return nil, ErrDown
	}
	o.learnt, o.failed, o.learnAt = m, nil, p.now().Add(learnAgain)
	return m, nil
}

func (o *provider) learn(ctx context.Context, now func() time.Time) (*metadata, error) {
	of, err := rp.NewProvider(ctx, o.Issuer) // Discovery 1.0, section 4.3: the issuer must be the one that was asked
	if err != nil {
		return nil, err
	}
	var says struct {
		Auth    string   `json:"authorization_endpoint"`
		Token   string   `json:"token_endpoint"`
		Keys    string   `json:"jwks_uri"`
		Info    string   `json:"userinfo_endpoint"`
		Methods []string `json:"token_endpoint_auth_methods_supported"`
		SaysIss bool     `json:"authorization_response_iss_parameter_supported"`
	}
	if err := of.Claims(&says); err != nil {
		return nil, err
	}
	for what, address := range map[string]string{"authorization": says.Auth, "token": says.Token, "keys": says.Keys,
		"userinfo": says.Info} {
		at, err := url.Parse(address)
		if what == "userinfo" && address == "" {
			continue
		}
		if err != nil || at.Host == "" || !Safe(at) {
			return nil, fmt.Errorf("its address for %s is not https", what)
		}
	}
	m := &metadata{of: of, saysIss: says.SaysIss,
		verifier: of.Verifier(&rp.Config{ClientID: o.ClientID, SupportedSigningAlgs: algorithms, Now: now})}
	m.oauth = oauth2.Config{ClientID: o.ClientID, ClientSecret: o.ClientSecret, RedirectURL: o.back,
		Endpoint: of.Endpoint(), Scopes: []string{rp.ScopeOpenID, "email"}}
	m.oauth.Endpoint.AuthStyle = oauth2.AuthStyleInHeader // section 9: client_secret_basic unless said otherwise
	if o.ClientSecret == "" || len(says.Methods) > 0 && !slices.Contains(says.Methods, "client_secret_basic") {
		m.oauth.Endpoint.AuthStyle = oauth2.AuthStyleInParams
	}
	return m, nil
}

// limited reads at most answerLimit bytes of an answer.
type limited struct{}

// RoundTrip implements http.RoundTripper.
func (limited) RoundTrip(r *http.Request) (*http.Response, error) {
	got, err := http.DefaultTransport.RoundTrip(r)
	if err == nil {
		got.Body = struct {
			io.Reader
			io.Closer
		}{io.LimitReader(got.Body, answerLimit), got.Body}
	}
	return got, err
}

// short returns the beginning of an error's text, for the log.
func short(err error) string {
	text := strings.ToValidUTF8(err.Error(), "?")
	if len(text) > 300 {
		text = text[:300]
	}
	return text
}
