package setoutsheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lathmark/domain/advice"
	"lathmark/domain/words"
)

// surface prints one surface in today's state.
func (p *paper) surface(v *view) {
	p.heading("-", strings.ToUpper(v.Surface.Surface.ID)+", "+today(v.Surface.Surface.Now))
	if len(v.Surface.Surface.Positions) == 0 {
		p.line("Nothing to mark here.")
		p.line("")
		return
	}
	p.para("", "Offsets in mm to the middle of the hole, from the walls as they are today. ±: 19 times in 20 the tail "+
		"is that near.")
	p.line("")
	for _, i := range v.order() {
		p.position(v, i)
	}
	p.lines(v)
}

// indent of what is printed under a position's name.
const indent = "       "

// order returns the positions as they are printed: the one to cut first, then the
// others.
func (v *view) order() []int {
	out := make([]int, len(v.holes))
	for i := range out {
		out[i] = i
	}
	slices.SortStableFunc(out, func(a, b int) int { return turn(&v.holes[a]) - turn(&v.holes[b]) })
	return out
}

func turn(h *advice.Hole) int {
	if h.First {
		return 0
	}
	return 1
}

func (p *paper) position(v *view, i int) {
	at, h := &v.Surface.Surface.Positions[i], &v.holes[i]
	name := at.ID
	if at.Kind != at.ID {
		name = strings.TrimSpace(name + " " + at.Kind)
	}
	p.row("", name, h.Saw)
	defer p.line("")
	for n, m := range h.Marks {
		right := ""
		if n == 0 {
			right = words.PlusMinus(h.PlusMinus)
		}
		p.row(fmt.Sprintf("%6s ", words.MM(m.Value)), m.Says(), right)
	}
	for _, l := range h.Lines {
		says := l.Says
		if l.Grade == advice.Stop {
			says = "! " + says
		}
		p.para(indent, says)
	}
	if k, far := v.neighbour(i); k >= 0 && h.Open {
		p.para(indent, "Check: "+words.MM(far)+" to the middle of "+v.holes[k].Name+".")
	}
}

// neighbour returns the nearest other hole as it is to be opened, or -1 if
// there is none, and the distance between the two centres.
func (v *view) neighbour(i int) (int, float64) {
	best, least := -1, math.Inf(1)
	for k := range v.Answer.Positions {
		if k == i || v.Answer.Positions[k].Mark == nil || v.Answer.Positions[i].Mark == nil {
			continue
		}
		a, b := v.Hole(i), v.Hole(k)
		if far := math.Hypot(a.U-b.U, a.V-b.V); far < least {
			best, least = k, far
		}
	}
	return best, least
}

// lines prints the lines that several holes share.
func (p *paper) lines(v *view) {
	if len(v.Answer.Lines) == 0 {
		return
	}
	p.line("LINES TO SNAP")
	for i := range v.Answer.Lines {
		l := &v.Answer.Lines[i]
		m := v.Mark(l.Datum, l.Offset+l.Shift)
		p.para(fmt.Sprintf("%6s ", words.MM(m.Value)), m.Says()+": "+strings.Join(v.OnLine(l), " "))
		if says := advice.LineSays(l); says != "" {
			p.para(indent, says)
		}
	}
	p.line("")
}
