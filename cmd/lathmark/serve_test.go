package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"lathmark/cmd/hosting"
	"lathmark/migrations"
	"lathmark/persistence/localpg"
	"lathmark/persistence/pgtest"
	"lathmark/persistence/schema"
)

// spoken collects what a server says and lets a test wait for a word of it.
type spoken struct {
	mu   sync.Mutex
	text strings.Builder
	more chan struct{} // closed and replaced when there is more
}

func newSpoken() *spoken { return &spoken{more: make(chan struct{})} }

func (s *spoken) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	close(s.more)
	s.more = make(chan struct{})
	return s.text.Write(p)
}

func (s *spoken) so() (string, <-chan struct{}) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.String(), s.more
}

// find waits until pattern has been said and returns its first group.
func (s *spoken) find(t *testing.T, pattern string) string {
	t.Helper()
	for {
		text, more := s.so()
		if found := regexp.MustCompile(pattern).FindStringSubmatch(text); found != nil {
			return found[1]
		}
		select {
		case <-more:
		case <-t.Context().Done():
			t.Fatalf("nothing like %s was said: %s", pattern, text)
		case <-time.After(patienceOfAThumb):
			t.Fatalf("in %v nothing like %s was said: %s", patienceOfAThumb, pattern, text)
		}
	}
}

// program is a subcommand that runs until it is stopped.
type program struct {
	said   *spoken // on both streams
	stop   context.CancelFunc
	status chan int
}

func begin(t *testing.T, env []string, args ...string) *program {
	t.Helper()
	return beginAs(t, func(ctx context.Context, said io.Writer) int {
		return run(ctx, args, env, strings.NewReader(""), said, said)
	})
}

func beginAs(t *testing.T, run func(ctx context.Context, said io.Writer) int) *program {
	t.Helper()
	ctx, stop := context.WithCancel(t.Context())
	p := &program{said: newSpoken(), stop: stop, status: make(chan int, 1)}
	go func() { p.status <- run(ctx, p.said) }()
	return p
}

// end stops it and wants status 0.
func (p *program) end(t *testing.T) {
	t.Helper()
	p.stop()
	if status := <-p.status; status != statusDone {
		text, _ := p.said.so()
		t.Errorf("it ended with status %d: %s", status, text)
	}
}

func get(t *testing.T, url string) (status int, body string) {
	t.Helper()
	r, err := http.Get(url)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	all, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return r.StatusCode, string(all)
}

func settingsFor(t *testing.T, d pgtest.Database) []string {
	return []string{"LATHMARK_PHOTOS=" + filepath.Join(t.TempDir(), "photos"),
		"LATHMARK_DATABASE=" + d.URL(migrations.Server), "LATHMARK_OWNER_DATABASE=" + d.URL(migrations.Owner),
		"LATHMARK_LISTEN=127.0.0.1:0", "LATHMARK_DRAIN=5s",
	}
}

func TestServe(t *testing.T) {
	d := pgtest.Migrated(t)
	// A copy belongs to whoever made it; here it is its owner's, as on site.
	if err := schema.Prepare(t.Context(), d.URL(localpg.Superuser)); err != nil {
		t.Fatal(err)
	}
	p := begin(t, settingsFor(t, d), "serve")
	at := "http://" + p.said.find(t, `"on":"([^"]+)"`)
	for _, path := range []string{"/healthz", "/readyz", "/sign-in"} {
		if status, body := get(t, at+path); status != http.StatusOK {
			t.Errorf("%s: %d %s", path, status, body)
		}
	}
	// A schema that was taken back under a running server shows at once.
	if err := schema.Down(t.Context(), d.URL(migrations.Owner), 1); err != nil {
		t.Fatal(err)
	}
	if status, _ := get(t, at+"/readyz"); status != http.StatusServiceUnavailable {
		t.Errorf("on an older schema readyz gives %d", status)
	}
	if status, _ := get(t, at+"/healthz"); status != http.StatusOK {
		t.Errorf("on an older schema healthz gives %d", status)
	}
	p.end(t)
	text, _ := p.said.so()
	said(t, "the log", text, `"msg":"stopping"`)
}

func TestServeAndTheSchema(t *testing.T) {
	d := pgtest.Empty(t)
	if err := schema.Prepare(t.Context(), d.URL(localpg.Superuser)); err != nil {
		t.Fatal(err)
	}
	if status, _, err := ran(t, settingsFor(t, d), "serve"); status != statusBad || !strings.Contains(err,
		"run lathmark migrate up") {
		t.Errorf("on an empty database: status %d, %s", status, err)
	}
	p := begin(t, append(settingsFor(t, d), "LATHMARK_MIGRATE=true", "LATHMARK_LOG=text"), "serve")
	if status, body := get(t, "http://"+p.said.find(t, `on=(\S+)`)+"/readyz"); status != http.StatusOK {
		t.Errorf("told to migrate: %d %s", status, body)
	}
	p.end(t)
}

func TestServeRefuses(t *testing.T) {
	d := pgtest.Migrated(t)
	for _, c := range []struct{ set, says string }{
		{"LATHMARK_DATABASE=" + d.URL(localpg.Superuser), "must not use this role"},
		{"LATHMARK_DATABASE=" + d.URL(migrations.Owner), "must not use this role"},
		{"LATHMARK_DATABASE=", "LATHMARK_DATABASE is not set"},
		{"LATHMARK_ADDRESS=lathmark.example", "like https://lathmark.example"},
		{"LATHMARK_ADDRESS=https://lathmark.example/below", "like https://lathmark.example"},
		{"LATHMARK_LOG=loud", "json or text"},
		{"LATHMARK_DRAIN=soon", "LATHMARK_DRAIN"},
		{"LATHMARK_LISTEN=nowhere", "nowhere"},
		{"LATHMARK_PORT=80", "LATHMARK_PORT is not a setting"},
	} {
		if status, _, err := ran(t, append(settingsFor(t, d), c.set), "serve"); status != statusBad || !strings.Contains(err,
			c.says) {
			t.Errorf("with %s: status %d, %s", c.set, status, err)
		}
	}
	if status, _, err := ran(t, []string{"LATHMARK_DATABASE=x", "LATHMARK_MIGRATE=true"}, "serve"); status != statusBad ||
		!strings.Contains(err, "OWNER_DATABASE is not set") {
		t.Errorf("migrating without an owner: status %d, %s", status, err)
	}
	if status, _, err := ran(t, nil, "serve", "--loud"); status != statusUsage || !strings.Contains(err,
		"LATHMARK_DRAIN") {
		t.Errorf("with an option: status %d, %s", status, err)
	}
}

// What is under way when the host is told to stop is answered; a host that is stopping
// takes nothing new; what lasts longer than the drain is cut off.
func TestDrain(t *testing.T) {
	for _, c := range []struct {
		name  string
		drain time.Duration
		whole bool
	}{{"in time", time.Minute, true}, {"too late", time.Millisecond, false}} {
		t.Run(c.name, func(t *testing.T) {
			at, err := net.Listen("tcp", "127.0.0.1:0")
			if err != nil {
				t.Fatal(err)
			}
			begun, goOn := make(chan struct{}), make(chan struct{})
			ctx, stop := context.WithCancel(t.Context())
			ended := make(chan error, 1)
			go func() {
				ended <- hosting.Host{Log: slog.New(slog.DiscardHandler), Drain: c.drain}.Serve(ctx, at,
					func(open func() error) http.Handler {
						return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
							close(begun)
							<-goOn
							fmt.Fprint(w, open())
						})
					})
			}()
			answer := make(chan string, 1)
			go func() {
				r, err := http.Get("http://" + at.Addr().String())
				if err != nil {
					answer <- "cut off"
					return
				}
				defer r.Body.Close()
				body, _ := io.ReadAll(r.Body)
				answer <- string(body)
			}()
			<-begun
			stop()
			if !c.whole { // the host gives up first
				if err := <-ended; !errors.Is(err, context.DeadlineExceeded) {
					t.Errorf("it ended with %v", err)
				}
				close(goOn)
				if got := <-answer; got != "cut off" {
					t.Errorf("the answer is %q", got)
				}
				return
			}
			close(goOn)
			if got := <-answer; got != hosting.ErrDraining.Error() {
				t.Errorf("the answer is %q", got)
			}
			if err := <-ended; err != nil {
				t.Errorf("it ended with %v", err)
			}
		})
	}
}

// A stream does not end of itself: the host ends it before it waits.
func TestDrainEndsStreams(t *testing.T) {
	at, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	begun, over := make(chan struct{}), make(chan struct{})
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() {
		h := hosting.Host{Log: slog.New(slog.DiscardHandler), Drain: time.Minute, Stopping: func() { close(over) }}
		ended <- h.Serve(ctx, at, func(func() error) http.Handler {
			return http.HandlerFunc(func(http.ResponseWriter, *http.Request) { close(begun); <-over })
		})
	}()
	answered := make(chan error, 1)
	go func() {
		r, err := http.Get("http://" + at.Addr().String())
		if err == nil {
			err = r.Body.Close()
		}
		answered <- err
	}()
	<-begun
	stop()
	if err := errors.Join(<-answered, <-ended); err != nil {
		t.Error(err)
	}
}
