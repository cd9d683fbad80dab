package phone

import (
	"encoding/json"
	"slices"
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

// Every kind has a form, the form of no other.
func TestEveryKindHasAForm(t *testing.T) {
	at := web.Place{Room: uuid.Must(uuid.NewV7()).String()}
	room, err := id.Parse[id.Room](at.Room)
	if err != nil {
		t.Fatal(err)
	}
	for k, of := range deed.Kinds {
		if _, then := visits.Posts[k]; of.FromPhones() != then || of.FromPhones() != (postedTo[k] != nil) {
			t.Errorf("%s: has a form %v, a page after it %v, an address %v", k, of.FromPhones(), then, postedTo[k] != nil)
			continue
		}
		if !of.FromPhones() {
			continue
		}
		for other, f := range deed.Kinds {
			if _, is := f.One(room, postedTo[k](at, "first-fix")); is != (other == k) {
				t.Errorf("the address of %s is that of %s: %v", k, other, is)
			}
		}
	}
}

// postedTo are the addresses that the pages' forms post to.
var postedTo = map[deed.Kind]func(web.Place, string) string{
	deed.KindMeasure: here(web.Place.Measure), deed.KindCorrect: web.Place.Reading,
	deed.KindStrike:   web.Place.StrikeReading,
	deed.KindSeeTails: here(web.Place.Tails), deed.KindPutOn: here(web.Place.AsBuilt),
	deed.KindFinish: here(web.Place.Finished), deed.KindOpen: web.Place.Outcome, deed.KindOwe: here(web.Place.Patches),
	deed.KindFill: web.Place.PatchFilled, deed.KindDry: web.Place.PatchDry, deed.KindSnag: here(web.Place.Snags),
	deed.KindSnagDone: web.Place.SnagDone, deed.KindOffer: web.Place.Offer,
}

func here(at func(web.Place) string) func(web.Place, string) string {
	return func(p web.Place, _ string) string { return at(p) }
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
				`","at":"` + postedTo[k](at, "01890a5d-ac96-774b-bcce-b302099a8058") + `?x=1","copy":7,"form":` + form + `}`))
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
