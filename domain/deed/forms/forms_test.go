package forms_test

import (
	"errors"
	"fmt"
	"net/url"
	"strings"
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"

	"github.com/google/uuid"
)

// form is a form of pairs, name and value.
func form(pairs ...string) *deed.Form {
	f := &deed.Form{Values: url.Values{}, Token: uuid.Must(uuid.NewV7())}
	for i := 0; i < len(pairs); i += 2 {
		f.Set(pairs[i], pairs[i+1])
	}
	return f
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
		"on a slope": {[]string{"kind", "offset", "position", p.String(), "datum", d.String() + "|board", "value", "12.5",
			"surface_state", "skim"},
			room.Reading{Kind: words.Offset, Of: p, From: d, State: "board", Value: 12.5, SurfaceState: "skim"}},
		"a span": {[]string{"kind", "span", "position", p.String(), "datum", d.String() + "|bare", "to",
			e.String() + "|board", "value", "2371"},
			room.Reading{Kind: words.Span, From: d, State: "bare", To: e, ToState: "board", Value: 2371}},
		"a distance": {[]string{"kind", "distance", "position", p.String(), "datum", d.String() + "|bare", "to_position",
			q.String(), "value", "905"},
			room.Reading{Kind: words.Distance, Of: p, ToPosition: q, Value: 905}},
	} {
		f := form(c.typed...)
		if got := f.NewReading(); got != c.want || len(f.Wrong) > 0 {
			t.Errorf("%s: %+v, want %+v; %v", name, got, c.want, f.Wrong)
		}
	}
}

// What is missing is named by the field it is missing in, all at once.
func TestNewReadingSaysWhatIsMissing(t *testing.T) {
	f := form("kind", "offset", "value", "six hundred", "datum", "nowhere|bare")
	f.NewReading()
	var fields []string
	for _, w := range f.Wrong {
		fields = append(fields, w.Path)
	}
	if len(fields) != 3 || fields[0] != "value" || fields[1] != "datum" || fields[2] != "position" {
		t.Errorf("wrong: %v", f.Wrong)
	}
}

// All tails that nobody had seen are one box beside those of their own; a box that is ticked twice is one tail.
func TestTailsSeenTogether(t *testing.T) {
	a, b, c := id.New[id.Position](), id.New[id.Position](), id.New[id.Position]()
	f := form("seen", a.String()+" "+b.String()+" "+c.String())
	f.Add("seen", b.String())
	d, err := deed.Kinds[deed.KindSeeTails].Read(&deed.Sent{Form: f})
	if err != nil {
		t.Fatal(err)
	}
	got := map[id.Position]bool{}
	for _, of := range d.(deed.SeeTails).Positions {
		got[of] = true
	}
	if len(got) != 3 || !got[a] || !got[b] || !got[c] {
		t.Errorf("%v, want %v, %v and %v", got, a, b, c)
	}
}

// One thickness counts for the faces that the page asked for together, but for one with a figure of its own; it is told
// under the field that it was typed in.
func TestThicknessesThatAreTheSame(t *testing.T) {
	surface := id.New[id.Surface]()
	r := &room.Record{}
	for range 3 {
		r.Layers = append(r.Layers, room.Layer{ID: id.New[id.Layer](), Surface: surface, Datum: id.New[id.Datum](),
			Name: "board", Thickness: 25, Stage: words.Boarding})
	}
	layer := func(n int) string { return r.Layers[n].ID.String() }
	read := func(same, own, more string) (deed.PutOn, error) {
		d, err := deed.Kinds[deed.KindPutOn].Read(&deed.Sent{Standing: &standing.Standing{Record: r},
			Form: form(deed.SameField(0), same, deed.SameOn(0), layer(0)+" "+layer(1)+more,
				deed.ThicknessField(layer(1)), own)})
		put, _ := d.(deed.PutOn)
		return put, err
	}
	put, err := read("27", "31", "")
	if err != nil || len(put.List) != 2 || put.List[0].Thickness != 27 || put.List[1].Thickness != 31 ||
		put.List[0].Datum != r.Layers[0].Datum {
		t.Errorf("%+v, %v", put.List, err)
	}
	if put, err = read("", "31", ""); err != nil || len(put.List) != 1 {
		t.Errorf("nothing said of all: %+v, %v", put.List, err)
	}
	if _, err = read("-3", "", ""); err == nil || !strings.Contains(fmt.Sprintf("%+v", fields(err)), deed.SameField(0)) {
		t.Errorf("a thickness under 0: %v", err)
	}
	if _, err = read("27", "", " "+id.New[id.Layer]().String()); err == nil {
		t.Error("a layer that was planned anew meanwhile is lost")
	}
}

// fields are those that a fault names.
func fields(err error) []fault.Field {
	var bad *fault.Error
	if !errors.As(err, &bad) {
		return nil
	}
	return bad.Fields
}

// What the form does not ask stays as it was.
func TestAmended(t *testing.T) {
	old := &room.Measurement{ID: id.New[id.Measurement](), Kind: words.Offset, Of: id.New[id.Position](),
		From: id.New[id.Datum](), State: "bare", Value: 628, Sigma: 5}
	f := form("kind", "span", "datum", old.From.String()+"|board", "value", "630", "by", "laser")
	want := room.Reading{ID: old.ID, Kind: words.Offset, Of: old.Of, From: old.From, State: "board", Value: 630, Sigma: 5,
		By: "laser"}
	if got := f.Amended(old); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
}

// A length is typed as people type it, and what cannot be read is named with what it was
// read as; a minus is a side.
func TestReadingAsTyped(t *testing.T) {
	for text, want := range map[string]float64{"1,200": 1200, "1.2 m": 1200, "120cm": 1200, `2' 6"`: 762, "12OO": 0,
		"1,2": 0, "-600": 0, "": 0} {
		f := form("kind", "offset", "position", id.New[id.Position]().String(), "datum", id.New[id.Datum]().String()+"|+",
			"value", text)
		got := f.NewReading().Value
		if err := f.Err(); want == 0 != (err != nil) || want != 0 && got != want {
			t.Errorf("%q was read as %g, %v", text, got, err)
		}
	}
	f := form("kind", "offset", "value", "-600 mm")
	f.Reading()
	if len(f.Wrong) != 1 || f.Wrong[0].Path != "value" || f.Wrong[0].Wrong != "no tape reads minus" ||
		!strings.HasPrefix(f.Wrong[0].Mend, "Type 600 mm, and choose the side") {
		t.Errorf("%+v", f.Wrong)
	}
}
