package deed

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"lathmark/domain/diary"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// lasting are the formats that last, by the name of their goldens.
var lasting = map[string]func(json.RawMessage) (any, error){
	"measurement": as[room.Measurement], "corrected": as[changed[room.Measurement]], "opening": as[room.Opening],
	"as_built": as[room.AsBuilt], "finished": as[room.Finished], "on_tail": as[onTail], "clash": as[clash],
	"deed_measure": as[Measure], "deed_put-on": as[PutOn], "deed_open-hole": as[OpenHole], "deed_snag": as[NoteSnag],
	"deed_finish": as[Finish], "deed_offer": as[Offer],
}

func as[T any](text json.RawMessage) (any, error) { return Unpack[T](text) }

// What the program of the first year wrote and what today's writes say the same,
// and today's is written again to the byte.
func TestEveryVersionIsRead(t *testing.T) {
	for name, read := range lasting {
		var was [2]any
		for v, file := range []string{name + ".v0.json", name + ".v1.json"} {
			text, err := os.ReadFile(filepath.Join("testdata", file))
			if err != nil {
				t.Fatal(err)
			}
			if was[v], err = read(bytes.TrimSpace(text)); err != nil {
				t.Errorf("%s: %v", file, err)
				continue
			}
			again, err := pack(was[v])
			if err != nil || v == 1 && string(again) != string(bytes.TrimSpace(text)) {
				t.Errorf("%s is written again as %s (%v)", file, again, err)
			}
		}
		if !reflect.DeepEqual(was[0], was[1]) {
			t.Errorf("%s: version 0 is %+v, version 1 %+v", name, was[0], was[1])
		}
	}
}

// What an act says of what it replaces came later, and is left out where it says
// nothing: without it version 1 is as it was.
func TestAChoiceIsReadAgain(t *testing.T) {
	text, err := os.ReadFile("testdata/deed_measure_again.v1.json")
	if err != nil {
		t.Fatal(err)
	}
	d, err := Decode(KindMeasure, bytes.TrimSpace(text))
	if err != nil {
		t.Fatal(err)
	}
	m, is := d.(Measure)
	if !is || m.Again != Replace || len(m.Shown) != 1 || m.Shown[0].Version != 2 {
		t.Errorf("it is read as %+v", d)
	}
	if again, err := Encode(d); err != nil || string(again) != string(bytes.TrimSpace(text)) {
		t.Errorf("it is written again as %s (%v)", again, err)
	}
}

// What a hole says that whoever recorded it knew came later, too, and is left out where it says nothing.
func TestAHolesDoubtIsReadAgain(t *testing.T) {
	text, err := os.ReadFile("testdata/deed_open-hole_doubt.v1.json")
	if err != nil {
		t.Fatal(err)
	}
	d, err := Decode(KindOpen, bytes.TrimSpace(text))
	if err != nil {
		t.Fatal(err)
	}
	if o, is := d.(OpenHole); !is || o.Hole.Doubt != KnownDoubt || !o.Hole.Reopen {
		t.Errorf("it is read as %+v", d)
	}
	if again, err := Encode(d); err != nil || string(again) != string(bytes.TrimSpace(text)) {
		t.Errorf("it is written again as %s (%v)", again, err)
	}
}

// What came of a phone's act says so besides, and is read as ever.
func TestAnEntryNamesItsAct(t *testing.T) {
	var read [2]room.Measurement
	for i, name := range []string{"measurement.v1.json", "measurement_of_act.v1.json"} {
		text, err := os.ReadFile(filepath.Join("testdata", name))
		if err != nil {
			t.Fatal(err)
		}
		if read[i], err = Unpack[room.Measurement](text); err != nil {
			t.Fatal(err)
		}
	}
	if read[0] != read[1] {
		t.Errorf("%+v and %+v", read[0], read[1])
	}
	want, err := os.ReadFile("testdata/measurement_of_act.v1.json")
	if err != nil {
		t.Fatal(err)
	}
	of, err := id.Parse[id.Act]("01890a5d-ac96-774b-bcce-b30209900009")
	if err != nil {
		t.Fatal(err)
	}
	w := &Writing{Record: &room.Record{}, act: of}
	if err := w.Note("measure", nil, "D1 was measured.", read[0]); err != nil ||
		string(w.notes[0].Detail) != string(bytes.TrimSpace(want)) {
		t.Errorf("%s (%v)", w.notes[0].Detail, err)
	}
}

// What cannot be read is an error that says so.
func TestWhatCannotBeReadIsAnError(t *testing.T) {
	for text, want := range map[string]string{
		`{"v":2,"id":"x"}`: "version 2", `7`: "no JSON object", `{"v":1,"value":"far"}`: "cannot be read",
		`{"Stage":9}`: "cannot be read", ``: "no JSON object", `{"v":1}`: "about nothing", `{}`: "about nothing",
	} {
		_, err := detail[room.Measurement](diary.Entry{Seq: 7, Act: "measure", Detail: json.RawMessage(text)})
		if err == nil || !strings.Contains(err.Error(), want) || !strings.Contains(err.Error(), "entry 7") {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
	if _, err := Decode("dance", nil); err == nil {
		t.Error("a deed of no kind was read")
	}
}
