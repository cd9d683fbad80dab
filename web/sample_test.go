package web

import (
	"bytes"
	"io"
	"reflect"
	"testing"
)

// sample is one canned page.
type sample struct {
	page string // the template
	name string // the page's name and, after a dot, what is special about this sample
	view reflect.Type
	draw func(io.Writer) error
}

func canned[V any](p Page[V], special string, v V) sample {
	name := p.Name()
	if special != "" {
		name += "." + special
	}
	return sample{p.Name(), name, reflect.TypeFor[V](), func(w io.Writer) error { return Render(w, p, v) }}
}

func (s sample) html(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := s.draw(&b); err != nil {
		t.Fatalf("%s: %v", s.name, err)
	}
	return b.Bytes()
}

// samples returns all canned pages; every page has at least one.
func samples() []sample {
	var all []sample
	for _, some := range [][]sample{jobSamples(), roomSamples(), formSamples(), measureSamples(), gateSamples(),
		secondSamples(), tradeSamples(), entrySamples(), photoSamples(), peopleSamples(), endSamples(), programmeSamples(),
		saidSamples()} {
		all = append(all, some...)
	}
	return all
}
