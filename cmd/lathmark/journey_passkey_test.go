package main

import (
	"context"
	"log/slog"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/webauthn"
	"github.com/chromedp/chromedp"

	"lathmark/domain/firm"
	"lathmark/persistence/dbtest"
	"lathmark/server"
	"lathmark/server/auth"
	"lathmark/server/page/kit"
)

// Somebody makes a passkey on a phone, leaves, and comes back with it alone; later it says
// once more who it is, and what was asked for is done.
func TestComingBackWithAPasskey(t *testing.T) {
	s := dbtest.New(t)
	at := httptest.NewUnstartedServer(nil)
	url := strings.Replace("http://"+at.Listener.Addr().String(), "127.0.0.1", "localhost", 1) // passkeys are for names
	at.Config.Handler = server.New(server.Deps{BaseURL: url, SignIn: auth.Demo{Firms: s.Firm, Firm: s.Owner.Firm},
		Log: slog.New(slog.DiscardHandler),
		Services: kit.Services{Firm: s.Firm, Job: s.Job, Desk: s.Desk, Book: s.Book, Diary: s.Diary,
			Photo: s.Photo, Held: s.Held, Programme: s.Programme, Now: s.Clock.Now},
		Ready: func(context.Context) error { return nil }})
	at.Start()
	t.Cleanup(at.Close)
	p := newPhone(t, chromium(t), url)
	p.open("/sign-in")
	p.press("Sign in as " + s.Plumber.Name)
	leave := func() {
		t.Helper()
		p.turns(chromedp.Evaluate[chromedp.Void](`document.querySelector("form[action='/sign-out']").requestSubmit()`))
	}
	p.open("/sessions")
	p.do(chromedp.Func(func(ctx context.Context, at *chromedp.Target) error {
		if _, err := cdp.Call(ctx, at, webauthn.Enable, webauthn.EnableParams{}); err != nil {
			return err
		}
		_, err := cdp.Call(ctx, at, webauthn.AddVirtualAuthenticator,
			webauthn.AddVirtualAuthenticatorParams{Options: &webauthn.VirtualAuthenticatorOptions{
				Protocol: webauthn.AuthenticatorProtocolCtap2, Transport: webauthn.AuthenticatorTransportInternal,
				HasResidentKey: true, HasUserVerification: true, IsUserVerified: true, AutomaticPresenceSimulation: true}})
		return err
	}))
	p.press("Make a passkey on this device")
	p.sees("The passkey is saved.", "My phone", "never")
	leave()
	p.press("Sign in with a passkey")
	p.sees(s.Plumber.Name)
	p.open("/sessions")
	s.Clock.Pass(firm.FreshFor)
	p.press("Remove")
	p.sees("It is more than 10 minutes since you signed in.")
	p.press("Confirm with your passkey")
	p.sees("The passkey is removed.")
	leave()
	p.open("/sign-in")
	p.must("button", "Sign in with a passkey", "")
	p.do(p.touch(1))
	p.awaits(shows("This passkey no longer works."))
}
