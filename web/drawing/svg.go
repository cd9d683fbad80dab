package drawing

import (
	"fmt"
	"html"
	"strconv"
	"strings"
)

// writer collects SVG. Numbers are cut to hundredths of a unit, so the same
// plan is always the same text.
type writer struct{ b strings.Builder }

func (w *writer) put(format string, args ...any) { fmt.Fprintf(&w.b, format, args...) }

func (w *writer) line(class string, x1, y1, x2, y2 float64) {
	w.put(`<line class="%s" x1="%s" y1="%s" x2="%s" y2="%s"/>`, class, num(x1), num(y1), num(x2), num(y2))
}

func (w *writer) circle(class string, x, y, r float64) {
	w.put(`<circle class="%s" cx="%s" cy="%s" r="%s"/>`, class, num(x), num(y), num(r))
}

// text writes a text; one that is up is read from the right.
func (w *writer) text(class string, p place, s, more string) {
	w.put(`<text class="%s" x="%s" y="%s"`, class, num(p.x), num(p.y))
	if p.anchor != "start" {
		w.put(` text-anchor="%s"`, p.anchor)
	}
	if p.up {
		w.put(` transform="rotate(-90 %s %s)"`, num(p.x), num(p.y))
	}
	w.put(">%s", text(s))
	if more != "" {
		w.put(`<tspan class="more">%s</tspan>`, text(more))
	}
	w.put("</text>")
}

func (w *writer) polygon(class, fill string, pts []spotXY) {
	w.put(`<polygon class="%s"`, class)
	if fill != "" {
		w.put(` fill="url(#%s)"`, fill)
	}
	w.put(` points="`)
	for i, p := range pts {
		if i > 0 {
			w.put(" ")
		}
		w.put("%s,%s", num(p.x), num(p.y))
	}
	w.put(`"/>`)
}

func text(s string) string { return html.EscapeString(s) }

func num(v float64) string {
	v = round(v)
	if v == 0 {
		v = 0 // no "-0"
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// anchor makes an id of a document from ids of the record: letters, digits,
// hyphens and points stay, anything else is written as its code.
func anchor(parts ...string) string {
	var b strings.Builder
	for i, p := range parts {
		if i > 0 {
			b.WriteByte('-')
		}
		for _, r := range p {
			if r == '-' || r == '.' || r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z' {
				b.WriteRune(r)
			} else {
				fmt.Fprintf(&b, "_%x", r)
			}
		}
	}
	return b.String()
}

// RowAnchor returns the id of the line of a schedule that is about a thing of a
// surface. Kind is "position", "datum" or "timber".
func RowAnchor(surface, kind, id string) string { return anchor("row", surface, kind, id) }

// PlanAnchor returns the id of the same thing on the plan.
func PlanAnchor(surface, kind, id string) string { return anchor("plan", surface, kind, id) }

// Lead is where touching a thing on the plan leads.
type Lead struct {
	Href string // "" where it leads nowhere
	// Field and Value are the choice of a form of the page that it stands for: the page's
	// script then makes it in place of going to Href.
	Field, Value string
}

// link opens a group that leads to the thing's line in the schedule, or where the plan
// says; done closes it.
func (s *sheet) link(kind, id, class, title string) {
	to := Lead{Href: "#" + RowAnchor(s.Surface.ID, kind, id)}
	if s.Leads != nil {
		to = s.Leads(kind, id)
	}
	s.closes = "a"
	if to.Href == "" {
		s.closes = "g"
	}
	s.out.put(`<%s id="%s" class="%s"`, s.closes, PlanAnchor(s.Surface.ID, kind, id), class)
	if to.Href != "" {
		s.out.put(` href="%s"`, text(to.Href))
	}
	if to.Field != "" {
		s.out.put(` data-field="%s" data-value="%s"`, text(to.Field), text(to.Value))
	}
	s.out.put(`><title>%s</title>`, text(title))
}

// done closes what link opened.
func (s *sheet) done() { s.out.put("</%s>", s.closes) }
