package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"lathmark/cmd/demo/site"
	"lathmark/persistence/localpg"
)

// demoData returns a folder for a demo that PostgreSQL's account may enter.
func demoData(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp(localpg.TempDir(), "lathmark-demo")
	if err == nil {
		err = os.Chmod(dir, 0o755)
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := os.RemoveAll(dir); err != nil {
			t.Error(err)
		}
	})
	return filepath.Join(dir, "demo")
}

// beginDemo runs the demo until it is stopped.
func beginDemo(t *testing.T, args ...string) *program {
	t.Helper()
	return beginAs(t, func(ctx context.Context, said io.Writer) int { return site.Run(ctx, args, nil, said, said) })
}

// ranDemo runs the demo and returns its status and what it printed.
func ranDemo(t *testing.T, args ...string) (status int, out, err string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	status = site.Run(t.Context(), args, nil, &stdout, &stderr)
	return status, stdout.String(), stderr.String()
}

// A demo starts from nothing, lets people in, shows its database, and comes back warm
// with what was recorded.
func TestDemo(t *testing.T) {
	data := demoData(t)
	args := []string{"--listen", "127.0.0.1:0", "--data", data}
	p := beginDemo(t, args...)
	at := p.said.find(t, `is at (http://\S+)`)
	for _, path := range []string{"/healthz", "/readyz"} {
		if status, body := get(t, at+path); status != http.StatusOK {
			t.Errorf("%s: %d %s", path, status, body)
		}
	}
	_, page := get(t, at+"/sign-in")
	for _, person := range []string{"Maud Aldous", "Ruth Aldous", "Ola Brandt", "Joss Penhale", "Ines Quill",
		"Pell Castor", "Nia Strand", "Wim Harker"} {
		said(t, "the sign-in page", page, person)
		p.said.find(t, "("+person+"), ")
	}
	link := p.said.find(t, `Mill Loft +http://[^/]+(/progress/\S+)`)
	if status, page := get(t, at+link); status != http.StatusOK || !strings.Contains(page, "Landing") {
		t.Errorf("the client's link: %d %s", status, page)
	}
	comeIn(t, at, page)

	psql := p.said.find(t, `(?m)^  (.*psql.*)$`)
	if status, _ := get(t, p.said.find(t, `(http://\S+/openapi\.json)`)); status != http.StatusOK {
		t.Errorf("the API's document: %d", status)
	}
	proof := p.said.find(t, `LATHMARK_DATABASE='([^']+)' lathmark diary check`)
	if status, out, err := ran(t, []string{"LATHMARK_DATABASE=" + proof}, "diary", "check"); status != statusDone ||
		strings.Count(out, "intact") != 2 {
		t.Errorf("the diary: status %d, %s%s", status, out, err)
	}
	count := psql + ` -Atc 'select count(*) from member'`
	before, err := exec.Command("sh", "-c", count).CombinedOutput()
	if err != nil {
		t.Errorf("%s: %v, %s", count, err, before)
	}

	second := beginDemo(t, "--listen", "127.0.0.1:0", "--data", data)
	if status := <-second.status; status != statusBad {
		t.Errorf("a second demo on the folder ended with status %d", status)
	}
	p.end(t)

	p = beginDemo(t, args...)
	psql = p.said.find(t, `(?m)^  (.*psql.*)$`)
	if status, _ := get(t, p.said.find(t, `is at (http://\S+)`)+link); status != http.StatusOK {
		t.Errorf("after a restart the client's link gives %d", status)
	}
	if after, err := exec.Command("sh", "-c", psql+` -Atc 'select count(*) from member'`).CombinedOutput(); err != nil ||
		string(after) != string(before) {
		t.Errorf("after a restart: %q, before %q, %v", after, before, err)
	}

	// Without its database it does not linger.
	text, err := os.ReadFile(filepath.Join(data, "cluster", "postmaster.pid"))
	if err != nil {
		t.Fatal(err)
	}
	pid, err := strconv.Atoi(strings.SplitN(string(text), "\n", 2)[0])
	if err != nil {
		t.Fatal(err)
	}
	if err := syscall.Kill(pid, syscall.SIGKILL); err != nil {
		t.Fatal(err)
	}
	if status := <-p.status; status != statusBad {
		t.Errorf("without its database it ended with status %d", status)
	}
	p.said.find(t, "(PostgreSQL ended of itself)")
}

// comeIn picks the first person that the sign-in page offers, and looks at where that leads.
func comeIn(t *testing.T, at, page string) {
	t.Helper()
	_, rest, found := strings.Cut(page, `name="person" value="`)
	who, _, _ := strings.Cut(rest, `"`)
	if !found {
		t.Fatalf("the sign-in page offers nobody: %s", page)
	}
	jar, _ := cookiejar.New(nil) // it never fails
	browser := &http.Client{Jar: jar}
	form, err := http.NewRequest(http.MethodPost, at+"/sign-in", strings.NewReader(url.Values{"person": {who}}.Encode()))
	if err != nil {
		t.Fatal(err)
	}
	form.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	form.Header.Set("Origin", at)
	r, err := browser.Do(form)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	if r.StatusCode != http.StatusOK || r.Request.URL.Path == "/sign-in" {
		t.Errorf("coming in led to %s with %d", r.Request.URL, r.StatusCode)
	}
}

func TestDemoUsage(t *testing.T) {
	for _, c := range []struct {
		args   string
		status int
		says   string
	}{
		{"--help", statusDone, "--fresh"},
		{"--loud", statusUsage, "-loud"},
		{"here", statusUsage, "Usage: demo"},
		{"--listen nowhere", statusBad, "--listen 127.0.0.1:PORT"},
		{"--listen 0.0.0.0:0", statusBad, "--listen 127.0.0.1:PORT"},
		{"--listen :0", statusBad, "--listen 127.0.0.1:PORT"},
	} {
		if status, out, err := ranDemo(t, strings.Fields(c.args)...); status != c.status ||
			!strings.Contains(out+err, strings.TrimPrefix(c.says, "-")) {
			t.Errorf("demo %s: status %d, %s%s", c.args, status, out, err)
		}
	}
}

func TestDemoPortInUse(t *testing.T) {
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	data := demoData(t)
	status, _, says := ranDemo(t, "--listen", taken.Addr().String(), "--data", data)
	if status != statusBad || !strings.Contains(says, "choose another address with --listen") {
		t.Errorf("status %d, %s", status, says)
	}
	if _, err := os.Stat(data); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a database was made for nothing: %v", err)
	}
}
