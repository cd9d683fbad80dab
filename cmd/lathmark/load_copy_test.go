package main

import (
	"bufio"
	"compress/gzip"
	"encoding/json"
	"net/http"
	"slices"
	"testing"
	"time"

	"lathmark/web"
)

// How often the copy of a visit is counted and timed, unless it takes longer than
// anybody waits.
const (
	copyRounds  = 3
	copyPatient = 15 * time.Second
)

// copying is what the copies of one visit took: by servers that had just been
// started, and by servers that had made it before.
type copying struct {
	took  [2][]time.Duration
	ended [3]int // the fewest transactions of a server that made none, one, two
	pages int
}

// copies measures the copy of the visit to the demo's ten rooms, and to those that
// the pages are measured with, which have many more readings.
func (l *load) copies(b *testing.B) {
	for _, c := range []struct {
		name, unit string
		firm       *firmAtWork
	}{{"the demo's ten rooms", "demo", l.on.demo(b)}, {"ten rooms of 56 readings", "readings", l.firm()}} {
		n := l.on.copies(b, c.firm)
		for i, when := range []string{"first", "again"} {
			slices.Sort(n.took[i])
			took, commits := n.took[i][len(n.took[i])/2], n.ended[i+1]-n.ended[i]
			l.table.say("copy of a visit to %s, %s: %d pages in %.0f ms, asked for %d: %s; %d transactions, asked for %d: %s",
				c.name, when, n.pages, ms(took), copyTime/time.Millisecond, yes(took <= copyTime), commits, copyCommits,
				yes(commits <= copyCommits))
			b.ReportMetric(ms(took), c.unit+"-"+when+"-ms")
			b.ReportMetric(float64(commits), c.unit+"-"+when+"-transactions")
		}
	}
	b.ReportMetric(0, "ns/op")
}

// copies makes copies. Transactions are counted by what servers leave behind that
// have made none, one and two; others may come between, such as the database's own
// housekeeping, so the fewest of some rounds count.
func (d *cluster) copies(b *testing.B, f *firmAtWork) (n copying) {
	b.Helper()
	began := time.Now()
	for round := 0; round < copyRounds && (round == 0 || time.Since(began) < copyPatient); round++ {
		for copies := range n.ended {
			before := d.commits(b)
			p := d.serve(b)
			for i := range copies {
				var took time.Duration
				took, n.pages = f.copies(b, p.at)
				n.took[i] = append(n.took[i], took)
			}
			p.end(b)
			if commits := d.commits(b) - before; round == 0 || commits < n.ended[copies] {
				n.ended[copies] = commits
			}
		}
	}
	return n
}

// copies fetches the copy once and returns how many pages it says it has.
func (f *firmAtWork) copies(b *testing.B, at string) (took time.Duration, pages int) {
	b.Helper()
	r, err := browse(b.Context(), at, web.CopyPath, f.cookie, "gzip")
	if err != nil {
		b.Fatal(err)
	}
	began := time.Now()
	answer, err := http.DefaultTransport.RoundTrip(r)
	if err != nil {
		b.Fatal(err)
	}
	defer answer.Body.Close()
	unpacked, err := gzip.NewReader(answer.Body)
	if err != nil || answer.StatusCode != http.StatusOK {
		b.Fatalf("the copy is answered %d: %v", answer.StatusCode, err)
	}
	lines := bufio.NewScanner(unpacked)
	lines.Buffer(nil, 16<<20)
	last := ""
	for lines.Scan() {
		last = lines.Text()
	}
	took = time.Since(began)
	if err := lines.Err(); err != nil {
		b.Fatal(err)
	}
	var end struct{ Pages int }
	if err := json.Unmarshal([]byte(last), &end); err != nil || end.Pages == 0 {
		b.Fatalf("the copy ends with %.200s: %v", last, err)
	}
	return took, end.Pages
}
