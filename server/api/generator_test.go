package api_test

import (
	"bytes"
	"encoding/json"
	"maps"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"
)

// schema is what the document says of a value.
type schema struct {
	Ref                  string `json:"$ref"`
	Type                 any
	Format               string
	Enum                 []any
	Properties           map[string]schema
	Required             []string
	Items                *schema
	Minimum, Maximum     *float64
	MinLength, MaxLength *int
	MinItems, MaxItems   *int
	ExclusiveMinimum     *float64
}

// takes is what an operation takes.
type takes struct {
	Parameters []struct {
		Name, In string
		Required bool
		Schema   schema
	}
	RequestBody *struct {
		Content map[string]struct{ Schema schema }
	}
}

// generator makes requests of what the document says.
type generator struct {
	*rand.Rand
	ids
	operations map[string]takes // by method and address
	schemas    map[string]schema
}

func newGenerator(t *testing.T, chance *rand.Rand) *generator {
	t.Helper()
	var d struct {
		Paths      map[string]map[string]takes
		Components struct{ Schemas map[string]schema }
	}
	if err := json.Unmarshal(text(), &d); err != nil {
		t.Fatal(err)
	}
	g := &generator{Rand: chance, operations: map[string]takes{}, schemas: d.Components.Schemas}
	for path, methods := range d.Paths {
		for method, op := range methods {
			g.operations[strings.ToUpper(method)+" "+strings.TrimPrefix(path, "/api/v1")] = op
		}
	}
	return g
}

// shuffled are the operations in any order.
func (g *generator) shuffled() []string {
	all := slices.Sorted(maps.Keys(g.operations))
	g.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	return all
}

// one reports true once in n times.
func (g *generator) one(n int) bool { return g.IntN(n) == 0 }

// strange are values that few fields take.
var strange = []any{nil, "\x00", "a\x00b", "", "  ", -1.0, 0.5, 1e300, -1e300, 1e9, 9.3e18, true, []any{}, m{}, "a",
	strings.Repeat("é", 500), "\u202e", "2026-02-30", "0001-01-01T00:00:00Z", "9999-12-31T23:59:59Z", new7()}

// request is one to an operation: as it is described, or spoilt in one place.
func (g *generator) request(at string) *http.Request {
	method, path, _ := strings.Cut(at, " ")
	op, query, known := g.operations[at], url.Values{}, ids{}
	header := http.Header{"If-Match": {`"1"`}}
	for _, p := range op.Parameters {
		switch p.In {
		case "path":
			known[p.Name] = url.PathEscape(g.known(p.Name))
		case "query":
			if p.Required || g.one(2) {
				query.Set(p.Name, g.word(p.Schema))
			}
		case "header":
			header.Set(p.Name, []string{`"1"`, `"1"`, `"2"`, `"3"`, "*", "", "W/\"1\"", `"-1"`}[g.IntN(8)])
		}
	}
	address := known.fill(path)
	if len(query) > 0 {
		address += "?" + query.Encode()
	}
	r := httptest.NewRequest(method, "/api/v1"+address, http.NoBody)
	if op.RequestBody != nil {
		body := g.body(op.RequestBody.Content["application/json"].Schema)
		r = httptest.NewRequest(method, "/api/v1"+address, bytes.NewReader(body))
		header.Set("Content-Type", "application/json")
	}
	r.Header = header
	return r
}

// known is an id that the firm has by that name, seldom another.
func (g *generator) known(name string) string {
	switch {
	case g.one(20):
		return []string{"x", "00000000-0000-0000-0000-000000000000", "a\x00b", "é"}[g.IntN(4)]
	case g.one(20) || g.ids[name] == "":
		return new7()
	}
	return g.ids[name]
}

// word is a value of a query.
func (g *generator) word(s schema) string {
	v := g.value("", s)
	if g.one(4) {
		v = strange[g.IntN(len(strange))]
	}
	if text, is := v.(string); is {
		return text
	}
	text, _ := json.Marshal(v) // made of what JSON has
	return string(text)
}

// body is one, spoilt as often as not.
func (g *generator) body(s schema) []byte {
	v := g.value("", s)
	if g.one(2) {
		v = g.spoilt(v)
	}
	text, _ := json.Marshal(v) // made of what JSON has
	if g.one(30) {
		text = text[:len(text)/2]
	}
	return text
}

// value is one as the schema of a property of that name says.
func (g *generator) value(name string, s schema) any {
	for s.Ref != "" {
		s = g.schemas[strings.TrimPrefix(s.Ref, "#/components/schemas/")]
	}
	if len(s.Enum) > 0 {
		return s.Enum[g.IntN(len(s.Enum))]
	}
	switch s.Type {
	case "object":
		out := m{}
		for _, of := range slices.Sorted(maps.Keys(s.Properties)) {
			if slices.Contains(s.Required, of) || g.one(2) {
				out[of] = g.value(of, s.Properties[of])
			}
		}
		return out
	case "array":
		out := []any{}
		for range min(or(s.MinItems, 0)+g.IntN(3), or(s.MaxItems, 100)) {
			out = append(out, g.value(strings.TrimSuffix(name, "s"), *s.Items))
		}
		return out
	case "boolean":
		return g.one(2)
	case "integer", "number":
		if g.one(6) {
			return or(s.Maximum, 1e5)
		}
		low := or(s.Minimum, or(s.ExclusiveMinimum, -100)+1)
		return float64(int(low + g.Float64()*(min(or(s.Maximum, low+3000), low+3000)-low)))
	}
	return g.text(name, s)
}

// text is one of a format, or short and plain.
func (g *generator) text(name string, s schema) string {
	day := time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC).AddDate(0, 0, g.IntN(6)-3)
	switch s.Format {
	case "uuid":
		names := map[string]string{"of": "position", "to_position": "position", "from": "datum", "to": "datum",
			"span_to": "datum"}
		if of := names[name]; of != "" {
			name = of
		}
		return g.known(name)
	case "date":
		return day.Format(time.DateOnly)
	case "date-time":
		return day.Format(time.RFC3339)
	}
	words := []string{"D1", "Bathroom", "south wall", "bare", "board", "skim", "downlight", "moved", "é", "hole"}
	text := words[g.IntN(len(words))]
	if g.one(6) {
		text = strings.Repeat("D", or(s.MaxLength, 9))
	}
	return text[:min(len(text), or(s.MaxLength, len(text)))]
}

// spoilt is a value with one thing in it changed: left out, added, or strange.
func (g *generator) spoilt(v any) any {
	switch v := v.(type) {
	case m:
		if len(v) == 0 || g.one(8) {
			v["more"] = 1
			return v
		}
		name := slices.Sorted(maps.Keys(v))[g.IntN(len(v))]
		if v[name] = g.spoilt(v[name]); g.one(8) {
			delete(v, name)
		}
		return v
	case []any:
		if len(v) > 0 && !g.one(4) {
			v[g.IntN(len(v))] = g.spoilt(v[0])
			return v
		}
	}
	return strange[g.IntN(len(strange))]
}

// or is what a pointer points to, or else what is given.
func or[T any](p *T, none T) T {
	if p == nil {
		return none
	}
	return *p
}
