package deed

import (
	"bytes"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"lathmark/domain/room"
)

// What a sign-off keeps of what was accepted is a list without a version: it is read, and written again to the byte.
func TestAcceptedIsRead(t *testing.T) {
	text, err := os.ReadFile("testdata/accepted.json")
	if err != nil {
		t.Fatal(err)
	}
	text = bytes.TrimSpace(text)
	kept, err := ReadAccepted(&room.SignOff{Accepted: text})
	if err != nil || len(kept) != 2 || kept[0].Code != "not_checked" || kept[0].Kind != "position" ||
		kept[0].Name != "D4" ||
		kept[0].Wrong == "" || kept[1].Reason != "both walls stay bare" {
		t.Errorf("%+v (%v)", kept, err)
	}
	if again, err := json.Marshal(kept); err != nil || !bytes.Equal(again, text) {
		t.Errorf("it is written again as %s (%v)", again, err)
	}
	for _, bad := range []string{``, `7`, `{"v":2}`, `[{"code":7}]`} {
		if _, err := ReadAccepted(&room.SignOff{Accepted: []byte(bad)}); err == nil ||
			!strings.Contains(err.Error(), "cannot be read") {
			t.Errorf("%q: %v", bad, err)
		}
	}
}
