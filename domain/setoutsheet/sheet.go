// Package setoutsheet prints the set-out of a room for somebody who reads it
// off a phone, up a ladder: plain text, 44 columns, first what can cause injury
// or cost, then what to mark on each surface.
//
// It differs from the room sheet, which is read and written by programs and
// whose fields are fixed: this is for people, and its words may change. It
// calculates nothing; every figure is the adjustment's, in whole millimetres.
package setoutsheet

import (
	"io"
	"strings"

	"lathmark/domain/advice"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// Print prints the set-out of a room: title, what to look at first, cautions,
// then every surface. solved is the room's own Solve. For the same room
// it writes the same bytes. The error is the writer's.
func Print(w io.Writer, room *roomsheet.Room, solved []roomsheet.Solved) error {
	var p paper
	positions := 0
	for i := range solved {
		positions += len(solved[i].Surface.Positions)
	}
	p.heading("=", "SETTING-OUT SHEET: "+room.Room, words.Count(len(solved), "surface")+", "+words.Count(positions,
		"position"))
	p.line("")
	said := advice.OfSheet(room, solved)
	views := newViews(said, solved)
	p.warnings(views)
	p.cautions(said)
	for _, v := range views {
		p.surface(v)
	}
	_, err := io.WriteString(w, p.String())
	return err
}

// cautions prints what is to be minded before the first hole of the sheet, in the same size as everything else: the
// cautions that pages show.
func (p *paper) cautions(said advice.Room) {
	p.line("BEFORE ANY HOLE")
	p.para("- ", advice.NotBefore)
	p.para("- ", advice.MeetTimber)
	for _, c := range said.Cautions() {
		lead := ""
		if len(c.For) > 0 {
			lead = words.Runs(c.For) + ": "
		}
		p.para("- ", lead+c.String())
	}
	p.line("")
}

// warnings prints everything that may cost a hole, surface by surface, the
// worst first.
func (p *paper) warnings(views []*view) {
	var all []string
	for _, v := range views {
		for _, w := range v.warnings() {
			if len(views) > 1 {
				w = strings.ToUpper(v.Surface.Surface.ID) + ": " + w
			}
			all = append(all, w)
		}
	}
	if len(all) == 0 {
		p.line("No warnings.")
	} else {
		p.line("READ FIRST: " + words.Count(len(all), "warning"))
		for _, w := range all {
			p.para("! ", w)
		}
	}
	p.line("")
}
