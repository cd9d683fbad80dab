package main

import (
	"net/http"
	"os"
	"os/exec"
	"strings"
	"testing"

	"lathmark/cmd/demo/site"
)

// asDemo names the variable with which this test binary runs a demo instead of tests: a
// demo that is killed must be a process of its own.
const asDemo = "TEST_AS_DEMO"

// TestAsDemo is no test: it is what killed runs.
func TestAsDemo(t *testing.T) {
	if data := os.Getenv(asDemo); data != "" {
		site.Run(t.Context(), []string{"--listen", "127.0.0.1:0", "--data", data}, nil, os.Stdout, os.Stdout)
	}
}

// killed starts a demo on data and kills it, without a chance to tidy up, once it has said
// pattern, of which it returns the first group.
func killed(t *testing.T, data, pattern string) string {
	t.Helper()
	demo := exec.Command(os.Args[0], "-test.run=^TestAsDemo$")
	demo.Env = append(os.Environ(), asDemo+"="+data)
	said := newSpoken()
	demo.Stdout, demo.Stderr = said, said
	if err := demo.Start(); err != nil {
		t.Fatal(err)
	}
	defer demo.Wait()         //nolint:errcheck // it was killed
	defer demo.Process.Kill() //nolint:errcheck // it may have ended by itself
	return said.find(t, pattern)
}

// A demo that is killed while it makes its records makes them again; one that is killed
// while it serves comes back with the records it had.
func TestDemoKilled(t *testing.T) {
	data := demoData(t)
	killed(t, data, "(Making the demo's records)")
	link := killed(t, data, `Mill Loft +http://[^/]+(/progress/\S+)`)
	p := beginDemo(t, "--listen", "127.0.0.1:0", "--data", data)
	at := p.said.find(t, `is at (http://\S+)`)
	if status, page := get(t, at+link); status != http.StatusOK || !strings.Contains(page, "Landing") {
		t.Errorf("the client's link of the killed demo: %d %s", status, page)
	}
	if text, _ := p.said.so(); strings.Contains(text, "Making") {
		t.Error("the records were made again")
	}
	p.end(t)
}
