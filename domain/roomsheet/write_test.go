package roomsheet

import (
	"bytes"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// What is written reads again as the same room, and as the same bytes.
func TestReadOfWriteIsSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		room := drawRoom(t)
		var first, second bytes.Buffer
		if err := room.Write(&first); err != nil {
			t.Fatal(err)
		}
		again, err := Read(bytes.NewReader(first.Bytes()))
		if err != nil {
			t.Fatalf("%v\n%s", err, first.String())
		}
		if d := cmp.Diff(room, again); d != "" {
			t.Fatal(d)
		}
		if err := again.Write(&second); err != nil || first.String() != second.String() {
			t.Fatalf("not canonical: %v", err)
		}
	})
}

// Any bytes either read, and then write and read again the same and can be set
// out, or give faults that all say where, what and how to mend.
func FuzzRead(f *testing.F) {
	for _, doc := range []string{
		`{"format":"lathmark-room/1","room":"Hall","surfaces":[{"id":"c","kind":"ceiling"}]}`,
		`{"format":"lathmark-room/1","room":"Hall","surfaces":[{"id":"c","kind":"wall","datums":[
			{"id":"a","kind":"face","line":[[0,0],[9,0]],"layers":[{"id":"b","thickness":3}]}],
			"positions":[{"id":"p"}],"measurements":[{"id":"m","kind":"offset","of":"p","from":"a","value":4}]}]}`,
		`{"format":1e999,"room":null,"surfaces":[{"id":"","datums":{}},[],{"timbers":[{"line":[[0],[1,"x"]]}]}]}`,
		`{"a":1,"a":2,"b c":[[[[[[[[[[[[[[[[[[[]]]]]]]]]]]]]]]]]]]}`, `{"room":"x"} {}`, "", "[1,2", "\xff", "\uFEFF{}",
		`"\ud800"`,
	} {
		f.Add([]byte(doc))
	}
	whole, err := os.ReadFile("testdata/utility.json")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(whole)
	f.Fuzz(func(t *testing.T, data []byte) {
		room, err := Read(bytes.NewReader(data))
		if err != nil {
			for _, field := range fields(t, err) {
				if !strings.HasPrefix(field.Path, "$") || field.Wrong == "" || field.Mend == "" || strings.Contains(field.String(),
					"\n") {
					t.Errorf("a fault that does not help: %+v", field)
				}
			}
			return
		}
		var b bytes.Buffer
		if err := room.Write(&b); err != nil {
			t.Fatalf("read but not written: %v", err)
		}
		again, err := Read(&b)
		if d := cmp.Diff(room, again); err != nil || d != "" {
			t.Fatalf("%v\n%s", err, d)
		}
		if _, err := json.Marshal(SetOut(room)); err != nil { // Marshal refuses NaN and infinities
			t.Fatal(err)
		}
	})
}

func TestWriteLayout(t *testing.T) {
	room := &Room{Format: Format, Room: "Hall <up>", Surfaces: []Surface{
		{ID: "floor", Kind: "floor", Positions: []Position{{ID: "W1", Cutout: 50}, {ID: "W2"}}}, {ID: "ceiling",
			Kind: "ceiling"}}}
	var b bytes.Buffer
	if err := room.Write(&b); err != nil {
		t.Fatal(err)
	}
	want := `{
  "format": "lathmark-room/1",
  "room": "Hall <up>",
  "surfaces": [{
    "id": "floor", "kind": "floor",
    "positions": [
      {"id":"W1","cutout":50},
      {"id":"W2"}
    ]
  }, {
    "id": "ceiling", "kind": "ceiling"
  }]
}
`
	if d := cmp.Diff(want, b.String()); d != "" {
		t.Error(d)
	}
}

func TestWriteRefusesWhatWouldNotRead(t *testing.T) {
	room := mustRead(t, utility(t))
	room.Surfaces[0].Timbers[0].Width = -47
	var b bytes.Buffer
	fields(t, room.Write(&b))
	if b.Len() > 0 {
		t.Errorf("wrote %d bytes all the same", b.Len())
	}
}
