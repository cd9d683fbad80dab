package main

import (
	"encoding/json"
	"strings"
	"testing"
)

// The command reads and writes the formats as they are written down, wherever --json
// stands.
func TestProgramme(t *testing.T) {
	const doc = `{"format":"lathmark-programme/1","crews":[{"id":"R1","size":1}],"work":[
		{"id":"a","days":3,"needs":{"R1":1}},{"id":"b","days":2,"needs":{"R1":1},"after":[{"id":"a","lag":4}]},
		{"id":"c","days":4,"needs":{"R1":1}}]}`
	const want = `{"format":"lathmark-programme-answer/1","days":9,"work":[{"id":"a","start":0,"end":3},` +
		`{"id":"b","start":7,"end":9},{"id":"c","start":3,"end":7}]}`
	status, out, said := called(doc, "programme", "--json", "-")
	var got json.RawMessage
	if err := json.Unmarshal([]byte(out), &got); err != nil || status != statusDone || said != "" {
		t.Fatalf("status %d, %q, %v", status, said, err)
	}
	if got := strings.Join(strings.Fields(out), ""); got != want {
		t.Errorf("got %s\nwant %s", got, want)
	}
	if _, after, _ := called(doc, "programme", "-", "--json"); after != out {
		t.Error("another answer with --json behind the file")
	}
}

func TestProgrammeStatus(t *testing.T) {
	for _, c := range []struct {
		stdin  string
		args   []string
		status int
		says   string
	}{
		{"", nil, statusUsage, "needs --json"},
		{"", []string{"-"}, statusUsage, "needs --json"},
		{"", []string{"--json"}, statusUsage, "one file"},
		{"", []string{"--json", "--xml"}, statusUsage, "one file"},
		{"", []string{"--json", "/no/such/file"}, statusBad, "cannot be opened"},
		{"", []string{"--json", "-"}, statusBad, "$: the document ends too soon"},
		{`{"format":"lathmark-programme/1","crews":[],"work":[{"id":"a","days":1,"after":[{"id":"a"}]}]}`,
			[]string{"--json", "-"}, statusBad, "$.work[0].after: a comes after itself"},
	} {
		status, out, said := called(c.stdin, append([]string{"programme"}, c.args...)...)
		if status != c.status || out != "" || !strings.Contains(said, c.says) {
			t.Errorf("%q: status %d, %q, %q", c.args, status, out, said)
		}
	}
	if status, out, _ := called("", "programme", "--help"); status != statusDone || !strings.HasPrefix(out, "Usage: ") {
		t.Errorf("help: status %d, %q", status, out)
	}
}
