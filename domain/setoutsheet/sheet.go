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
	views := newViews(solved)
	p.warnings(views)
	p.cautions()
	for _, v := range views {
		p.surface(v)
	}
	_, err := io.WriteString(w, p.String())
	return err
}

// cautions prints guidance before the first hole of the sheet, in the same size
// as everything else. Sources: common practice of the trade; no figures.
func (p *paper) cautions() {
	p.line("BEFORE ANY HOLE")
	for _, c := range []string{
		advice.NotBefore,
		"Isolate, lock off and prove dead before cutting. Electrical work is for a qualified person.",
		"Old ceiling or wall: have it checked for asbestos before drilling.",
		"If you meet timber, stop. Any cut or notch in it is for an engineer.",
		"This sheet is guidance. Local codes and a qualified person decide.",
	} {
		p.para("- ", c)
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
