package roomsheet

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"strings"
)

// Write writes the room as a canonical room sheet: fields in the contract's
// order, one record a line, what is left out left out, UTF-8, a newline at the
// end. Reading it returns an equal room. A room that breaks a rule of Check is
// not written; the error is then Check's, else the writer's.
func (r *Room) Write(w io.Writer) error {
	if err := Check(r); err != nil {
		return err
	}
	var p printer
	p.print("{\n  \"format\": %v,\n  \"room\": %v", r.Format, r.Room)
	if r.Use != "" {
		p.print(",\n  \"use\": %v", r.Use)
	}
	p.print(",\n  \"surfaces\": [")
	for i := range r.Surfaces {
		if i > 0 {
			p.print(", ")
		}
		p.surface(&r.Surfaces[i])
	}
	p.print("]\n}\n")
	if p.err != nil {
		return p.err
	}
	_, err := w.Write(p.buf.Bytes())
	return err
}

// printer builds the document and keeps the first error.
type printer struct {
	buf bytes.Buffer
	err error
}

// print writes a format with values, which are written as JSON on one line.
func (p *printer) print(format string, values ...any) {
	for i, v := range values {
		var line strings.Builder
		e := json.NewEncoder(&line)
		e.SetEscapeHTML(false) // names are for people, not for a web page
		p.err = cmp.Or(p.err, e.Encode(v))
		values[i] = strings.TrimSuffix(line.String(), "\n")
	}
	fmt.Fprintf(&p.buf, format, values...)
}

func (p *printer) surface(s *Surface) {
	p.print("{\n    \"id\": %v, \"kind\": %v", s.ID, s.Kind)
	records(p, "layers", s.Layers)
	if s.Wall != 0 {
		p.print(", \"wall\": %v", s.Wall)
	}
	if s.Now != "" {
		p.print(",\n    \"now\": %v", s.Now)
	}
	records(p, "datums", s.Datums)
	records(p, "timbers", s.Timbers)
	records(p, "positions", s.Positions)
	records(p, "measurements", s.Measurements)
	p.print("\n  }")
}

// records writes a list, one record a line; an empty one is left out.
func records[T any](p *printer, name string, list []T) {
	before, after := ",\n    \""+name+"\": [", ""
	for i := range list {
		p.buf.WriteString(before)
		p.print("\n      %v", list[i])
		before, after = ",", "\n    ]"
	}
	p.buf.WriteString(after)
}
