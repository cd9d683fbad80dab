package main

import (
	"net/http"
	"strings"
	"testing"
)

// The demo with accounts: in a browser one comes in with one, at the provider
// that the demo starts, and goes out again, here and there.
func TestDemoWithAccounts(t *testing.T) {
	demo := beginDemo(t, "--oidc", "--listen", "127.0.0.1:0", "--data", demoData(t))
	at := demo.said.find(t, `is at (http://\S+)`)
	accounts := demo.said.find(t, `accounts are at (http://[0-9.:]+\d)`)
	if _, page := get(t, at+"/sign-in"); strings.Contains(page, `name="person"`) {
		t.Error("the sign-in page still lets anybody in as anybody")
	}
	p := newPhone(t, chromium(t), at)
	p.open("/sign-in")
	p.press("Sign in with an account of the demo")
	p.sees("I am Ola Brandt")
	p.press("I am Ola Brandt")
	p.sees("You are about to sign in as Ola Brandt, electrician of ")
	p.press("Sign in as Ola Brandt")
	p.sees("Ola Brandt, electrician")
	p.nth(".strip form button", 0)
	p.turns(p.touch(1))
	p.sees("Sign in with an account of the demo")

	// Out at the provider is out here.
	p.press("Sign in with an account of the demo")
	p.sees("I am Ruth Aldous")
	p.press("I am Ruth Aldous")
	p.press("Sign in as Ruth Aldous")
	p.sees("Ruth Aldous, foreman")
	p.url = accounts
	p.open("/")
	p.sees("You are Ruth Aldous here.")
	p.press("Sign out")
	p.sees("You are signed out, here and in Lathmark.")
	p.url = at
	p.open("/tasks")
	p.sees("Sign in with an account of the demo")
	if status, _ := get(t, accounts+"/.well-known/openid-configuration"); status != http.StatusOK {
		t.Errorf("the provider says nothing of itself: %d", status)
	}
	demo.end(t)
}
