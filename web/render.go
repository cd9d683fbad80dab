// Package web renders the pages: plain view structs go in, complete HTML
// documents come out. It knows nothing of services, storage or requests.
//
// Every page works without script; with it, the forms of a visit also work
// without signal. Each form posts to an address given by Place and expects a
// redirect, or the same page again, with what was typed and the faults.
package web

import (
	"bytes"
	"fmt"
	"html/template"
	"io"
	"path"
	"strings"
)

// Page is one kind of page, tied to its view. The pages are the variables of
// this package; the zero Page renders nothing.
type Page[V any] struct{ name string }

// Name returns the name of the page's template.
func (p Page[V]) Name() string { return p.name }

// Render renders a page. It is rendered completely before the first byte is
// written, so an error leaves w untouched unless w itself fails.
func Render[V any](w io.Writer, p Page[V], view V) error {
	t, ok := sheets[p.name]
	if !ok {
		return fmt.Errorf("web: no page %q", p.name)
	}
	var b bytes.Buffer
	if err := t.ExecuteTemplate(&b, "sheet", view); err != nil {
		return fmt.Errorf("web: page %s: %w", p.name, err)
	}
	_, err := b.WriteTo(w)
	return err
}

// sheets holds the parsed templates by page name. A template that does not
// parse stops the program at its start.
var sheets = parseSheets()

func parseSheets() map[string]*template.Template {
	base := template.New("sheet").Funcs(funcs)
	template.Must(base.ParseFS(files, "templates/layout/*.html", "templates/partials/*.html"))
	pages, err := files.ReadDir("templates/pages")
	if err != nil {
		panic("web: no pages: " + err.Error())
	}
	sheets := map[string]*template.Template{}
	for _, e := range pages {
		t := template.Must(base.Clone())
		template.Must(t.ParseFS(files, path.Join("templates/pages", e.Name())))
		sheets[strings.TrimSuffix(e.Name(), ".html")] = t
	}
	return sheets
}
