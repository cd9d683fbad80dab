package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
)

// echo is a subcommand for these tests: it copies its input behind its arguments
// and ends with an error.
var echo = command{"echo", "say it again", "", nil, func(_ context.Context, s streams, args []string) error {
	said, _ := io.ReadAll(s.in)
	fmt.Fprint(s.out, strings.Join(args, " "), string(said), strings.Join(s.env, ";"))
	return errors.New("a word about it")
}}

func TestDispatch(t *testing.T) {
	for _, c := range []struct {
		name     string
		args     []string
		status   int
		out, err string // what must be in there; "" means nothing at all
	}{
		{"no command", nil, 2, "", "Usage: lathmark COMMAND"},
		{"help", []string{"help"}, 0, "say it again", ""},
		{"help as a flag", []string{"--help"}, 0, "Exit status", ""},
		{"unknown", []string{"ecko"}, 2, "", `unknown command "ecko"`},
		{"a part of a name is not the name", []string{"ec"}, 2, "", `unknown command "ec"`},
		{"found", []string{"echo", "--a", "b"}, 1, "--a b from stdinK=v", "a word about it"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out, err bytes.Buffer
			io := streams{in: strings.NewReader(" from stdin"), out: &out, err: &err, env: []string{"K=v"}}
			if got := dispatch(context.Background(), []command{echo}, c.args, io); got != c.status {
				t.Errorf("status %d, want %d", got, c.status)
			}
			said(t, "standard output", out.String(), c.out)
			said(t, "standard error", err.String(), c.err)
		})
	}
}

func said(t *testing.T, where, got, want string) {
	t.Helper()
	if want == "" && got != "" || !strings.Contains(got, want) {
		t.Errorf("%s: %q, want %q in it", where, got, want)
	}
}

// Every subcommand explains itself in one line that fits a terminal, and has a name
// that no other has.
func TestCommandsAreDescribed(t *testing.T) {
	seen := map[string]bool{"help": true}
	for _, c := range commands {
		if seen[c.name] || c.name == "" {
			t.Errorf("command %q stands twice in the table", c.name)
		}
		seen[c.name] = true
		if c.help == "" || len(c.name)+len(c.help) > 75 || strings.Contains(c.help, "\n") {
			t.Errorf("%s: its help is not one line: %q", c.name, c.help)
		}
		status, out, err := ran(t, nil, c.name, "--help")
		if status != statusDone || !strings.HasPrefix(out, "Usage: lathmark "+c.name) || err != "" {
			t.Errorf("%s --help: status %d, %s%s", c.name, status, out, err)
		}
	}
	var out, err bytes.Buffer
	if got := run(context.Background(), []string{"help"}, nil, strings.NewReader(""), &out, &err); got != 0 {
		t.Errorf("help ended with status %d", got)
	}
	for name := range seen {
		said(t, "usage", out.String(), "  "+name+" ")
	}
}
