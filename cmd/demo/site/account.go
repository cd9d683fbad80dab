package site

import (
	"context"
	"crypto/rand"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"strconv"
	"strings"
	"time"

	"lathmark/domain/firm"
	"lathmark/persistence"
	"lathmark/server/oidc"
	"lathmark/server/oidc/provider"
	"lathmark/web"
)

// accounts starts the demo's own OpenID Connect provider, on the port after the
// demo's or a free one, and says where, until ctx is done. Everybody of the demo's firm has an account there,
// and an e-mail at both.
func accounts(ctx context.Context, out io.Writer, s *site, at net.Addr, log *slog.Logger) (*oidc.Providers, error) {
	firms := persistence.NewServices(s.db, time.Now).Firm
	if err := s.giveEmails(ctx, firms); err != nil {
		return nil, err
	}
	host, port, err := net.SplitHostPort(at.String())
	if err != nil {
		return nil, err
	}
	n, err := strconv.Atoi(port)
	if err != nil {
		return nil, err
	}
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", net.JoinHostPort(host, strconv.Itoa(n+1)))
	if err != nil { // in use
		listener, err = (&net.ListenConfig{}).Listen(ctx, "tcp", net.JoinHostPort(host, "0"))
	}
	if err != nil {
		return nil, err
	}
	fmt.Fprintf(out, "The demo's accounts are at http://%s. Signing out there also signs you out of the demo.\n\n",
		listener.Addr())
	home, issuer, secret := "http://"+at.String(), "http://"+listener.Addr().String(), rand.Text()
	p, err := provider.New(provider.Options{Issuer: issuer,
		Client: provider.Client{ID: "lathmark", Secret: secret, Back: home + web.ProviderReturnPath + "demo",
			Out: home + web.ProviderLogoutPath + "demo", Home: home},
		People: func(ctx context.Context) ([]provider.Person, error) { return s.accountsOf(ctx, firms) }})
	if err != nil {
		listener.Close()
		return nil, err
	}
	server := &http.Server{Handler: p, ReadHeaderTimeout: 10 * time.Second, ReadTimeout: 30 * time.Second,
		WriteTimeout: 30 * time.Second,
		ErrorLog:     slog.NewLogLogger(log.Handler(), slog.LevelWarn)}
	go func() { _ = server.Serve(listener) }() // it ends with the next line
	context.AfterFunc(ctx, func() { server.Close() })
	return oidc.New([]oidc.Config{{ID: "demo", Label: "an account of the demo", Issuer: issuer, ClientID: "lathmark",
		ClientSecret: secret}}, home, log, time.Now), nil
}

// giveEmails returns an invented e-mail to whoever of the firm has none.
func (s *site) giveEmails(ctx context.Context, firms *firm.Service) error {
	owner, all, err := s.members(ctx, firms)
	if err != nil {
		return err
	}
	for _, m := range all {
		if m.Email != "" || !m.LeftAt.IsZero() {
			continue
		}
		email := strings.ToLower(strings.ReplaceAll(m.Name, " ", ".")) + "@aldous.example"
		if err := firms.SetEmail(ctx, owner, m.ID, email); err != nil {
			return err
		}
	}
	return nil
}

// accountsOf are the accounts of the firm's people: the member's id is the subject.
func (s *site) accountsOf(ctx context.Context, firms *firm.Service) ([]provider.Person, error) {
	_, all, err := s.members(ctx, firms)
	var out []provider.Person
	for _, m := range all {
		if m.LeftAt.IsZero() && m.Role != firm.Client {
			about := string(m.Role)
			if m.Role == firm.Trade {
				about = m.Trade.String()
			}
			out = append(out, provider.Person{Subject: m.ID.String(), Name: m.Name, About: about, Email: m.Email})
		}
	}
	return out, err
}

// members are everybody of the demo's firm, and its owner, who may see e-mails.
func (s *site) members(ctx context.Context, firms *firm.Service) (owner firm.Person, all []firm.Member, err error) {
	all, err = firms.Members(ctx, firm.Person{Firm: s.Firm, Role: firm.Owner})
	for _, m := range all {
		if m.Role == firm.Owner && m.LeftAt.IsZero() {
			owner = m.Person
		}
	}
	return owner, all, err
}
