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
	"net/url"
	"path"
	"strings"

	"lathmark/domain/fault"
)

// Page is one kind of page, tied to its view. The pages are the variables of
// this package; the zero Page renders nothing.
type Page[V any] struct{ name string }

// Name returns the name of the page's template.
func (p Page[V]) Name() string { return p.name }

// Render renders a page. It is rendered completely before the first byte is
// written, so an error leaves w untouched unless w itself fails.
func Render[V any](w io.Writer, p Page[V], view V) error { return render(w, p.name, view) }

func render(w io.Writer, name string, view any) error {
	t, ok := sheets[name]
	if !ok {
		return fmt.Errorf("web: no page %q", name)
	}
	var b bytes.Buffer
	if err := t.ExecuteTemplate(&b, "sheet", view); err != nil {
		return fmt.Errorf("web: page %s: %w", name, err)
	}
	_, err := b.WriteTo(w)
	return err
}

// View is what every view has, since it embeds Sheet.
type View interface{ Shown() Sheet }

// Filled is a page with its view.
type Filled struct {
	View
	name string
}

// Fill returns the page with a view, which is a pointer where Retype is to
// work.
func (p Page[V]) Fill(view View) Filled { return Filled{view, p.name} }

// Render renders the page.
func (f Filled) Render(w io.Writer) error { return render(w, f.name, f.View) }

// Retype puts into the page's form what was typed before, with its faults. On a
// page without a form it does nothing.
func (f Filled) Retype(typed url.Values, faults []fault.Field) {
	if t, ok := f.View.(interface {
		retype(url.Values, []fault.Field)
	}); ok {
		t.retype(typed, faults)
	}
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
