package server_test

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"testing"

	"lathmark/domain/roomsheet"
	"lathmark/domain/sums"
	"lathmark/web"
)

// What the phone is given of a room produces the same set-out as the server's.
func TestTheRoomForTheSums(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "14 Orchard Row")
	spark := w.as(t, w.Electrician)
	said, err := sums.Work([]byte(`{"room":` + spark.get(s.path(t, "/rooms/:room/sums.json")) + `}`))
	if err != nil {
		t.Fatal(err)
	}
	var got struct{ SetOut *roomsheet.Answer }
	if err := json.Unmarshal(said, &got); err != nil {
		t.Fatal(err)
	}
	phone, _ := json.Marshal(got.SetOut)
	server, _ := json.Marshal(w.read(t, s.ids["room"]).SetOut())
	if !bytes.Equal(phone, server) {
		t.Errorf("the phone has\n%s\nthe server\n%s", phone, server)
	}
}

// The sums are sent compressed to clients that accept it, else as they are.
func TestTheSumsAreServed(t *testing.T) {
	if web.Sums.Path == "" {
		t.Fatal("the sums for a phone are not built in: run make sums (make test does)")
	}
	w := newWorld(t)
	unpacked, err := gzip.NewReader(bytes.NewReader(web.Sums.Data))
	if err != nil {
		t.Fatal(err)
	}
	plain, err := io.ReadAll(unpacked)
	if err != nil {
		t.Fatal(err)
	}
	for accept, want := range map[string][]byte{"gzip, br": web.Sums.Data, "identity": plain} {
		r := httptest.NewRequest(http.MethodGet, web.Sums.Path, nil)
		r.Header.Set("Accept-Encoding", accept)
		answer := httptest.NewRecorder()
		w.ServeHTTP(answer, r)
		got := answer.Body.Bytes()
		if !bytes.Equal(got, want) || answer.Header().Get("Content-Type") != "application/wasm" {
			t.Errorf("%s: %d bytes of %q, want %d", accept, len(got), answer.Header().Get("Content-Type"), len(want))
		}
	}
}
