package web

import (
	"bytes"
	"strings"
	"testing"
)

// TestPagesSayWhatTheyAreAbout: the body tells scripts what a page is about; if
// nobody is signed in, only when it was drawn.
func TestPagesSayWhatTheyAreAbout(t *testing.T) {
	for _, c := range []struct {
		sheet Sheet
		want  string
	}{
		{sheetFor(electrician, "Snags", utilityAt, Next{}),
			`<body data-member="p2" data-member-name="Ola Brandt" data-firm="f1" ` +
				`data-job="job-1" data-room="room-1" data-room-name="Utility" data-seq="41" data-made="2026-11-25T14:05:00Z">`},
		{acrossJobs(sheetFor(foreman, "All jobs", Place{}, Next{})),
			`<body data-member="p1" data-member-name="Ruth Aldous" data-firm="f1" ` +
				`data-seqs="{&#34;job-1&#34;:41,&#34;job-2&#34;:7}" data-made="2026-11-25T14:05:00Z">`},
		{sheetFor(Person{}, "Nothing here", Place{}, Next{}), `<body data-made="2026-11-25T14:05:00Z">`},
	} {
		var b bytes.Buffer
		if err := Render(&b, Trouble, TroubleView{Sheet: c.sheet}); err != nil {
			t.Fatal(err)
		}
		_, rest, _ := strings.Cut(b.String(), "<body")
		if got, _, _ := strings.Cut("<body"+rest, "\n"); got != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.sheet.Title, got, c.want)
		}
	}
}
