package roomsheet

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"lathmark/domain/fault"
)

// Limits of a document, so that reading one costs no more than it is worth.
const (
	mostBytes  = 16 << 20 // of the document
	mostDepth  = 16       // of nested lists and objects; a sheet needs 8
	mostValues = 500_000  // of lists, objects, texts and numbers together
)

// The kinds of value, as a sentence names them.
const (
	object  = "an object"
	array   = "a list"
	text    = "a text"
	number  = "a number"
	boolean = "true or false"
	null    = "null"
)

// node is one value of a document as it stands, before anything is asked of it.
type node struct {
	kind  string
	text  string   // of a text or a number
	items []node   // of a list or an object, in their order
	names []string // of an object's items; duplicates are kept
}

// parser turns bytes into a tree and knows where it is.
type parser struct {
	data   []byte
	dec    *json.Decoder
	path   []string // segments from the root to here
	values int
}

// parse reads one document. The fault it returns is the one that stopped it:
// nothing certain can be said about what follows bad JSON.
func parse(data []byte) (*node, *fault.Field) {
	data = bytes.TrimPrefix(data, []byte("\uFEFF"))
	if !utf8.Valid(data) {
		return nil, &fault.Field{Path: "$", Wrong: "the document is not UTF-8 text", Mend: "Save it as UTF-8"}
	}
	p := &parser{data: data, dec: json.NewDecoder(bytes.NewReader(data))}
	p.dec.UseNumber()
	root, bad := p.value()
	if bad != nil {
		return nil, bad
	}
	if _, err := p.dec.Token(); err != io.EOF {
		return nil, p.stop("there is something after the end of the room", "Take it out; one document is one room")
	}
	return &root, nil
}

// value reads the next value, whatever it is.
func (p *parser) value() (node, *fault.Field) {
	tok, bad := p.token()
	if bad != nil {
		return node{}, bad
	}
	if p.values++; p.values > mostValues {
		return node{}, p.stop(fmt.Sprintf("the document holds more than %d values", mostValues),
			"Split it into several rooms")
	}
	switch t := tok.(type) {
	case json.Delim:
		if len(p.path) >= mostDepth {
			return node{}, p.stop("lists and objects lie too deep in one another", "Take out what is not part of a room sheet")
		}
		if t == '{' {
			return p.items(object)
		}
		return p.items(array)
	case string:
		return node{kind: text, text: t}, nil
	case json.Number:
		return node{kind: number, text: t.String()}, nil
	case bool:
		return node{kind: boolean}, nil
	}
	return node{kind: null}, nil
}

// items reads the rest of a list or an object.
func (p *parser) items(kind string) (node, *fault.Field) {
	n := node{kind: kind}
	for p.dec.More() {
		step := item(len(n.items))
		if kind == object {
			tok, bad := p.token()
			if bad != nil {
				return n, bad
			}
			name := tok.(string) // the decoder takes nothing else for a name
			n.names, step = append(n.names, name), segment(name)
		}
		p.path = append(p.path, step)
		v, bad := p.value()
		if bad != nil {
			return n, bad
		}
		p.path = p.path[:len(p.path)-1]
		n.items = append(n.items, v)
	}
	_, bad := p.token()
	return n, bad
}

// token reads on and turns what stops the decoder into a fault.
func (p *parser) token() (json.Token, *fault.Field) {
	tok, err := p.dec.Token()
	switch {
	case err == nil:
		return tok, nil
	case len(bytes.TrimSpace(p.data)) == 0:
		return nil, p.stop("the document is empty", "Give a room sheet")
	case err == io.EOF, errors.Is(err, io.ErrUnexpectedEOF):
		return nil, p.stop("the document ends too soon", "A bracket or a quote is still open; was the whole file copied")
	}
	return nil, p.stop("this is not JSON at "+p.place()+": "+err.Error(),
		"Look for a comma, a quote or a bracket too many or too few just before that place")
}

// stop returns a fault at the place the parser has got to.
func (p *parser) stop(wrong, mend string) *fault.Field {
	return &fault.Field{Path: "$" + strings.Join(p.path, ""), Wrong: wrong, Mend: mend}
}

// place returns where the decoder stands, counted as an editor counts.
func (p *parser) place() string {
	before := p.data[:min(int(p.dec.InputOffset()), len(p.data))]
	line := bytes.Count(before, []byte("\n")) + 1
	column := utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:]) + 1
	return fmt.Sprintf("line %d, column %d", line, column)
}

// segment returns one step of a path into an object: dotted where the name
// allows it, else in brackets as in RFC 9535, and shortened if the name is
// long.
func segment(name string) string {
	plain := name != "" && len(name) <= longest
	for i, r := range name {
		plain = plain && (r == '_' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || i > 0 && r >= '0' && r <= '9')
	}
	if plain {
		return "." + name
	}
	q := quote(name)
	return "['" + strings.ReplaceAll(strings.ReplaceAll(q[1:len(q)-1], `\"`, `"`), "'", `\'`) + "']"
}

// item returns one step of a path into a list.
func item(i int) string { return "[" + strconv.Itoa(i) + "]" }
