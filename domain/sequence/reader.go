package sequence

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"lathmark/domain/fault"
)

// reader reads a document value by value and stops at the first thing that is wrong:
// after that all its methods return nothing.
type reader struct {
	data  []byte
	dec   *json.Decoder
	wrong *fault.Field
}

// fields are what an object may have; must: it may not be left out.
type fields []struct {
	name string
	must bool
	read func(at string)
}

func newReader(data []byte) *reader {
	r := &reader{data: data, dec: json.NewDecoder(bytes.NewReader(data))}
	r.dec.UseNumber()
	return r
}

func (r *reader) stop(at, wrong, mend string) {
	if r.wrong == nil {
		r.wrong = &fault.Field{Path: at, Wrong: wrong, Mend: mend}
	}
}

// token reads on; nil where that is null, or where nothing more can be read.
func (r *reader) token(at string) json.Token {
	if r.wrong != nil {
		return nil
	}
	t, err := r.dec.Token()
	switch {
	case err == nil:
	case err == io.EOF, errors.Is(err, io.ErrUnexpectedEOF):
		r.stop(at, "the document ends too soon", "A bracket or a quote is still open; was the whole file copied")
	default:
		before := r.data[:min(int(r.dec.InputOffset()), len(r.data))]
		r.stop(at, fmt.Sprintf("this is not JSON at line %d: %v", bytes.Count(before, []byte("\n"))+1, err),
			"Look for a comma, a quote or a bracket too many or too few just before that place")
	}
	return t
}

// is reports whether a token is of a kind, and stops if it is not.
func (r *reader) is(ok bool, t json.Token, at, kind string) bool {
	if r.wrong != nil || ok {
		return ok && r.wrong == nil
	}
	found := "null"
	switch t := t.(type) {
	case json.Delim:
		found = map[json.Delim]string{'{': "an object", '[': "a list"}[t]
	case string:
		found = "a text"
	case json.Number:
		found = "a number"
	case bool:
		found = "true or false"
	}
	r.stop(at, "this is "+found+", not "+kind, "Give "+kind)
	return false
}

func (r *reader) text(at string) string {
	t := r.token(at)
	s, ok := t.(string)
	r.is(ok, t, at, "a text")
	return s
}

// number returns a number as it is written.
func (r *reader) number(at string) (string, bool) {
	t := r.token(at)
	n, ok := t.(json.Number)
	return n.String(), r.is(ok, t, at, "a whole number")
}

// list reads a list, one value a call.
func (r *reader) list(at string, read func(at string)) {
	t := r.token(at)
	if !r.is(t == json.Delim('['), t, at, "a list") {
		return
	}
	for i := 0; r.wrong == nil && r.dec.More(); i++ {
		read(fmt.Sprintf("%s[%d]", at, i))
	}
	r.token(at)
}

// names reads an object whose names are ids.
func (r *reader) names(at string, read func(name, at string)) {
	t := r.token(at)
	if !r.is(t == json.Delim('{'), t, at, "an object") {
		return
	}
	seen := map[string]bool{}
	for r.wrong == nil && r.dec.More() {
		name, _ := r.token(at).(string) // the decoder takes nothing else for a name
		if seen[name] {
			r.stop(at+step(name), quoted(name)+" is there twice", "Keep the one that is right")
		}
		seen[name] = true
		read(name, at+step(name))
	}
	r.token(at)
}

// object reads an object with known fields.
func (r *reader) object(at string, known fields) {
	seen := map[string]bool{}
	r.names(at, func(name, at string) {
		for _, f := range known {
			if f.name == name {
				seen[name] = true
				f.read(at)
				return
			}
		}
		var all []string
		for _, f := range known {
			all = append(all, f.name)
		}
		r.stop(at, "there is no field "+quoted(name)+" here", "Take it out; the fields here are "+strings.Join(all, ", "))
	})
	for _, f := range known {
		if f.must && !seen[f.name] {
			r.stop(at+"."+f.name, "there is no "+f.name, "Give it")
		}
	}
}

// end stops where something follows the document.
func (r *reader) end() {
	if r.wrong != nil {
		return
	}
	if _, err := r.dec.Token(); err != io.EOF {
		r.stop("$", "there is something after the end of the programme", "Take it out; one document is one programme")
	}
}
