package sequence

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"
	"unicode/utf8"

	"lathmark/domain/fault"
)

// Formats of the documents that this package reads and writes.
const (
	Format       = "lathmark-programme/1"
	AnswerFormat = "lathmark-programme-answer/1"
)

const mostBytes = 16 << 20 // of a document

// Read reads one project in Format and checks it. What comes back has passed Check, or
// the error is a fault of kind BadInput that names what is wrong by its path, or, if
// the source itself failed, the source's. Read takes any bytes without panicking.
func Read(src io.Reader) (*Project, error) {
	data, err := io.ReadAll(io.LimitReader(src, mostBytes+1))
	if err != nil {
		return nil, fmt.Errorf("read the programme: %w", err)
	}
	r := newReader(bytes.TrimPrefix(data, []byte("\uFEFF")))
	switch {
	case len(data) > mostBytes:
		r.stop("$", "the document is over 16 MiB", "Plan fewer together")
	case !utf8.Valid(data):
		r.stop("$", "the document is not UTF-8 text", "Save it as UTF-8")
	}
	p := r.project()
	if r.wrong != nil {
		return nil, fault.Fields{*r.wrong}.Err(cannot)
	}
	if err := Check(p); err != nil {
		return nil, err
	}
	return p, nil
}

// project reads the whole document.
func (r *reader) project() *Project {
	p := &Project{}
	r.object("$", fields{
		{"format", true, func(at string) {
			if f := r.text(at); f != Format {
				r.stop(at, "the format is "+quoted(f), "Give "+Format)
			}
		}},
		{"crews", true, func(at string) {
			r.list(at, func(at string) { p.Crews = append(p.Crews, r.crew(at)) })
		}},
		{"work", true, func(at string) {
			r.list(at, func(at string) { p.Work = append(p.Work, r.work(at)) })
		}},
		{"schedules", false, func(at string) { p.Schedules = r.whole(at) }},
		{"seed", false, func(at string) { p.Seed = r.seed(at) }},
	})
	r.end()
	return p
}

func (r *reader) crew(at string) (c Crew) {
	r.object(at, fields{
		{"id", true, func(at string) { c.ID = r.text(at) }},
		{"size", true, func(at string) { c.Size = r.whole(at) }},
	})
	return c
}

func (r *reader) work(at string) (w Work) {
	r.object(at, fields{
		{"id", true, func(at string) { w.ID = r.text(at) }},
		{"days", true, func(at string) { w.Days = r.whole(at) }},
		{"needs", false, func(at string) {
			r.names(at, func(name, at string) { w.Needs = append(w.Needs, Need{name, r.whole(at)}) })
		}},
		{"after", false, func(at string) {
			r.list(at, func(at string) { w.After = append(w.After, r.after(at)) })
		}},
	})
	return w
}

func (r *reader) after(at string) (a After) {
	r.object(at, fields{
		{"id", true, func(at string) { a.Work = r.text(at) }},
		{"lag", false, func(at string) { a.Lag = r.whole(at) }},
	})
	return a
}

// whole reads a whole number, which 8.0 is, too.
func (r *reader) whole(at string) int {
	text, ok := r.number(at)
	if n, err := strconv.ParseInt(text, 10, 64); err == nil {
		return int(n)
	}
	x, _ := strconv.ParseFloat(text, 64)
	if ok && (x != math.Trunc(x) || math.Abs(x) > 1<<53) {
		r.stop(at, text[:min(len(text), fewNames)]+" is not a whole number that can be counted", "Give a whole number")
	}
	return int(x)
}

// seed reads any whole number from 0 that has 64 bits.
func (r *reader) seed(at string) uint64 {
	text, ok := r.number(at)
	n, err := strconv.ParseUint(text, 10, 64)
	if ok && err != nil {
		r.stop(at, "the seed is "+text[:min(len(text), fewNames)], "Give a whole number from 0 to 18446744073709551615")
	}
	return n
}
