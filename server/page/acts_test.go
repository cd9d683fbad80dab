package page

import (
	"encoding/json"
	"slices"
	"testing"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/visit"
	"lathmark/web"

	"github.com/google/uuid"
)

// Every kind has a form, the form of no other.
func TestEveryKindHasAForm(t *testing.T) {
	at := web.Place{Room: uuid.Must(uuid.NewV7()).String()}
	for _, k := range visit.Kinds {
		of, ok := actForms[k]
		if !ok {
			t.Errorf("%s has no form", k)
			continue
		}
		for other, f := range actForms {
			if _, is := oneIn(f.at(at, ":one"), of.at(at, "first-fix")); is != (other == k) &&
				!(k == visit.KindMeasure && other == k) {
				t.Errorf("the address of %s is that of %s", k, other)
			}
		}
	}
	if len(actForms) != len(visit.Kinds) {
		t.Errorf("%d forms for %d kinds", len(actForms), len(visit.Kinds))
	}
}

// Whatever comes, an act is read or refused in words; and what can be read is
// read the same way again.
func FuzzActs(f *testing.F) {
	at := web.Place{Room: "01890a5d-ac96-774b-bcce-b302099a8057"}
	for _, k := range visit.Kinds {
		for _, form := range []string{`{}`, `null`,
			`{"kind":["offset"],"value":["600"],"position":["01890a5d-ac96-774b-bcce-b302099a8058"],"datum":["01890a5d-ac96-774b-bcce-b302099a8059|-"]}`,
			`{"seen":["x","01890a5d-ac96-774b-bcce-b302099a8058"],"date":["2026-11-25"],"what":["a"],"reason":["b"],"opening":["c"],"span":["-1"],"t.x":["9"]}`} {
			f.Add([]byte(`{"id":"01890a5d-ac96-774b-bcce-b302099a8050","made":"2026-11-25T09:30:00Z","kind":"` + string(k) +
				`","room":"` + at.Room +
				`","at":"` + actForms[k].at(at, "01890a5d-ac96-774b-bcce-b302099a8058") + `?x=1","copy":7,"form":` + form + `}`))
		}
	}
	for _, text := range []string{``, `7`, `[]`, `{"id":`, `{"at":"::"}`, `{"form":{"a":"b"}}`, `{"copy":-1e99}`,
		`{"made":"yesterday"}`} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		if !json.Valid(text) {
			return // such a batch is not read at all
		}
		a, s, of, err := headOf(text)
		if err != nil {
			if fault.KindOf(err) == "" {
				t.Fatalf("%s: %v is no fault", text, err)
			}
			return
		}
		if a.ID == (id.Act{}) || a.Room == (id.Room{}) || a.Made.IsZero() && a.Made.Year() != 1 {
			t.Fatalf("%s: %+v", text, a)
		}
		read := func() (string, error) {
			s.form.wrong = nil
			s.j = &standing.Standing{Record: &room.Record{}}
			d, err := of.read(s)
			if err != nil {
				return "", err
			}
			if visit.KindOf(d) == "" {
				t.Fatalf("%T is of no kind", d)
			}
			out, err := json.Marshal(d)
			if err != nil {
				t.Fatalf("%s cannot be kept: %v", text, err)
			}
			return string(out), s.err()
		}
		one, err := read()
		if err != nil && fault.KindOf(err) == "" {
			t.Fatalf("%s: %v is no fault", text, err)
		}
		wrong := slices.Clone(s.form.wrong)
		two, _ := read()
		if one != two || !slices.Equal(wrong, s.form.wrong) {
			t.Fatalf("%s: read as %s, then as %s", text, one, two)
		}
		_ = of.on(s)
	})
}
