package api_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"lathmark/domain/advice"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
	"lathmark/server/api"
)

// stateless is a server that nothing is kept by.
func stateless(t *testing.T) *site { return &site{Handler: bare(), t: t} }

func sheets(t *testing.T) map[string][]byte {
	t.Helper()
	files, err := filepath.Glob("../../testdata/rooms/*.json")
	if err != nil || len(files) < 5 {
		t.Fatalf("%d room sheets, %v", len(files), err)
	}
	out := map[string][]byte{}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		out[filepath.Base(file)] = text
	}
	return out
}

// printed is what the setout command prints with --json.
func printed(t *testing.T, sheet []byte) []byte {
	t.Helper()
	return written(t, advice.SetOut(read(t, sheet)))
}

// before is the set-out of a room sheet whose room is known to be short of its
// second fix, which no sheet says.
func before(t *testing.T, sheet []byte) []byte {
	t.Helper()
	r := read(t, sheet)
	solved := r.Solve()
	out := advice.Outgoing(r.Room, solved, advice.Of(solved, func(surface, position int) advice.Known {
		return advice.Known{Trade: words.TradeOfKind(r.Surfaces[surface].Positions[position].Kind), Shut: advice.NotBefore}
	}))
	out.Cautions = nil
	return written(t, out)
}

func read(t *testing.T, sheet []byte) *roomsheet.Room {
	t.Helper()
	r, err := roomsheet.Read(bytes.NewReader(sheet))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func written(t *testing.T, answer *roomsheet.Answer) []byte {
	t.Helper()
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(answer); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// Anybody may have a room sheet worked out, and gets what the command prints.
func TestSetOutIsWhatTheCommandPrints(t *testing.T) {
	s := stateless(t)
	for name, sheet := range sheets(t) {
		w := s.ask(nobody, http.MethodPost, "/setout", sheet, 200, nil)
		if want := printed(t, sheet); !bytes.Equal(w.Body.Bytes(), want) {
			t.Errorf("%s: %d bytes, want %d", name, w.Body.Len(), len(want))
		}
	}
}

// And that is no twin of this test's only: the command itself is asked.
func TestSetOutIsTheCommandsOwn(t *testing.T) {
	const file = "../../testdata/rooms/kitchen.json"
	command := exec.CommandContext(t.Context(), "go", "run", "lathmark/cmd/lathmark", "setout", "--json", file)
	want, err := command.Output()
	if err != nil {
		t.Fatal(err)
	}
	sheet, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	w := stateless(t).ask(nobody, http.MethodPost, "/setout", sheet, 200, nil)
	if !bytes.Equal(w.Body.Bytes(), want) || len(want) < 10_000 {
		t.Errorf("the command prints %d bytes, the API answers %d others", len(want), w.Body.Len())
	}
}

// A room that came in as a sheet returns the sheet's set-out: its datums and
// positions stand where they stood. The room adds what it knows of its stages:
// that nothing is cut yet.
func TestARoomComesInAndGoesOutAsASheet(t *testing.T) {
	s := newSite(t)
	job := new7()
	s.ask(s.Foreman, http.MethodPost, "/jobs", m{"id": job, "name": "Heron Cottage"}, 200, nil)
	for name, sheet := range sheets(t) {
		var r api.Record
		s.ask(s.Foreman, http.MethodPut, "/jobs/"+job+"/rooms/"+new7()+"/sheet", sheet, 200, &r)
		out := s.ask(s.Electrician, http.MethodGet, at(r)+"/sheet", nil, 200, nil).Body.Bytes()
		setOut := s.ask(s.Electrician, http.MethodGet, at(r)+"/setout", nil, 200, nil).Body.Bytes()
		var knows roomsheet.Answer // the room knows its height and its walls, and cautions go by them
		if err := json.Unmarshal(setOut, &knows); err != nil || len(knows.Cautions) < 4 {
			t.Errorf("%s: %d cautions (%v)", name, len(knows.Cautions), err)
		}
		knows.Cautions = nil
		if want := before(t, out); !bytes.Equal(written(t, &knows), want) {
			t.Errorf("%s: the room's set-out is not that of its sheet", name)
		}
		var was, is roomsheet.Answer
		for text, into := range map[*roomsheet.Answer][]byte{&was: printed(t, sheet), &is: setOut} {
			if err := json.Unmarshal(into, text); err != nil {
				t.Fatal(err)
			}
		}
		for i := range was.Surfaces {
			a, b := was.Surfaces[i].Positions, is.Surfaces[i].Positions
			for k := range a {
				if a[k].ID != b[k].ID || a[k].Determinate != b[k].Determinate || a[k].Determinate && math.Hypot(a[k].U-b[k].U,
					a[k].V-b[k].V) > 1e-6 {
					t.Errorf("%s: %s is not where it was: %+v, %+v", name, a[k].ID, a[k].Place, b[k].Place)
				}
			}
		}
	}
}

func TestASheetThatCannotBeReadIsToldInFull(t *testing.T) {
	s := stateless(t)
	for _, c := range []struct{ name, sheet, path string }{
		{"no JSON", `{"format"`, "$.format"},
		{"nothing", ``, "$"},
		{"not known", `{"format":"lathmark-room/1","room":"x","surfaces":[{"id":"c","kind":"ceiling","datums":[{"id":"s","kind":"face","lines":1}]}]}`, "$.surfaces[0].datums[0].lines"},
		{"no line", `{"format":"lathmark-room/1","room":"x","surfaces":[{"id":"c","kind":"ceiling","datums":[{"id":"s","kind":"face"}]}]}`, "$.surfaces[0].datums[0].line"},
	} {
		var p api.Problem
		s.ask(nobody, http.MethodPost, "/setout", c.sheet, 400, &p)
		found := false
		for _, f := range p.Errors {
			found = found || f.Path == c.path && f.Wrong != "" && f.Mend != ""
		}
		if !found {
			t.Errorf("%s: nothing about %s in %+v", c.name, c.path, p)
		}
	}
}

// many is a sheet with so many positions and so many measurements of them.
func many(positions, measurements int) string {
	var b strings.Builder
	b.WriteString(`{"format":"lathmark-room/1","room":"Hall","surfaces":[{"id":"ceiling","kind":"ceiling","datums":[` +
		`{"id":"south","kind":"face","line":[[0,0],[9000,0]]},{"id":"west","kind":"face","line":[[0,9000],[0,0]]}],"positions":[`)
	for i := range positions {
		fmt.Fprintf(&b, `%s{"id":"D%d"}`, comma(i), i)
	}
	b.WriteString(`],"measurements":[`)
	for i := range measurements {
		fmt.Fprintf(&b, `%s{"id":"m%d","kind":"offset","of":"D%d","from":"%s","value":%d}`, comma(i), i,
			i/2%max(positions, 1), []string{"south", "west"}[i%2], 100+i)
	}
	b.WriteString(`]}]}`)
	return b.String()
}

func comma(i int) string {
	if i == 0 {
		return ""
	}
	return ","
}

// More than the contract's 500 positions or 5,000 measurements, or more than
// 4 MiB, is refused; as many as that are not.
func TestSheetsHaveALimit(t *testing.T) {
	s := stateless(t)
	for _, c := range []struct {
		name, sheet string
		status      int
	}{
		{"500 positions", many(500, 1000), 200},
		{"501 positions", many(501, 0), 400},
		{"5,001 measurements", many(10, 5001), 400},
		{"3 MiB of nothing", many(1, 2) + strings.Repeat(" ", 3<<20), 200},
		{"4 MiB and more", many(1, 2) + strings.Repeat(" ", api.SheetLimit), 413},
	} {
		s.ask(nobody, http.MethodPost, "/setout", c.sheet, c.status, nil)
	}
	// Everything else takes less.
	w := s.do(s.request(nobody, http.MethodPost, "/jobs", strings.Repeat(" ", 3<<20)))
	if w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("3 MiB for a job answer %d", w.Code)
	}
}

// A stranger who asks on and on is told to wait; another one is not.
func TestStrangersTakeTurns(t *testing.T) {
	s := stateless(t)
	sheet := many(1, 2)
	refused := 0
	for range 40 { // not held against the document, which takes longer than the pause
		w := s.send(s.request(nobody, http.MethodPost, "/setout", sheet))
		if w.Code == http.StatusTooManyRequests {
			if refused++; w.Header().Get("Retry-After") == "" {
				t.Error("nothing says when to come again")
			}
		}
	}
	if refused == 0 || refused > 20 {
		t.Errorf("%d of 40 were told to wait", refused)
	}
	again := func(header, value, from string) int {
		r := s.request(nobody, http.MethodPost, "/setout", sheet)
		r.RemoteAddr = from
		r.Header.Set(header, value)
		return s.send(r).Code
	}
	if got := again("X-Nothing", "", "198.51.100.7:4711"); got != 200 {
		t.Errorf("from elsewhere: %d", got)
	}
	told := 0
	for range 10 {
		if again("X-Forwarded-For", "203.0.113.9", "192.0.2.1:1234") == http.StatusTooManyRequests {
			told++
		}
	}
	if told == 0 {
		t.Error("a header that names another address buys ten more turns")
	}
}

// Those who have begun to send a sheet and send no more keep nobody waiting.
func TestHalfSentSheetsHoldNoTurn(t *testing.T) {
	s := stateless(t)
	sheet := many(1, 2)
	for i := range 8 {
		begun, rest := io.Pipe()
		r := s.request(nobody, http.MethodPost, "/setout", "")
		r.Body, r.ContentLength, r.RemoteAddr = begun, int64(len(sheet)), fmt.Sprintf("198.51.100.%d:1", i)
		ended := make(chan int)
		go func() { ended <- s.send(r).Code }()
		if _, err := rest.Write([]byte(sheet[:10])); err != nil { // it is being read
			t.Fatal(err)
		}
		defer func() {
			_ = rest.CloseWithError(io.ErrUnexpectedEOF)
			if got := <-ended; got != http.StatusBadRequest {
				t.Errorf("half a sheet is answered %d", got)
			}
		}()
	}
	s.ask(nobody, http.MethodPost, "/setout", sheet, 200, nil)
}

// The largest sheet there may be is worked out while somebody waits.
func BenchmarkLargestSheet(b *testing.B) {
	h, sheet := bare(), many(500, 5000)
	for n := 0; b.Loop(); n++ {
		w := httptest.NewRecorder()
		r := httptest.NewRequest(http.MethodPost, "/api/v1/setout", strings.NewReader(sheet))
		r.RemoteAddr = fmt.Sprintf("198.51.100.%d:1", n%250)
		h.ServeHTTP(w, r)
		if w.Code != http.StatusOK {
			b.Fatal(w.Code)
		}
	}
}
