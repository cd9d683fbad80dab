package roomsheet

import (
	"bytes"
	"encoding/json"
	"io"
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
	p.text("{\n  \"format\": ")
	p.value(r.Format)
	p.text(",\n  \"room\": ")
	p.value(r.Room)
	p.text(",\n  \"surfaces\": [")
	for i := range r.Surfaces {
		if i > 0 {
			p.text(", ")
		}
		p.surface(&r.Surfaces[i])
	}
	p.text("]\n}\n")
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

func (p *printer) text(s string) { p.buf.WriteString(s) }

// value writes v on one line.
func (p *printer) value(v any) {
	e := json.NewEncoder(&p.buf)
	e.SetEscapeHTML(false) // names are for people, not for a web page
	if err := e.Encode(v); err != nil && p.err == nil {
		p.err = err
	}
	p.buf.Truncate(len(bytes.TrimRight(p.buf.Bytes(), "\n")))
}

func (p *printer) surface(s *Surface) {
	p.text("{\n    \"id\": ")
	p.value(s.ID)
	p.text(", \"kind\": ")
	p.value(s.Kind)
	records(p, "layers", s.Layers)
	if s.Now != "" {
		p.text(",\n    \"now\": ")
		p.value(s.Now)
	}
	records(p, "datums", s.Datums)
	records(p, "timbers", s.Timbers)
	records(p, "positions", s.Positions)
	records(p, "measurements", s.Measurements)
	p.text("\n  }")
}

// records writes a list, one record a line; an empty one is left out.
func records[T any](p *printer, name string, list []T) {
	for i := range list {
		if i == 0 {
			p.text(",\n    \"" + name + "\": [")
		} else {
			p.text(",")
		}
		p.text("\n      ")
		p.value(list[i])
	}
	if len(list) > 0 {
		p.text("\n    ]")
	}
}
