package roomsheet

import (
	"math"
	"slices"
)

// layers checks the build-up of the thing at a path.
func (c *checker) layers(at string, layers []Layer, who string) {
	each(c, at, "layer", layers, mostLayers, map[string]bool{}, func(at, name string, l *Layer) {
		name += " on " + who
		if l.ID == Bare {
			c.rule(at+".id", who+" has a layer called bare, which is the word for no layer at all",
				"Give the layer another name")
		}
		c.length(at+".thickness", "the thickness of "+name, l.Thickness, 0.01)
		c.optional(at+".sigma", "the sigma of "+name, l.Sigma)
		if l.Stage != "" {
			c.oneOf(at+".stage", "stage", name, l.Stage, "first fix", "boarding", "plaster", "second fix", "decoration")
		}
	})
}

// state checks the name of a state of something with these layers. An empty one
// is left to the caller.
func (c *checker) state(at, state string, layers []Layer, who string) bool {
	if state == "" || depth(state, layers) >= 0 {
		return true
	}
	mend := "Its states are " + listed(append([]string{Bare}, refs(layers)...))
	if len(layers) == 0 {
		mend = "It has no layers, so leave the state out, or give it the layers it will get"
	}
	c.rule(at, who+" has no state called "+quote(state), mend)
	return false
}

// depth returns how many layers are on in a state, or -1 if there is no such
// state. The empty state is bare.
func depth(state string, layers []Layer) int {
	if state == Bare || state == "" {
		return 0
	}
	if i := slices.IndexFunc(layers, func(l Layer) bool { return l.ID == state }); i >= 0 {
		return i + 1
	}
	return -1
}

func (c *checker) datum(at, who string, d *Datum) {
	if c.datums[d.ID] == nil {
		c.datums[d.ID] = d
	}
	if !c.oneOf(at+".kind", "kind", who, d.Kind, "face", "line", "point") {
		return
	}
	if d.Kind == "point" {
		c.absent(d.Line != nil, at, "line", who, "a point has no line")
		if d.Point == nil {
			c.rule(at+".point", who+" is a point and has no place", "Give its point as [u, v] in millimetres")
		} else {
			c.place(at+".point", "the point of "+who, *d.Point)
		}
	} else {
		c.absent(d.Point != nil, at, "point", who, "a "+d.Kind+" has a line, not a point")
		if d.Line == nil {
			c.rule(at+".line", who+" has no line", "Give its line as [[u, v], [u, v]] in millimetres")
		} else {
			c.line(at+".line", who, *d.Line)
		}
	}
	c.optional(at+".sigma", "the sigma of "+who, d.Sigma)
	c.wall(at, who, d.Wall, d.Kind == "face", "only a face has one")
	if d.Kind != "face" {
		why := "only a face is covered by layers"
		c.absent(len(d.Layers) > 0, at, "layers", who, why)
		c.absent(d.Now != "", at, "now", who, why)
		c.absent(d.Lean != 0, at, "lean", who, "only a face leans")
		return
	}
	c.layers(at, d.Layers, who)
	c.state(at+".now", d.Now, d.Layers, who)
	if !(math.Abs(d.Lean) < widestLean) {
		c.rule(at+".lean", who+" leans by "+mm(d.Lean)+" degrees; it has to be under 80 either way",
			"Give how far the inside angle is wider than 90 degrees")
	}
}

// place checks a place in the frame.
func (c *checker) place(at, what string, p Point) bool {
	u := c.length(at+item(0), what+" (u)", p[0], -longestLength)
	v := c.length(at+item(1), what+" (v)", p[1], -longestLength)
	return u && v
}

// line checks a line from one place to another.
func (c *checker) line(at, who string, l Line) {
	a := c.place(at+item(0), "the start of "+who, l[0])
	b := c.place(at+item(1), "the end of "+who, l[1])
	if a && b && l.length() < leastLength {
		c.rule(at, "the line of "+who+" has no length", "Give two ends that are apart")
	}
}

func (l *Line) length() float64 { return math.Hypot(l[1][0]-l[0][0], l[1][1]-l[0][1]) }

func (c *checker) timber(at, who string, t *Timber) {
	c.line(at+".line", who, t.Line)
	c.length(at+".width", "the width of "+who, t.Width, leastLength)
	c.optional(at+".sigma", "the sigma of "+who, t.Sigma)
}

func (c *checker) position(at, who string, p *Position) {
	if wrong := wrongName(p.Kind); p.Kind != "" && wrong != "" {
		c.rule(at+".kind", "the kind of "+who+" "+wrong, "Give it in a word or two: downlight, pendant, fan, socket")
	}
	if p.Cutout > widestCutout && p.Cutout <= longestLength {
		c.rule(at+".cutout", "the cut-out of "+who+" is "+mm(p.Cutout)+" mm; 1000 is the most",
			"Give the hole's diameter in millimetres")
	} else {
		c.optional(at+".cutout", "the cut-out of "+who, p.Cutout)
	}
	c.optional(at+".reach", "the reach of "+who, p.Reach)
	c.optional(at+".tail_sigma", "the tail_sigma of "+who, p.TailSigma)
}
