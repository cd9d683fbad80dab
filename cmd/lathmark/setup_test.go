package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// tools makes a folder with stand-ins for programs, each of which prints what
// it is to answer, and with the real ones that the script itself is made of.
func tools(t *testing.T, programs map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, prints := range programs {
		text := fmt.Sprintf("#!/bin/sh\necho '%s'\n", prints)
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	for _, name := range []string{"sh", "sed", "sort", "tail", "tr", "xargs", "echo", "env"} {
		for _, at := range []string{"/bin/", "/usr/bin/"} {
			if _, err := os.Stat(at + name); err == nil {
				if err := os.Symlink(at+name, filepath.Join(dir, name)); err != nil {
					t.Fatal(err)
				}
				break
			}
		}
	}
	return dir
}

// What is missing is named and, where there is apt-get, asked of it.
func TestSetupScript(t *testing.T) {
	const initdb = "initdb (PostgreSQL) 99.1"
	for _, c := range []struct {
		name     string
		programs map[string]string
		missing  string // packages, in the script's order
	}{
		{"nothing missing", map[string]string{"chromium": "", "node": "v18.19.0", "npm": "9.2.0"}, ""},
		{"no browser", map[string]string{"node": "v22.1.0", "npm": "10"}, "chromium"},
		{"an old node", map[string]string{"google-chrome": "", "node": "v18.17.1", "npm": "8"}, "nodejs"},
		{"no npm", map[string]string{"chromium-browser": "", "node": "v18.18.0"}, "npm"},
		{"none at all", map[string]string{}, "chromium nodejs npm"},
	} {
		c.programs["initdb"], c.programs["postgres"] = initdb, ""
		c.programs["id"] = "0"
		env := []string{"LATHMARK_SETUP=dry", "PATH=" + tools(t, c.programs)}
		said, err := script(t, env, "sh", deploy+"setup.sh", "test")
		if c.missing == "" {
			if err != nil || said != "" {
				t.Errorf("%s: %v, %q", c.name, err, said)
			}
			continue
		}
		if err == nil || !strings.Contains(said, "Missing on this machine: "+c.missing+". There is no apt-get") {
			t.Errorf("%s, without apt-get: %v, %q", c.name, err, said)
		}
		c.programs["apt-get"] = ""
		env[1] = "PATH=" + tools(t, c.programs)
		if said, err = script(t, env, "sh", deploy+"setup.sh", "test"); err != nil || !strings.HasSuffix(said,
			" "+c.missing+"\n") {
			t.Errorf("%s, with apt-get: %v, %q", c.name, err, said)
		}
	}
}

// The demo needs PostgreSQL alone: without a browser and Node.js nothing is missing.
func TestSetupForTheDemo(t *testing.T) {
	env := []string{"LATHMARK_SETUP=dry", "PATH=" + tools(t, map[string]string{"id": "0", "apt-get": "", "postgres": "",
		"initdb": "initdb (PostgreSQL) 99.1"})}
	if said, err := script(t, env, "sh", deploy+"setup.sh", "demo"); err != nil || said != "" {
		t.Errorf("for the demo: %v, %q", err, said)
	}
	if said, err := script(t, env, "sh", deploy+"setup.sh", "everything"); err == nil ||
		!strings.Contains(said, "Usage: setup.sh [demo|test]") {
		t.Errorf("for something else: %v, %q", err, said)
	}
}
