package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"reflect"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/caarlos0/env/v11"
)

// config is what the environment says. Each field has its variable; what each is
// for stands in settings.
type config struct {
	Database string        `env:"LATHMARK_DATABASE"`
	Owner    string        `env:"LATHMARK_OWNER_DATABASE"`
	Listen   string        `env:"LATHMARK_LISTEN"`
	Address  string        `env:"LATHMARK_ADDRESS"`
	Proxies  string        `env:"LATHMARK_PROXIES"`
	OIDC     string        `env:"LATHMARK_OIDC"`
	Migrate  bool          `env:"LATHMARK_MIGRATE"`
	Log      string        `env:"LATHMARK_LOG"`
	Photos   string        `env:"LATHMARK_PHOTOS"`
	S3       string        `env:"LATHMARK_PHOTOS_STORE"`
	S3Bucket string        `env:"LATHMARK_PHOTOS_BUCKET"`
	S3Region string        `env:"LATHMARK_PHOTOS_REGION"`
	S3Key    string        `env:"LATHMARK_PHOTOS_KEY"`
	S3Secret string        `env:"LATHMARK_PHOTOS_SECRET"`
	Drain    time.Duration `env:"LATHMARK_DRAIN"`
}

// settings is the only table of them: the usage text and deploy/configuration.md are
// made from it or checked against it. A secret can also be read from the file that the
// variable with _FILE behind its name points to, and is never printed.
var settings = []setting{
	{"LATHMARK_DATABASE", true, "",
		"where the database is, as the role lathmark_server: " +
			"postgres://lathmark_server@/lathmark?host=/run/postgresql, its socket; over a network only with " +
			"sslmode=verify-full"},
	{"LATHMARK_OWNER_DATABASE", true, "",
		"the same database, as the role lathmark_owner, which may change the schema"},
	{"LATHMARK_LISTEN", false, "127.0.0.1:8080",
		"where to listen, HOST:PORT; plain HTTP, so other machines should reach it through an HTTPS " +
			"proxy"},
	{"LATHMARK_ADDRESS", false, "",
		"how people reach the server, https://HOST; with https, their sessions work only over it; unset: " +
			"http and the listen address"},
	{"LATHMARK_PROXIES", false, "",
		"the proxies in front of the server, as addresses or networks with commas between, " +
			"10.0.0.5,fd00::/8; only these are trusted for the address that a request comes from, so that one stranger " +
			"cannot use up everybody's rate limit"},
	{"LATHMARK_OIDC", true, "",
		"the OpenID Connect providers that people sign in with, a list in JSON as in " +
			"deploy/configuration.md; unset: none"},
	{"LATHMARK_MIGRATE", false, "false",
		"true: update the schema before starting; needs LATHMARK_OWNER_DATABASE too"},
	{"LATHMARK_LOG", false, "json",
		"json or text: how the log is written, to standard error"},
	{"LATHMARK_PHOTOS", false, "/var/lib/lathmark/photos",
		"the folder for photo files; created if it is missing"},
	{"LATHMARK_PHOTOS_STORE", false, "",
		"https://HOST of an S3-compatible store, for the photo files instead of the folder; http only on " +
			"this machine"},
	{"LATHMARK_PHOTOS_BUCKET", false, "",
		"the bucket there, which must exist and be private"},
	{"LATHMARK_PHOTOS_REGION", false, "us-east-1",
		"its region"},
	{"LATHMARK_PHOTOS_KEY", false, "",
		"the id of the access key"},
	{"LATHMARK_PHOTOS_SECRET", true, "",
		"the access key's secret"},
	{"LATHMARK_DRAIN", false, "20s",
		"how long running requests may take to finish when the server is told to stop"},
}

// setting is one row of the table.
type setting struct {
	name           string
	secret         bool
	fallback, help string // fallback: what holds unless it is set
}

const prefix = "LATHMARK_"

// readConfig takes the configuration from environ, as os.Environ returns it. A LATHMARK_
// variable that is not in the table is an error, because it is most likely a slip of the
// pen in one that is.
func readConfig(environ []string) (config, error) {
	vars := map[string]string{}
	for _, pair := range environ {
		if name, value, found := strings.Cut(pair, "="); found && strings.HasPrefix(name, prefix) {
			vars[name] = value
		}
	}
	var wrong []error
	known := map[string]bool{}
	for _, s := range settings {
		known[s.name] = true
		if vars[s.name] == "" && s.fallback != "" {
			vars[s.name] = s.fallback
		}
		if s.secret {
			known[s.name+"_FILE"] = true
			wrong = append(wrong, fromFile(vars, s.name))
		}
	}
	for name := range vars {
		if !known[name] {
			wrong = append(wrong, fmt.Errorf("%s is not a setting of Lathmark", name))
		}
	}
	c, err := env.ParseAsWithOptions[config](env.Options{Environment: vars})
	return c, errors.Join(append(wrong, named(err), unheard("LATHMARK_DATABASE", c.Database),
		unheard("LATHMARK_OWNER_DATABASE", c.Owner))...)
}

// named returns the variables that cannot be read their names: the reader of the
// environment calls them by the field.
func named(err error) error {
	var all env.AggregateError
	if !errors.As(err, &all) {
		return err
	}
	var out []error
	for _, one := range all.Errors {
		var p env.ParseError
		if !errors.As(one, &p) {
			out = append(out, one)
			continue
		}
		f, _ := reflect.TypeFor[config]().FieldByName(p.Name)
		out = append(out, fmt.Errorf("%s: %w", f.Tag.Get("env"), p.Err))
	}
	return errors.Join(out...)
}

// fromFile puts the content of the file that NAME_FILE points to in NAME's place.
func fromFile(vars map[string]string, name string) error {
	path := vars[name+"_FILE"]
	if path == "" {
		return nil
	}
	if vars[name] != "" {
		return fmt.Errorf("both %s and %s_FILE are set: leave one out", name, name)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return fmt.Errorf("%s_FILE: %w", name, err)
	}
	vars[name] = strings.TrimRight(string(text), "\r\n")
	return nil
}

// printSettings prints the rows that are named.
func printSettings(w io.Writer, names ...string) {
	fmt.Fprintln(w, "Settings, from the environment; a secret also from the file that NAME_FILE points to:")
	columns := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, s := range settings {
		if !slices.Contains(names, s.name) {
			continue
		}
		note := ""
		if s.fallback != "" {
			note = " (" + s.fallback + ")"
		}
		if s.secret {
			note += " (secret)"
		}
		fmt.Fprintf(columns, "  %s\t%s%s\n", s.name, s.help, note)
	}
	columns.Flush()
}
