package kit_test

import (
	"mime"
	"strings"
	"testing"

	"lathmark/server/page/kit"
)

// Whatever a room is called, the header is one that can be read, and the file has a name of
// its own in the folder where it is kept.
func TestAttachmentIsAFilesName(t *testing.T) {
	for name, want := range map[string]string{
		"Kitchen":             "Kitchen.json",
		"Küche im 1. Stock":   "Küche im 1. Stock.json",
		"../../etc/passwd":    "-..-etc-passwd.json",
		`a"; filename="b.exe`: "a-; filename=-b.exe.json",
		"two\r\nX-Header: 1":  "twoX-Header- 1.json",
		"C:\\x":               "C--x.json",
		"100%41":              "100-41.json",
		"exe.\u202enosj":      "exe.nosj.json",
		" . ":                 "file.json",
		"客厅+雨":                "客厅+雨.json",
	} {
		header := kit.Attachment(name, "json")
		kind, with, err := mime.ParseMediaType(strings.Replace(header, "filename=", "plain=", 1))
		if err != nil || kind != "attachment" || with["filename"] != want {
			t.Errorf("%q is %s: %q, %v, want %q", name, header, with["filename"], err, want)
		}
		for _, r := range with["plain"] {
			if r > 0x7e || r < 0x20 {
				t.Errorf("%q has the plain name %q", name, with["plain"])
			}
		}
	}
}
