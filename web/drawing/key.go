package drawing

// keyRing is the radius of the ring round a number of the key.
const keyRing = 18.0

// keyLine is a number with what it stands for.
type keyLine struct {
	number string
	text   string
}

// numbered numbers the labels that found no room for their names, in order. It
// returns the lines of the key, and how many labels found no place at all.
func (s *sheet) numbered() (lines []keyLine, lost int) {
	n := 0
	for _, l := range s.labels {
		switch {
		case l.set == nil && l.key != "":
			lines = append(lines, keyLine{text: l.key})
		case l.set == nil:
			lost++
		case l.set.number:
			n++
			l.set.text = num(float64(n))
			lines = append(lines, keyLine{l.set.text, l.key})
		}
	}
	return lines, lost
}

// drawKey writes what the numbers stand for below the drawing, and how many
// figures are in the tables only.
func (s *sheet) drawKey() {
	lines, lost := s.numbered()
	if lost += s.lost; lost > 0 {
		lines = append(lines, keyLine{text: inTables(lost)})
	}
	x, y := rim, s.height
	for _, k := range lines {
		indent := 0.0
		if k.number != "" {
			indent = 2*keyRing + 8
		}
		said := cutTo("small", k.text, sheetWide-2*rim-indent)
		long := indent + widthOf("small", said, textTall)
		if x > rim && x+long > sheetWide-rim {
			x, y = rim, y+lineTall+8
		}
		if k.number != "" {
			s.ringAt(x+keyRing, y+keyRing, k.number)
		}
		s.out.text("small", place{x: x + indent, y: y + keyRing + (ascent-descent)/2, anchor: "start"}, said, "")
		x += long + 24
	}
	if len(lines) > 0 {
		s.height = y + 2*keyRing + rim
	}
}

func inTables(n int) string {
	if n == 1 {
		return "1 more figure is in the room's tables."
	}
	return num(float64(n)) + " more figures are in the room's tables."
}

// ringAt draws a number of the key about a place.
func (s *sheet) ringAt(x, y float64, number string) {
	s.out.circle("key", x, y, keyRing-1)
	s.out.text("small", place{x: x, y: y + (ascent-descent)/2, anchor: "middle"}, number, "")
}

// drawLabels writes the labels in their places, with the leaders under them.
func (s *sheet) drawLabels() {
	s.out.put(`<g class="labels">`)
	for _, l := range s.labels {
		if l.set != nil && l.set.leader {
			d, end := l.set.box.from(l.tip)
			from := spotXY{l.tip.x + (end.x-l.tip.x)*l.reach/d, l.tip.y + (end.y-l.tip.y)*l.reach/d}
			s.out.put(`<path class="leader" d="M%s %sL%s %s"/>`, num(from.x), num(from.y), num(end.x), num(end.y))
		}
	}
	for _, l := range s.labels {
		switch {
		case l.set == nil:
		case l.set.number:
			s.ringAt(l.set.x, (l.set.box.y0+l.set.box.y1)/2, l.set.text)
		default:
			s.out.text(l.class, l.set.place, l.set.text, l.set.more)
		}
	}
	s.out.put(`</g>`)
}
