package api_test

import (
	"bytes"
	"maps"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"lathmark/domain/firm"
)

// checks is where npm has installed what others check a document with, and make
// clients of it with.
const checks = "../../web/document"

// node runs a program there.
func node(t *testing.T, args ...string) string {
	t.Helper()
	if _, err := os.Stat(checks + "/node_modules"); err != nil {
		t.Fatalf("%v: make script installs it", err)
	}
	cmd := exec.CommandContext(t.Context(), "node", args...)
	cmd.Dir = checks
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("node %v: %v: %s", args, err, out)
	}
	return string(out)
}

// kept is a file in a folder with what is written in it.
func kept(t *testing.T, dir, name string, text []byte) string {
	t.Helper()
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// Two linters find nothing; what is wrong, each of them finds.
func TestLintersFindNothing(t *testing.T) {
	dir := t.TempDir()
	worse := bytes.Replace(text(), []byte(`"operationId": "addJob"`), []byte(`"operationId": "jobs"`), 1)
	found := node(t, "lint.js", kept(t, dir, "openapi.json", text()), kept(t, dir, "worse.json", worse))
	if strings.Contains(found, "openapi.json: ") {
		t.Error(found)
	}
	for _, rule := range []string{"worse.json: redocly operation-operationId-unique",
		"worse.json: spectral operation-operationId-unique"} {
		if !strings.Contains(found, rule) {
			t.Errorf("%s is not in %q", rule, found)
		}
	}
}

// A client with types made of the document compiles, and does what it is for
// against a running server.
func TestAClientMadeOfTheDocument(t *testing.T) {
	dir, s := t.TempDir(), newSite(t)
	for _, name := range []string{"client.ts", "tsconfig.json"} {
		text, err := os.ReadFile(filepath.Join(checks, name))
		if err != nil {
			t.Fatal(err)
		}
		kept(t, dir, name, text)
	}
	kept(t, dir, "package.json", []byte(`{"type": "module"}`))
	modules, err := filepath.Abs("../../web/node_modules")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(modules, filepath.Join(dir, "node_modules")); err != nil {
		t.Fatal(err)
	}
	node(t, "node_modules/openapi-typescript/bin/cli.js", kept(t, dir, "openapi.json", text()), "-o",
		filepath.Join(dir, "schema.d.ts"))
	node(t, modules+"/typescript/bin/tsc", "-p", dir)
	_, key, err := s.Firm.MakeKey(t.Context(), s.Foreman, "a client", firm.KeyRuns, 24*time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	running := httptest.NewServer(s)
	defer running.Close()
	said := node(t, filepath.Join(dir, "client.js"), running.URL, key, new7(), new7())
	const want = `{"name":"Bram Okafor","stages":["first_fix","boarding","plaster","second_fix","decoration"],` +
		`"height":2380,"late":412,"field":"name"}`
	if strings.TrimSpace(said) != want {
		t.Errorf("the client says %s", said)
	}
}

// Every operation says what it is for and who may ask, and is in a part that the
// document describes.
func TestEveryOperationIsDescribed(t *testing.T) {
	said := map[string]string{}
	for at, op := range operations(t) {
		who := "For people who work on site."
		switch {
		case op.OperationID == "me":
			who = "For everybody of the firm."
		case len(op.Security) > 0:
			who = "eeds no session and no "
		case slices.Contains(foremans, op.OperationID):
			who = "For the foreman and the owner."
		}
		if !strings.Contains(op.Description, who) || len(op.Tags) != 1 || strings.Contains(op.Description, op.Summary) {
			t.Errorf("%s, in %v, does not say %q: %s", at, op.Tags, who, op.Description)
		}
		if other, twice := said[op.Summary]; twice {
			t.Errorf("%s and %s have one summary", at, other)
		}
		said[op.Summary] = at
	}
	if len(said) < 70 {
		t.Errorf("%d operations: %v", len(said), slices.Sorted(maps.Keys(said)))
	}
}
