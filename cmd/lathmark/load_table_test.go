package main

import (
	"fmt"
	"io"
	"testing"
	"text/tabwriter"
	"time"
)

// table is what the benchmark found.
type table struct {
	rows  []measurement
	notes []string
}

// measurement is one line of it: a way of asking, beside its limit where it has
// one, and what share of that is asked for; 0: none.
type measurement struct {
	*way
	limit *way
	asked float64
}

func (t *table) add(b *testing.B, w, limit *way, asked float64) {
	m := measurement{w, limit, asked}
	t.rows = append(t.rows, m)
	b.ReportMetric(w.rate(), w.unit("per-s"))
	if limit != nil {
		b.ReportMetric(m.share(), w.unit("share"))
	}
}

func (t *table) say(format string, args ...any) {
	t.notes = append(t.notes, fmt.Sprintf(format, args...))
}

func (m measurement) share() float64 { return m.rate() / m.limit.rate() }

// print prints the table, and under it what does not fit into one.
func (t *table) print(w io.Writer) {
	columns := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(columns, "\ta second\tp50, ms\tp99, ms\tp99/p50\tunder 10\tbytes\tlimit, a "+
		"second\tshare\tasked\treached\t")
	for _, m := range t.rows {
		p50, p99 := m.within(0.50), m.within(0.99)
		uneven := float64(p99) / float64(p50)
		fmt.Fprintf(columns, "%s\t%.0f\t%.1f\t%.1f\t%.1f\t%s\t%d\t", m.name, m.rate(), ms(p50), ms(p99), uneven,
			yes(uneven < evenness), m.bytes)
		switch {
		case m.limit == nil:
			fmt.Fprint(columns, "\t\t\t\n")
		case m.asked == 0:
			fmt.Fprintf(columns, "%.3f\t\t\t\n", m.share())
		default:
			fmt.Fprintf(columns, "%.3f\t%.2f\t%s\t\n", m.share(), m.asked, yes(m.share() >= m.asked))
		}
	}
	columns.Flush()
	for _, n := range t.notes {
		fmt.Fprintln(w, n)
	}
}

func ms(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }

func yes(so bool) string {
	if so {
		return "yes"
	}
	return "no"
}
