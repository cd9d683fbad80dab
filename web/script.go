package web

import (
	"bytes"
	"encoding/json"
	"maps"
	"regexp"
	"slices"
	"strings"
	"sync"
)

const javaScript = "text/javascript; charset=utf-8"

// workerFile has an address of its own, since a worker controls only what is
// below it.
const workerFile = "worker.js"

// modules returns the scripts that pages load, by name: the folder's files
// without the worker and the tests.
func modules() map[string][]byte {
	out := folder("script")
	maps.DeleteFunc(out, func(name string, _ []byte) bool {
		return name == workerFile || strings.HasSuffix(name, ".test.js")
	})
	for name, data := range out {
		out[name] = withoutComments(data)
	}
	return out
}

// cast is a comment within a line that says of which type something is.
var cast = regexp.MustCompile(`/\*\* @type \{.*?\} \*/ ?`)

// withoutComments returns a script without the comments that have lines of
// their own, those that say a type, indents and empty lines: phones do not need them,
// and they are a third of the scripts.
func withoutComments(script []byte) []byte {
	var out []byte
	within := false // a comment of several lines
	for line := range bytes.Lines(script) {
		text := bytes.TrimSpace(line)
		opens := bytes.HasPrefix(text, []byte("/*")) && (bytes.Index(text, []byte("*/")) == len(text)-2 ||
			!bytes.Contains(text, []byte("*/")))
		switch {
		case within:
			within = !bytes.HasSuffix(text, []byte("*/"))
		case opens:
			within = !bytes.HasSuffix(text, []byte("*/"))
		case len(text) > 0 && !bytes.HasPrefix(text, []byte("//")):
			out = append(out, cast.ReplaceAll(bytes.TrimLeft(line, "\t"), nil)...)
		}
	}
	return out
}

// scriptFolder is where the modules are served. They refer to each other by
// relative addresses, so one hash of all names the folder.
var scriptFolder = sync.OnceValue(func() string {
	all := modules()
	var b bytes.Buffer
	for _, name := range slices.Sorted(maps.Keys(all)) {
		b.WriteString(name + "\x00")
		b.Write(all[name])
		b.WriteByte(0)
	}
	return "/static/" + hashOf(b.Bytes()) + "/"
})

// Worker is the script between the pages and the network on a phone. It begins
// with what it has to know about the server, including the addresses of the
// app's own files, so it changes when one of them does.
var Worker = Asset{Path: WorkerPath, Type: javaScript, Data: loadWorker()}

// workerKnows is what precedes the worker's own text, as APP.
type workerKnows struct {
	Files    []string  // addresses of the app's own files
	Stamp    string    // changes with them
	Policy   string    // the content-security policy of pages
	Page     string    // the page instead of one: {0} is its title, {1} what it says, {2} what to do
	NotHere  [3]string // in place of a page that is not stored
	NeedsNet [3]string // in place of a form's answer
}

func loadWorker() []byte {
	app := workerKnows{Files: slices.Sorted(maps.Keys(Assets)), Policy: ContentSecurityPolicy,
		Page: emptyLines.ReplaceAllString(drawn(withoutSignal("{0}", "{1}", "{2}")), "\n"),
		NotHere: [3]string{"Not on this phone", "This page is not on this phone, and there is no signal.",
			"The pages of a visit are kept when you open My visits with signal."},
		NeedsNet: [3]string{"Not sent", "There is no signal, and this cannot wait on the phone.",
			"Go back: what you typed is still there. Send it when there is signal."}}
	app.Stamp = hashOf([]byte(strings.Join(app.Files, "\n")))
	knows := bytes.NewBufferString("self.APP = ")
	asText := json.NewEncoder(knows)
	asText.SetEscapeHTML(false) // a script file is no HTML
	if err := asText.Encode(app); err != nil {
		panic("web: " + err.Error())
	}
	return slices.Concat(bytes.TrimSpace(knows.Bytes()), []byte(";\n"), withoutComments(folder("script")[workerFile]))
}

var emptyLines = regexp.MustCompile(`\n\s+`)

func withoutSignal(title, says, way string) TroubleView {
	return TroubleView{Sheet: Sheet{Title: title, Next: Next{Sentence: "See what is on this phone.", Action: "My visits",
		Href: VisitsPath}}, Says: says, Way: way}
}

func drawn(v TroubleView) string {
	var b bytes.Buffer
	if err := Render(&b, Trouble, v); err != nil {
		panic("web: " + err.Error())
	}
	return b.String()
}

// Manifest tells a phone how to install Lathmark beside its other programs
// (W3C, Web Application Manifest).
var Manifest = Asset{Path: ManifestPath, Type: "application/manifest+json", Data: loadManifest()}

// themeLight and themeDark are the colours that a phone draws around the sheet:
// the table on which the sheet lies, by day and by night.
const (
	themeLight = "#ece6d6"
	themeDark  = "#141617"
)

type icon struct {
	Src     string `json:"src"`
	Sizes   string `json:"sizes"`
	Type    string `json:"type"`
	Purpose string `json:"purpose"`
}

func loadManifest() []byte {
	out, err := json.Marshal(map[string]any{
		"id": "/", "name": "Lathmark", "short_name": "Lathmark", "lang": "en",
		"description": "Where the tails are, and where to cut.",
		"start_url":   VisitsPath, "scope": "/", "display": "standalone",
		"background_color": themeLight, "theme_color": themeLight,
		"icons": []icon{
			{assetPath("icon-192.png"), "192x192", "image/png", "any"},
			{assetPath("icon-512.png"), "512x512", "image/png", "any"},
			{assetPath("icon-full.png"), "512x512", "image/png", "maskable"},
			{assetPath("mark.svg"), "any", "image/svg+xml", "any"},
		},
	})
	if err != nil {
		panic("web: " + err.Error())
	}
	return out
}
