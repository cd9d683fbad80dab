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
