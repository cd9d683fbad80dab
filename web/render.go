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
	"lathmark/domain/recent"
	"lathmark/domain/words"
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
	var zone words.Zone
	if v, ok := view.(View); ok {
		zone = v.Shown().Zone
	}
	t := sheetsIn(zone).Lookup(sheetOf(name))
	if t == nil {
		return fmt.Errorf("web: no page %q", name)
	}
	var b bytes.Buffer
	if err := t.Execute(&b, view); err != nil {
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

// sheets holds the parsed templates. A template that does not parse stops the
// program at its start. It is never executed itself: what was cannot be cloned.
var sheets = parseSheets()

// inZones are the templates that speak of moments as clocks in a zone show them,
// for the zones asked for last. Each is 1.6 MB.
var inZones = recent.Cache[words.Zone, *template.Template]{Most: 16}

func sheetsIn(z words.Zone) *template.Template {
	return inZones.Own(z, 1, func() *template.Template { return template.Must(sheets.Clone()).Funcs(momentsIn(z)) })
}

func sheetOf(page string) string { return "sheet of " + page }

// parseSheets parses all pages into one set, in which each has a sheet, a body and
// a foot of its own name: a set for each page would hold what they share 50 times.
func parseSheets() *template.Template {
	all := template.Must(template.New("").Funcs(funcs).Funcs(momentsIn(words.UTC)).ParseFS(files,
		"templates/partials/*.html"))
	sheet := text("templates/layout/sheet.html")
	pages, err := files.ReadDir("templates/pages")
	if err != nil {
		panic("web: no pages: " + err.Error())
	}
	for _, e := range pages {
		name := strings.TrimSuffix(e.Name(), ".html")
		var own []string
		for _, part := range []string{`{{define "sheet"`, `{{block "body"`, `{{template "body"`, `{{define "body"`,
			`{{block "foot"`, `{{define "foot"`} {
			own = append(own, part, strings.TrimSuffix(part, `"`)+" of "+name+`"`)
		}
		named := strings.NewReplacer(own...)
		template.Must(all.Parse(named.Replace(sheet)))
		template.Must(all.Parse(named.Replace(text(path.Join("templates/pages", e.Name())))))
	}
	return all
}

func text(file string) string {
	data, err := files.ReadFile(file)
	if err != nil {
		panic("web: " + err.Error())
	}
	return string(data)
}
