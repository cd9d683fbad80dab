package phone

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/server/page/visits"
	"lathmark/web"

	"github.com/google/uuid"
)

// Every kind that phones send has a form, the form of no other.
func TestEveryKindHasAForm(t *testing.T) {
	at := web.Place{Room: uuid.Must(uuid.NewV7()).String()}
	room, err := id.Parse[id.Room](at.Room)
	if err != nil {
		t.Fatal(err)
	}
	for k, of := range deed.Kinds {
		if _, then := visits.Posts[k]; of.FromPhones() != then {
			t.Errorf("%s: has a form %v, a page after it %v", k, of.FromPhones(), then)
		}
		if !of.FromPhones() {
			continue
		}
		for other, f := range deed.Kinds {
			one, is := f.One(room, at.Deed(k, "first-fix"))
			if is != (other == k) || is && (one == "first-fix") != strings.Contains(of.At, ":") {
				t.Errorf("the address of %s, about %q, is that of %s: %v", k, one, other, is)
			}
		}
	}
}

// Whatever comes, an act is read or refused in words; and what can be read is
// read the same way again.
func FuzzActs(f *testing.F) {
	at := web.Place{Room: "01890a5d-ac96-774b-bcce-b302099a8057"}
	for k, of := range deed.Kinds {
		if !of.FromPhones() {
			continue
		}
		for _, form := range []string{`{}`, `null`,
			`{"kind":["offset"],"value":["600"],"position":["01890a5d-ac96-774b-bcce-b302099a8058"],"datum":["01890a5d-ac96-774b-bcce-b302099a8059|-"]}`,
			`{"seen":["x","01890a5d-ac96-774b-bcce-b302099a8058"],"date":["2026-11-25"],"what":["a"],"reason":["b"],"opening":["c"],"span":["-1"],"t.x":["9"]}`} {
			f.Add([]byte(`{"id":"01890a5d-ac96-774b-bcce-b302099a8050","made":"2026-11-25T09:30:00Z","kind":"` + string(k) +
				`","room":"` + at.Room +
				`","at":"` + at.Deed(k, "01890a5d-ac96-774b-bcce-b302099a8058") + `?x=1","copy":7,"form":` + form + `}`))
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
			s.Wrong = nil
			s.Standing = &standing.Standing{Record: &room.Record{}}
			d, err := of.Read(s)
			if err != nil {
				return "", err
			}
			if deed.Kinds[deed.KindOf(d)] == nil {
				t.Fatalf("%T is of no kind", d)
			}
			out, err := deed.Encode(d)
			if err != nil {
				t.Fatalf("%s cannot be kept: %v", text, err)
			}
			return string(out), s.Err()
		}
		one, err := read()
		if err != nil && fault.KindOf(err) == "" {
			t.Fatalf("%s: %v is no fault", text, err)
		}
		wrong := slices.Clone(s.Wrong)
		two, _ := read()
		if one != two || !slices.Equal(wrong, s.Wrong) {
			t.Fatalf("%s: read as %s, then as %s", text, one, two)
		}
		_ = after(of.Kind, at, s)
	})
}
