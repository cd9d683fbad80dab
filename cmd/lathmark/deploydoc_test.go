package main

import (
	"cmp"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// settingsPage is deploy/configuration.md as the table of settings has it.
func settingsPage() string {
	var b strings.Builder
	b.WriteString(`# Settings

` +
		"`lathmark serve` and `lathmark migrate` take their settings from the environment. A secret can also be read\n" +
		"from a file: set the variable with `_FILE` added to its name to the file's path." + `

| variable | what it is for | unless set |
|---|---|---|
`)
	for _, s := range settings {
		name := "`" + s.name + "`"
		if s.secret {
			name += ", secret: also `" + s.name + "_FILE`"
		}
		fmt.Fprintf(&b, "| %s | %s | %s |\n", name, s.help, cmp.Or(s.fallback, "nothing"))
	}
	b.WriteString(providersPage)
	b.WriteString("\nA variable that begins with `LATHMARK_` and is not in this table is an error: most likely\n" +
		"a typing error.\n")
	return b.String()
}

// The page of settings is the table of settings. Should it differ, write it anew:
//
//	LATHMARK_WRITE_DOCS=1 go test -run TestSettingsPage ./cmd/lathmark
func TestSettingsPage(t *testing.T) {
	page := deploy + "configuration.md"
	if os.Getenv("LATHMARK_WRITE_DOCS") != "" {
		if err := os.WriteFile(page, []byte(settingsPage()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := os.ReadFile(page); err != nil || string(got) != settingsPage() {
		t.Errorf("%s is not what the table of settings says (%v)", page, err)
	}
}

// Secrets are made once and are not alike; every one that the compose file names is made, and there
// is none for the database.
func TestSecretsScript(t *testing.T) {
	dir := t.TempDir()
	text, err := os.ReadFile(deploy + "secrets.sh")
	if err != nil {
		t.Fatal(err)
	}
	copied := filepath.Join(dir, "secrets.sh")
	if err := os.WriteFile(copied, text, 0o755); err != nil {
		t.Fatal(err)
	}
	read := func() map[string]string {
		if said, err := exec.Command("sh", copied).CombinedOutput(); err != nil || len(said) > 0 {
			t.Fatalf("%v: %s", err, said)
		}
		files, err := os.ReadDir(dir + "/secrets")
		if err != nil {
			t.Fatal(err)
		}
		all := map[string]string{}
		for _, f := range files {
			text, err := os.ReadFile(filepath.Join(dir, "secrets", f.Name()))
			if err != nil {
				t.Fatal(err)
			}
			all[f.Name()] = strings.TrimSpace(string(text))
		}
		return all
	}
	first, again := read(), read()
	for name, was := range first {
		if again[name] != was {
			t.Errorf("%s was made anew", name)
		}
	}
	client, accounts := first["client.password"], first["accounts.password"]
	if !regexp.MustCompile(`^[0-9a-f]{48}$`).MatchString(client) || client == accounts || len(first) != 3 {
		t.Errorf("secrets %q", first)
	}
	if at, err := os.Stat(dir + "/secrets"); err != nil || at.Mode().Perm() != 0o700 {
		t.Errorf("the folder of secrets: %v, %v", at.Mode(), err)
	}

	compose, err := os.ReadFile("../../docker-compose.yml")
	if err != nil {
		t.Fatal(err)
	}
	named := regexp.MustCompile(`\./deploy/secrets/([a-z.]+)`).FindAllStringSubmatch(string(compose), -1)
	if len(named) != len(first) {
		t.Errorf("the compose file names %d secrets, the script makes %d", len(named), len(first))
	}
	for _, n := range named {
		if first[n[1]] == "" {
			t.Errorf("the compose file names %s, which is not made", n[1])
		}
	}
}

// providersPage is what the page of settings says of the providers.
const providersPage = `
## Accounts elsewhere

People can sign in with an account that they have at an OpenID Connect provider. The file that
` + "`LATHMARK_OIDC_FILE`" + ` points to has them all; each is a button on the sign-in page.

` + "```json" + `
[
  {
    "id": "office",
    "label": "your office account",
    "issuer": "https://login.firm.example",
    "client_id": "lathmark",
    "client_secret_file": "/run/secrets/oidc_secret"
  }
]
` + "```" + `

| field | what it is |
|---|---|
| ` + "`id`" + ` | a name for addresses: small letters, figures and dashes |
| ` + "`label`" + ` | what the button says after "Sign in with" |
| ` + "`issuer`" + ` | the provider's name for itself, to the letter |
| ` + "`client_id`, `client_secret` or `client_secret_file`" + ` | what the provider knows this server by |
| ` + "`email_domains`" + ` | only e-mails behind these count; left out: all that the provider has made sure of |
| ` + "`audiences`" + ` | others that a token may be for as well; left out: none |

Give the provider two addresses: people come back to ` + "`https://HOST/sign-in/back/ID`" + `, and it reports that
somebody signed out (back-channel logout) to ` + "`https://HOST/sign-in/out/ID`" + `. It must sign
with its own key (RS256, PS256, ES256, EdDSA or longer), never with the client's secret.

People are recognised by the e-mail that the firm's owner entered for them, if the provider has verified it; or
they open a one-time link and link their account. From then on the account counts and the e-mail does not. The
provider is trusted about e-mails: if anybody can sign up there, list the domains it may vouch for in
` + "`email_domains`" + `.

If a provider is down, everything else still works. Its keys are read again every hour.
`
