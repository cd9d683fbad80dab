package main

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/sync/errgroup"
)

const (
	clients = 16
	turns   = 3
)

// client is one of those who ask at the same time, over a connection that stays
// open.
type client struct {
	n    int // 0, 1, 2 ...
	http http.Client
	made int // how often it has asked in this turn
}

// way is something that clients ask again and again, each as soon as it has its
// answer.
type way struct {
	name string
	// once asks one time; turn is 0 for warming up, then 1, 2, 3. It returns how
	// many bytes were answered.
	once func(ctx context.Context, c *client, turn int) (int64, error)
	// What came of it.
	took  []time.Duration // sorted
	busy  time.Duration   // from the first question to the last answer, of all turns
	bytes int64
	asked int // turns so far
}

// takeTurns measures several ways for so long each, after a third of that to warm
// up.
func takeTurns(b *testing.B, long time.Duration, ways ...*way) {
	b.Helper()
	for range turns + 1 {
		for _, w := range ways {
			w.turn(b, long/turns, w.asked > 0)
		}
	}
	for _, w := range ways {
		slices.Sort(w.took)
	}
	b.ReportMetric(0, "ns/op")
}

// turn has all clients ask for so long. An answer that is not as it should be
// fails the benchmark.
func (w *way) turn(b *testing.B, long time.Duration, counts bool) {
	b.Helper()
	group, ctx := errgroup.WithContext(b.Context())
	took, bytes := make([][]time.Duration, clients), make([]int64, clients)
	began := time.Now()
	for n := range clients {
		c := &client{n: n, http: http.Client{CheckRedirect: stay,
			Transport: &http.Transport{DisableCompression: true, MaxConnsPerHost: 1}}}
		group.Go(func() error {
			defer c.http.CloseIdleConnections()
			for time.Since(began) < long {
				from := time.Now()
				size, err := w.once(ctx, c, w.asked)
				if err != nil {
					return err
				}
				took[n] = append(took[n], time.Since(from))
				bytes[n] = max(bytes[n], size)
				c.made++
			}
			return nil
		})
	}
	if err := group.Wait(); err != nil {
		b.Fatalf("%s: %v", w.name, err)
	}
	w.asked++
	if counts {
		w.busy += time.Since(began)
		w.took = append(w.took, slices.Concat(took...)...)
		w.bytes = max(w.bytes, slices.Max(bytes))
	}
}

func stay(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }

// unit returns what the benchmark's line calls one of its figures.
func (w *way) unit(of string) string {
	return strings.NewReplacer(",", "", " ", "-").Replace(w.name) + "-" + of
}

// rate returns how many were answered a second.
func (w *way) rate() float64 { return float64(len(w.took)) / w.busy.Seconds() }

// within returns the time within which a share of all were answered.
func (w *way) within(share float64) time.Duration {
	return w.took[min(int(share*float64(len(w.took))), len(w.took)-1)]
}

// send sends a request, takes the answer to its end and returns its size; an
// answer with another status is an error that says what it was.
func (c *client) send(r *http.Request, status int) (int64, error) {
	answer, err := c.http.Do(r)
	if err != nil {
		return 0, err
	}
	defer answer.Body.Close()
	if answer.StatusCode != status {
		text, _ := io.ReadAll(io.LimitReader(answer.Body, 2000))
		return 0, fmt.Errorf("%s %s is answered %d, want %d: %s", r.Method, r.URL.Path, answer.StatusCode, status, text)
	}
	return io.Copy(io.Discard, answer.Body)
}

// browse returns a request for a page as a browser asks for it.
func browse(ctx context.Context, at, path, cookie, encoding string) (*http.Request, error) {
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, at+path, http.NoBody)
	if err != nil {
		return nil, err
	}
	r.Header.Set("Cookie", cookie)
	r.Header.Set("Accept", "text/html")
	r.Header.Set("Accept-Encoding", encoding)
	return r, nil
}

// opens asks for pages one after the other; a phone that has them says so and is
// answered 304.
func (f *firmAtWork) opens(at string, paths []string, encoding string,
	had map[string]string) func(context.Context, *client, int) (int64, error) {
	return func(ctx context.Context, c *client, _ int) (int64, error) {
		path, status := paths[(c.n+c.made)%len(paths)], http.StatusOK
		r, err := browse(ctx, at, path, f.cookie, encoding)
		if err != nil {
			return 0, err
		}
		if had != nil {
			r.Header.Set("If-None-Match", had[path])
			status = http.StatusNotModified
		}
		return c.send(r, status)
	}
}

// tags are the ETags of pages; nil if one has none, or where its ETag does not
// bring 304.
func tags(b *testing.B, at, cookie string, paths []string) map[string]string {
	b.Helper()
	all := map[string]string{}
	for _, path := range paths {
		for _, status := range []int{http.StatusOK, http.StatusNotModified} {
			r, err := browse(b.Context(), at, path, cookie, "gzip")
			if err != nil {
				b.Fatal(err)
			}
			if all[path] != "" {
				r.Header.Set("If-None-Match", all[path])
			}
			answer, err := http.DefaultTransport.RoundTrip(r)
			if err != nil {
				b.Fatal(err)
			}
			_, err = io.Copy(io.Discard, answer.Body)
			if answer.Body.Close(); err != nil {
				b.Fatal(err)
			}
			if status == http.StatusOK {
				all[path] = answer.Header.Get("ETag")
			}
			if answer.StatusCode != status || all[path] == "" {
				return nil
			}
		}
	}
	return all
}
