package setoutsheet

import (
	"fmt"
	"math"
	"strings"

	"lathmark/domain/geometry"
	"lathmark/domain/words"
)

// surface prints one surface in today's state.
func (p *paper) surface(v *view) {
	p.heading("-", strings.ToUpper(v.Surface.ID)+", "+today(v.Surface.Now))
	if len(v.Surface.Positions) == 0 {
		p.line("Nothing to mark here.")
		p.line("")
		return
	}
	p.para("", "Offsets in mm to the middle of the hole, from the walls as they are today. ±: 19 tails in 20 are that "+
		"near.")
	if len(v.Surface.Timbers) == 0 {
		p.para("", "No timber is recorded here. Feel for timber before each hole.")
	}
	p.line("")
	p.first(v)
	for i := range v.Surface.Positions {
		p.position(v, i)
	}
	p.lines(v)
}

// first prints which hole to open first.
func (p *paper) first(v *view) {
	if v.Answer.First < 0 {
		return
	}
	marked := 0
	for i := range v.Answer.Positions {
		if v.Answer.Positions[i].Mark != nil {
			marked++
		}
	}
	why := "Its tail, once found, tells most about where the others are. Measure it from the walls as they are now, " +
		"then ask for this sheet again."
	if marked == 1 {
		why = "It is the only one that can be marked."
	}
	id := v.Surface.Positions[v.Answer.First].ID
	if bad := v.doubt[id]; len(bad) > 0 {
		why += " But put " + words.List(bad) + " right before."
	}
	p.para("", "OPEN "+id+" FIRST. "+why)
	p.line("")
}

// indent of what is printed under a position's name.
const indent = "       "

func (p *paper) position(v *view, i int) {
	at, a := &v.Surface.Positions[i], &v.Answer.Positions[i]
	size := "hole not given"
	if at.Cutout > 0 {
		size = "hole " + words.MM(at.Cutout)
	}
	name := at.ID
	if at.Kind != at.ID {
		name = strings.TrimSpace(name + " " + at.Kind)
	}
	p.row("", name, size)
	defer p.line("")
	switch {
	case !a.Determinate:
		p.para(indent, "no place yet, see READ FIRST")
		return
	case a.Mark == nil:
		p.para(indent, "nothing crosses well enough to mark from; it is")
		for k := range a.SetOut {
			p.offset(v, k, a.SetOut[k].Value, a.SetOut[k].Sigma)
		}
		return
	}
	for n, k := range a.Mark.From {
		p.offset(v, k, a.Plan.Offsets[n], a.SetOut[k].Sigma)
	}
	bad := v.doubt[at.ID]
	if len(bad) > 0 {
		p.para(indent, "NOT SURE until "+words.List(bad)+" is put right. Do not open yet")
	} else if !a.Checked {
		p.para(indent, "not checked: a slip would not show")
	}
	if at.Cutout > 0 {
		p.timber(v, i)
	}
	if k, far := v.neighbour(i); k >= 0 {
		p.para(indent, "check: "+words.MM(far)+" to the middle of "+v.Surface.Positions[k].ID)
	}
	if len(bad) == 0 { // the odds assume that the readings are right
		p.para(indent, missing(a.Plan.Find))
	}
}

// offset prints one offset to mark.
func (p *paper) offset(v *view, k int, value, sigma float64) {
	p.row(fmt.Sprintf("%6s ", words.MM(math.Abs(value))), v.from(k, value), plusMinus(sigma))
}

// from names a datum, its state today and, if it has two sides, the side.
func (v *view) from(k int, value float64) string {
	d := &v.Surface.Datums[k]
	switch d.Kind {
	case "face":
		return "from " + d.ID + ", " + today(d.Now)
	case "line":
		return "from " + d.ID + v.side(k, value)
	}
	return "from " + d.ID
}

// side names the side of a line on which an offset lies, by the face there.
func (v *view) side(k int, value float64) string {
	n := normal(&v.Geometry.Datums[k])
	best, most := -1, 0.7 // a face that runs more or less along the line
	for f := range v.Geometry.Datums {
		d := &v.Geometry.Datums[f]
		if d.Kind != geometry.Face {
			continue
		}
		if along := -dot(normal(d), n) * math.Copysign(1, value); along > most {
			best, most = f, along
		}
	}
	switch {
	case best >= 0:
		return " towards " + v.Surface.Datums[best].ID
	case value < 0:
		return ", on its right"
	}
	return ", on its left"
}

// neighbour returns the nearest other hole as it is to be opened, or -1 if
// there is none, and the distance between the two centres.
func (v *view) neighbour(i int) (int, float64) {
	best, least := -1, math.Inf(1)
	for k := range v.Answer.Positions {
		if k == i || v.Answer.Positions[k].Mark == nil {
			continue
		}
		a, b := v.hole(i), v.hole(k)
		if far := math.Hypot(a.U-b.U, a.V-b.V); far < least {
			best, least = k, far
		}
	}
	return best, least
}

// hole returns where the centre of a hole is to be, in the frame.
func (v *view) hole(i int) geometry.Vec {
	a := &v.Answer.Positions[i]
	return geometry.Vec{U: a.At.U + a.Plan.Move.U, V: a.At.V + a.Plan.Move.V}
}

// holes names the positions of a line.
func (v *view) holes(l *geometry.SetOutLine) string {
	var ids []string
	for _, k := range l.Positions {
		ids = append(ids, v.Surface.Positions[k].ID)
	}
	return strings.Join(ids, " ")
}

// lines prints the lines that several holes share.
func (p *paper) lines(v *view) {
	if len(v.Answer.Lines) == 0 {
		return
	}
	p.line("SET-OUT LINES")
	for i := range v.Answer.Lines {
		l := &v.Answer.Lines[i]
		value := l.Offset + l.Shift
		p.para(fmt.Sprintf("%6s ", words.MM(math.Abs(value))), v.from(l.Datum, value)+": "+v.holes(l))
		if l.Shift != 0 {
			p.para(indent, "moved "+v.step(l.Datum, l.Offset, l.Shift)+" to clear timber")
		} else if !l.Clears {
			p.para(indent, "cannot clear timber as a line: mark each hole by its own offsets")
		}
	}
	p.line("")
}
