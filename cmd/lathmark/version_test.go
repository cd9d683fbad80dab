package main

import (
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"runtime/debug"
	"strings"
	"testing"

	"lathmark/persistence/pgtest"
)

// The program that is built says what Go says of it: its modules and the Go it was built with.
func TestVersion(t *testing.T) {
	at := filepath.Join(t.TempDir(), "lathmark")
	asked(t, "build", "-o", at, ".")
	out, err := script(t, nil, at, "version")
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	n := 0
	for _, line := range strings.Split(asked(t, "version", "-m", at), "\n") {
		if f := strings.Fields(line); len(f) > 2 && f[0] == "dep" {
			n++
			if !strings.Contains(strings.Join(strings.Fields(out), " "), f[1]+" "+f[2]) {
				t.Errorf("%s %s is in the program, and it does not say so", f[1], f[2])
			}
		}
	}
	if n < 10 {
		t.Errorf("%d modules in the program", n)
	}
	said(t, "version", out, strings.TrimSpace(asked(t, "env", "GOVERSION"))+", ")
}

func TestVersionSaysTheCommit(t *testing.T) {
	for _, c := range []struct {
		settings []debug.BuildSetting
		says     string
	}{
		{nil, "commit unknown\n"},
		{[]debug.BuildSetting{{Key: "vcs.revision", Value: "1f2e"}, {Key: "vcs.modified", Value: "false"}}, "commit 1f2e\n"},
		{[]debug.BuildSetting{{Key: "vcs.revision", Value: "1f2e"}, {Key: "vcs.modified", Value: "true"}},
			"commit 1f2e, with changes that are not committed\n"},
	} {
		var out strings.Builder
		if err := printVersion(&out, &debug.BuildInfo{Settings: c.settings}); err != nil ||
			!strings.HasPrefix(out.String(), c.says) {
			t.Errorf("%v: %v, %s", c.settings, err, out.String())
		}
	}
	var out strings.Builder
	if err := printVersion(&out, nil); err != nil || !strings.HasPrefix(out.String(), "commit unknown\n") {
		t.Errorf("a build that says nothing: %v, %s", err, out.String())
	}
}

// A server that runs is healthy, whatever address people reach it by; one that answers something
// else, or nothing, is not.
func TestHealthy(t *testing.T) {
	p := begin(t, append(settingsFor(t, pgtest.Migrated(t)), "LATHMARK_ADDRESS=https://lathmark.example"), "serve")
	at := p.said.find(t, `"on":"([^"]+)"`)
	env := []string{"LATHMARK_LISTEN=" + at, "LATHMARK_ADDRESS=https://lathmark.example"}
	if status, out, err := ran(t, env, "healthy"); status != statusDone || out+err != "" {
		t.Errorf("while it runs: status %d, %s%s", status, out, err)
	}
	p.end(t)
	if status, _, err := ran(t, env, "healthy"); status != statusBad || !strings.Contains(err, "/healthz") {
		t.Errorf("when it has stopped: status %d, %s", status, err)
	}
	other := httptest.NewServer(http.NotFoundHandler())
	defer other.Close()
	if status, _, err := ran(t, []string{"LATHMARK_LISTEN=" + strings.TrimPrefix(other.URL, "http://")},
		"healthy"); status != statusBad || !strings.Contains(err, "404") {
		t.Errorf("something else is there: status %d, %s", status, err)
	}
}

func TestWhereHealthIsAsked(t *testing.T) {
	for listen, want := range map[string]string{"0.0.0.0:8080": "127.0.0.1:8080", ":8080": "127.0.0.1:8080",
		"[::]:80": "[::1]:80", "10.0.0.5:81": "10.0.0.5:81", "localhost:8080": "localhost:8080", "nowhere": ""} {
		if got, err := reached(listen); got != want || (err == nil) == (want == "") {
			t.Errorf("%s: %s, %v", listen, got, err)
		}
	}
}
