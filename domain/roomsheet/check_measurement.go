package roomsheet

import (
	"fmt"
	"math"
)

// fieldsOf says which fields a measurement of each kind can have, beyond id,
// kind, value, sigma and by.
var fieldsOf = map[string]map[string]bool{
	"offset":    {"of": true, "from": true, "state": true, "surface_state": true},
	"span":      {"from": true, "state": true, "to": true, "to_state": true, "surface_state": true},
	"distance":  {"of": true, "to": true},
	"thickness": {"from": true, "state": true, "from_state": true},
}

func (c *checker) measurement(at, who string, m *Measurement) {
	if m.By != "" {
		c.oneOf(at+".by", "instrument (by)", who, m.By, "tape", "laser", "rule")
	}
	c.optional(at+".sigma", "the sigma of "+who, m.Sigma)
	if !c.oneOf(at+".kind", "kind", who, m.Kind, "offset", "span", "distance", "thickness") {
		c.length(at+".value", "the value of "+who, m.Value, -longestLength)
		return
	}
	none := "a " + m.Kind + " has none"
	if m.Kind == "offset" {
		none = "an offset has none"
	}
	for _, f := range []struct{ name, value string }{{"of", m.Of}, {"from", m.From}, {"state", m.State}, {"to", m.To},
		{"to_state", m.ToState}, {"from_state", m.FromState}, {"surface_state", m.SurfaceState}} {
		c.absent(f.value != "" && !fieldsOf[m.Kind][f.name], at, f.name, who, none)
	}
	low := 0.0
	switch m.Kind {
	case "offset":
		c.positionID(at+".of", "of", who, m.Of)
		if d := c.datumID(at+".from", "from", who, m.From); d == nil || d.Kind != "face" && d.Kind != "point" {
			low = -longestLength // a line has two sides
		}
		c.offset(at, who, m)
	case "span":
		c.span(at, who, m)
	case "distance":
		c.positionID(at+".of", "of", who, m.Of)
		if c.positionID(at+".to", "to", who, m.To) && m.Of == m.To {
			c.rule(at+".to", who+" goes from "+m.Of+" to itself", "Give the other position")
		}
	case "thickness":
		c.thickness(at, who, m)
	}
	c.length(at+".value", "the value of "+who, m.Value, low)
}

// offset checks the states of an offset.
func (c *checker) offset(at, who string, m *Measurement) {
	d := c.datums[m.From]
	if d == nil {
		return
	}
	if d.Kind != "face" {
		why := "it is from " + m.From + ", which no layer covers"
		c.absent(m.State != "", at, "state", who, why)
		c.absent(m.SurfaceState != "", at, "surface_state", who, why)
		return
	}
	c.state(at+".state", m.State, d.Layers, d.ID)
	c.state(at+".surface_state", m.SurfaceState, c.surface.Layers, c.who)
}

// span checks a span: two faces that look at each other, and their states.
func (c *checker) span(at, who string, m *Measurement) {
	a := c.face(at+".from", "from", who, m.From)
	b := c.face(at+".to", "to", who, m.To)
	if a != nil {
		c.state(at+".state", m.State, a.Layers, a.ID)
	}
	if b != nil {
		c.state(at+".to_state", m.ToState, b.Layers, b.ID)
	}
	c.state(at+".surface_state", m.SurfaceState, c.surface.Layers, c.who)
	switch {
	case a == nil || b == nil || a.Line == nil || b.Line == nil:
	case a == b:
		c.rule(at+".to", who+" goes from "+a.ID+" to itself", "Give the face on the other side")
	default:
		if skew := opposition(a.Line, b.Line); skew > widestSkew {
			c.rule(at+".to", fmt.Sprintf("%s joins %s and %s, which do not face each other: they are %.0f degrees off", who,
				a.ID, b.ID, skew),
				"Give two faces that look at each other within 5 degrees, or turn the line of one round so that the room is on "+
					"its left")
		}
	}
}

// opposition returns the angle in degrees between the inward normal of one line
// and the outward normal of the other: 0 if two faces look straight at each
// other, 180 where they look the same way. Never NaN: 0 for a line without
// length, which is a fault of its own.
func opposition(a, b *Line) float64 {
	au, av := a[1][0]-a[0][0], a[1][1]-a[0][1]
	bu, bv := b[0][0]-b[1][0], b[0][1]-b[1][1]
	angle := math.Abs(math.Atan2(au*bv-av*bu, au*bu+av*bv)) * 180 / math.Pi
	if math.IsNaN(angle) {
		return 0
	}
	return angle
}

// thickness checks the face and the two states of a thickness.
func (c *checker) thickness(at, who string, m *Measurement) {
	d := c.face(at+".from", "from", who, m.From)
	if d == nil {
		return
	}
	if len(d.Layers) == 0 {
		c.rule(at+".from", who+" is a thickness on "+d.ID+", which has no layers", "Give "+d.ID+" its layers, or take "+who+
			" out")
		return
	}
	outer := c.state(at+".state", m.State, d.Layers, d.ID)
	inner := c.state(at+".from_state", m.FromState, d.Layers, d.ID)
	if !outer || !inner {
		return
	}
	last := len(d.Layers)
	if m.State != "" {
		last = depth(m.State, d.Layers)
	}
	switch from := depth(m.FromState, d.Layers); {
	case from < last:
	case m.State == "":
		c.rule(at+".from_state", who+" starts at "+m.FromState+", and nothing goes on after that",
			"Give an earlier from_state")
	case m.State == Bare:
		c.rule(at+".state", who+" is a thickness up to bare, which is no thickness",
			"Give the outermost layer that was there")
	default:
		c.rule(at+".from_state", who+" starts at "+m.FromState+", which does not come before "+m.State,
			"Give a from_state that goes on before "+m.State)
	}
}

// positionID checks a name that has to be a position's.
func (c *checker) positionID(at, field, who, id string) bool {
	if c.positions[id] {
		return true
	}
	c.unknown(at, field, who, "position", id, refs(c.surface.Positions))
	return false
}

// datumID checks a name that has to be a datum's.
func (c *checker) datumID(at, field, who, id string) *Datum {
	if d := c.datums[id]; d != nil && id != "" {
		return d
	}
	c.unknown(at, field, who, "datum", id, refs(c.surface.Datums))
	return nil
}

// face checks a name that has to be a face's.
func (c *checker) face(at, field, who, id string) *Datum {
	d := c.datumID(at, field, who, id)
	if d != nil && d.Kind != "face" {
		if d.Kind == "line" || d.Kind == "point" {
			c.rule(at, who+" needs a face, and "+d.ID+" is a "+d.Kind, "Give a face")
		}
		return nil
	}
	return d
}

// unknown notes a name that no record has.
func (c *checker) unknown(at, field, who, noun, id string, ids []string) {
	if len(c.list) == mostFaults {
		c.more++
		return
	}
	switch near := nearest(id, ids); {
	case id == "":
		c.rule(at, who+" does not say which "+noun+" ("+field+")", "Give the id of a "+noun)
	case c.unread(noun):
	case len(ids) == 0:
		c.rule(at, "there is no "+noun+" called "+quote(id)+"; the surface has none", "Add the "+noun)
	case near != "":
		c.rule(at, "there is no "+noun+" called "+quote(id), "Is "+near+" meant? Give the "+noun+" that "+who+" is "+field)
	default:
		c.rule(at, "there is no "+noun+" called "+quote(id), "The "+noun+"s are "+listed(ids))
	}
}

// unread reports whether some record of this noun could not be read, and so may
// be the one that is meant.
func (c *checker) unread(noun string) bool {
	return c.loose[noun] || c.spoiledAt(c.at+"."+noun+"s")
}
