package programme

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
)

// lasting are the details that last, by the act whose they are.
var lasting = map[string]func([]byte) (any, error){
	ActPromise: detailOf[PromiseDetail], ActPin: detailOf[PinDetail], ActUnpin: detailOf[PinDetail],
	ActOwed: detailOf[OwedDetail], ActDropOwed: detailOf[DropDetail], ActThrough: detailOf[ThroughDetail],
	ActComing: detailOf[ComingDetail],
}

func detailOf[T any](text []byte) (any, error) { return ReadDetail[T](text) }

// What was written is read, and written again to the byte.
func TestEveryDetailIsRead(t *testing.T) {
	for act, read := range lasting {
		text, err := os.ReadFile(filepath.Join("testdata", act+".v1.json"))
		if err != nil {
			t.Fatal(err)
		}
		text = bytes.TrimSpace(text)
		d, err := read(text)
		if err != nil {
			t.Errorf("%s: %v", act, err)
			continue
		}
		if again, err := json.Marshal(d); err != nil || !bytes.Equal(again, text) {
			t.Errorf("%s is written again as %s (%v)", act, again, err)
		}
		if _, err := read(bytes.Replace(text, []byte(`"v":1`), []byte(`"v":2`), 1)); err == nil {
			t.Errorf("%s of a version to come was read", act)
		}
	}
}
