package typed_test

import (
	"testing"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/typed"
	"lathmark/domain/words"
)

func TestNumber(t *testing.T) {
	for text, want := range map[string]float64{
		"1200": 1200, " 12.5 ": 12.5, "12,5": 12.5, "1200 mm": 1200, "-3": -3, "+4": 4, "0,75": 0.75, "1200mm": 1200,
	} {
		if got, ok := typed.Number(text); !ok || got != want {
			t.Errorf("Number(%q) = %g, %v; want %g", text, got, ok, want)
		}
	}
	for _, text := range []string{"1,200", "1.200,5", "twelve", "NaN", "Inf", "1e3", "0x10", "1_000", "", "-", "12 13",
		"1,2,3", "²"} {
		if got, ok := typed.Number(text); ok {
			t.Errorf("Number(%q) = %g, want none", text, got)
		}
	}
}

// form is a form of pairs, name and value, and what was wrong with it.
func form(pairs ...string) (typed.Form, *[]fault.Field) {
	wrong := &[]fault.Field{}
	return typed.Form{
		Get: func(name string) string {
			for i := 0; i < len(pairs); i += 2 {
				if pairs[i] == name {
					return pairs[i+1]
				}
			}
			return ""
		},
		Bad: func(name, what, mend string) {
			*wrong = append(*wrong, fault.Field{Path: name, Wrong: what, Mend: mend})
		},
	}, wrong
}

// A form means the reading that a person would take it to mean.
func TestReading(t *testing.T) {
	d, e, p, q := id.New[id.Datum](), id.New[id.Datum](), id.New[id.Position](), id.New[id.Position]()
	for name, c := range map[string]struct {
		typed []string
		want  room.Reading
	}{
		"an offset": {[]string{"kind", "offset", "position", p.String(), "datum", d.String() + "|bare", "value", "628 mm",
			"by", "tape"},
			room.Reading{Kind: words.Offset, Of: p, From: d, State: "bare", Value: 628, By: "tape"}},
		"from a steel, on its right": {[]string{"kind", "offset", "position", p.String(), "datum", d.String() + "|-", "value",
			"872"},
			room.Reading{Kind: words.Offset, Of: p, From: d, Value: -872}},
		"on a slope": {[]string{"kind", "offset", "position", p.String(), "datum", d.String() + "|board", "value", "12,5",
			"surface_state", "skim"},
			room.Reading{Kind: words.Offset, Of: p, From: d, State: "board", Value: 12.5, SurfaceState: "skim"}},
		"a span": {[]string{"kind", "span", "position", p.String(), "datum", d.String() + "|bare", "to",
			e.String() + "|board", "value", "2371"},
			room.Reading{Kind: words.Span, From: d, State: "bare", To: e, ToState: "board", Value: 2371}},
		"a distance": {[]string{"kind", "distance", "position", p.String(), "datum", d.String() + "|bare", "to_position",
			q.String(), "value", "905"},
			room.Reading{Kind: words.Distance, Of: p, ToPosition: q, Value: 905}},
	} {
		f, wrong := form(c.typed...)
		if got := f.NewReading(); got != c.want || len(*wrong) > 0 {
			t.Errorf("%s: %+v, want %+v; %v", name, got, c.want, *wrong)
		}
	}
}

// What is missing is named by the field it is missing in, all at once.
func TestNewReadingSaysWhatIsMissing(t *testing.T) {
	f, wrong := form("kind", "offset", "value", "six hundred", "datum", "nowhere|bare")
	f.NewReading()
	var fields []string
	for _, w := range *wrong {
		fields = append(fields, w.Path)
	}
	if len(fields) != 3 || fields[0] != "value" || fields[1] != "datum" || fields[2] != "position" {
		t.Errorf("wrong: %v", *wrong)
	}
}

// What the form does not ask stays as it was.
func TestAmended(t *testing.T) {
	old := &room.Measurement{ID: id.New[id.Measurement](), Kind: words.Offset, Of: id.New[id.Position](),
		From: id.New[id.Datum](), State: "bare", Value: 628, Sigma: 5}
	f, _ := form("kind", "span", "datum", old.From.String()+"|board", "value", "630", "by", "laser")
	want := room.Reading{ID: old.ID, Kind: words.Offset, Of: old.Of, From: old.From, State: "board", Value: 630, Sigma: 5,
		By: "laser"}
	if got := f.Amended(old); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
}
