package oidc

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"
)

// Config is one provider.
type Config struct {
	// ID is part of URLs: lower-case letters, digits and dashes, 31 at most.
	ID string `json:"id"`
	// Label is the text of the button: "Sign in with <label>".
	Label string `json:"label"`
	// Issuer is the provider's name for itself, exactly. It is https, except
	// for a provider on this machine.
	Issuer string `json:"issuer"`
	// ClientID and ClientSecret identify this server to the provider. A client
	// without a secret relies on PKCE alone.
	ClientID     string `json:"client_id"`
	ClientSecret string `json:"client_secret,omitempty"`
	// SecretFile is a file that holds the secret, instead of ClientSecret.
	SecretFile string `json:"client_secret_file,omitempty"`
	// EmailDomains are the domains for which the provider is trusted to verify
	// e-mail addresses; none: all.
	EmailDomains []string `json:"email_domains,omitempty"`
	// Audiences are others that a token may name besides ClientID; none: a
	// token is for us alone.
	Audiences []string `json:"audiences,omitempty"`
}

var ids = regexp.MustCompile(`^[a-z][a-z0-9-]{0,30}$`)

// ReadConfig parses the list of providers, and reads the files of their secrets
// with read. An empty text means no providers. Errors name the provider and the
// field.
func ReadConfig(text string, read func(path string) ([]byte, error)) ([]Config, error) {
	if strings.TrimSpace(text) == "" {
		return nil, nil
	}
	d := json.NewDecoder(bytes.NewReader([]byte(text)))
	d.DisallowUnknownFields()
	var all []Config
	if err := d.Decode(&all); err != nil {
		return nil, fmt.Errorf("the list of providers cannot be read: %w", err)
	}
	if d.More() {
		return nil, errors.New("there is something after the list of providers")
	}
	var wrong []error
	seen := map[string]bool{}
	for i := range all {
		c := &all[i]
		for _, err := range c.check(read) {
			wrong = append(wrong, fmt.Errorf("provider %d (%q): %w", i+1, c.ID, err))
		}
		if seen[c.ID] || seen[c.Issuer] {
			wrong = append(wrong, fmt.Errorf("provider %d (%q): id and issuer are each a provider's own", i+1, c.ID))
		}
		seen[c.ID], seen[c.Issuer] = true, true
	}
	return all, errors.Join(wrong...)
}

func (c *Config) check(read func(string) ([]byte, error)) (wrong []error) {
	bad := func(field, why string) { wrong = append(wrong, fmt.Errorf("%s: %s", field, why)) }
	if !ids.MatchString(c.ID) {
		bad("id", "give small letters, figures and dashes, 31 at most")
	}
	if n := utf8.RuneCountInString(c.Label); n == 0 || n > 40 || strings.ContainsFunc(c.Label,
		func(r rune) bool { return r < ' ' }) {
		bad("label", "give the words for the button, 40 letters at most")
	}
	if at, err := url.Parse(c.Issuer); err != nil || at.Host == "" || at.RawQuery != "" || at.Fragment != "" ||
		at.User != nil || !Safe(at) {
		bad("issuer", "give an address that begins with https://") // section 2, iss; Discovery 1.0, section 3
	}
	if c.ClientID == "" {
		bad("client_id", "give the name by which the provider knows this server")
	}
	if c.SecretFile != "" {
		text, err := read(c.SecretFile)
		switch {
		case err != nil:
			bad("client_secret_file", err.Error())
		case c.ClientSecret != "":
			bad("client_secret", "it is also given in a file: leave one out")
		case strings.TrimSpace(string(text)) == "":
			bad("client_secret_file", "there is nothing in it")
		}
		c.ClientSecret = strings.TrimRight(string(text), "\r\n")
	}
	for i, d := range c.EmailDomains {
		c.EmailDomains[i] = strings.ToLower(d)
		if d == "" || strings.ContainsAny(d, "@ *") {
			bad("email_domains", "give what comes after the @, in full")
		}
	}
	return wrong
}

// Safe reports whether nobody else can read what is sent there: https, or this
// machine.
func Safe(at *url.URL) bool {
	return at.Scheme == "https" || at.Scheme == "http" && ThisMachine(at.Hostname())
}

// ThisMachine reports whether what is sent to a host leaves this machine not at all.
func ThisMachine(host string) bool {
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

// vouches reports whether the provider is trusted to verify an e-mail address.
func (c *Config) vouches(email string) bool {
	_, domain, _ := strings.Cut(email, "@")
	return len(c.EmailDomains) == 0 || slices.Contains(c.EmailDomains, domain)
}

// foreign reports whether a token may not name this audience.
func (c *Config) foreign(audience string) bool {
	return audience != c.ClientID && !slices.Contains(c.Audiences, audience)
}
