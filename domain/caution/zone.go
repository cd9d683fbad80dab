package caution

import (
	"fmt"
	"math"
)

// Figures of the zones round a bath or shower.
//
// BS 7671, 701.32 (also IEC 60364-7-701), read on pages that repeat it; see
// testdata/worked.csv. Nobody was found to repeat WetRoomDepth.
const (
	// ZoneTop: zones 1 and 2 end here, or at the highest fixed head or outlet
	// where that is higher. mm above the finished floor.
	ZoneTop = 2250.0
	// ZoneTwo is how far zone 2 goes beyond zone 1, mm in plan.
	ZoneTwo = 600.0
	// WetRoomReach is zone 1 of a shower without a tray: from the centre of the
	// fixed outlet, mm in plan. A page of the 16th edition has 600: that is
	// superseded.
	WetRoomReach = 1200.0
	// WetRoomDepth is the height of zone 0 of a shower without a tray, mm.
	WetRoomDepth = 100.0
	// SocketClear is how far 230 V sockets keep from the edge of zone 1, mm:
	// BS 7671, 701.512.3, 17th and 18th edition. The caution is about any socket
	// within it, since it is the wider one.
	SocketClear = 3000.0
	// SocketClear2022 is the same since BS 7671:2018+A2:2022, read in the
	// amendment's draft, as its readers quote it.
	SocketClear2022 = 2500.0
)

var (
	zoneSource   = Source{Document: "BS 7671:2018+A2:2022", Clause: "701.32"}
	ipSource     = Source{Document: "BS 7671:2018+A2:2022", Clause: "701.512.2"}
	socketSource = Source{Document: "BS 7671:2018+A2:2022", Clause: "701.512.3"}
)

// Point is a place in the room's plan, mm.
type Point struct{ X, Y float64 }

// Basin is a bath or a shower.
type Basin struct {
	Name string // "bath"
	// Outline of the bath or tray in plan, three corners or more, in order
	// either way round; nil for a shower without a tray.
	Outline []Point
	// Outlet is the centre of the fixed outlet; it counts only without an
	// Outline.
	Outlet Point
	// Rim is the height of the basin's rim above the finished floor: below it
	// is zone 0. It counts only with an Outline.
	Rim float64
	// Head is the height of the highest fixed shower head or outlet; 0 if there
	// is none above ZoneTop.
	Head float64
}

// Zone is where a position lies relative to a bath or shower.
type Zone int

// The zones, wettest first.
const (
	Zone0   Zone = 0
	Zone1   Zone = 1
	Zone2   Zone = 2
	Outside Zone = 3
)

// String returns "zone 1" or "outside the zones".
func (z Zone) String() string {
	if z == Outside {
		return "outside the zones"
	}
	return fmt.Sprintf("zone %d", int(z))
}

// Protection returns the protection against water that a zone demands: IPX7 in
// zone 0, IPX4 in 1 and 2, IPX5 there where water jets are used; empty outside.
// BS 7671, 701.512.2.
func (z Zone) Protection(jets bool) string {
	switch {
	case z == Zone0:
		return "IPX7"
	case z == Outside:
		return ""
	case jets:
		return "IPX5"
	}
	return "IPX4"
}

// Zoned is a position with its zone.
type Zoned struct {
	Zone Zone
	// Distance in plan from the edge of zone 1, mm; 0 inside it, +Inf if there
	// is no bath or shower.
	Distance float64
	// Basin is the index of the one that decides; -1 if there is none.
	Basin int
}

// Wetter reports whether z asks for more than o: a wetter zone, or the same nearer to zone 1.
func (z Zoned) Wetter(o Zoned) bool {
	return z.Zone < o.Zone || z.Zone == o.Zone && z.Distance < o.Distance
}

// ZoneAt returns the zone of a place in plan at a height above the finished
// floor: the wettest over all basins, and among equals the nearest. Edges
// belong to the wetter zone.
//
// Walls, doors, fixed partitions and ceilings may end a zone; that is left
// out, so the answer is never drier than the rule's, and the caution says so.
// The space below a bath is given as zone 1, also where a panel closes it.
func ZoneAt(basins []Basin, at Point, height float64) Zoned {
	out := Zoned{Zone: Outside, Distance: math.Inf(1), Basin: -1}
	for i, b := range basins {
		z, d := b.zone(at, height)
		if is := (Zoned{Zone: z, Distance: d, Basin: i}); is.Wetter(out) {
			out = is
		}
	}
	return out
}

func (b Basin) zone(at Point, height float64) (Zone, float64) {
	tray := len(b.Outline) > 0
	depth, d := b.Rim, 0.0
	if tray {
		d = distanceToOutline(b.Outline, at)
	} else {
		depth = WetRoomDepth
		d = math.Max(0, math.Hypot(at.X-b.Outlet.X, at.Y-b.Outlet.Y)-WetRoomReach)
	}
	switch {
	case d == 0 && height <= depth:
		return Zone0, d
	case height > math.Max(ZoneTop, b.Head):
		return Outside, d
	case d == 0:
		return Zone1, d
	case tray && d <= ZoneTwo:
		return Zone2, d
	}
	return Outside, d
}

// Cautions returns what a position's zone demands at a height above the finished floor; nil where nothing is asked
// of it: outside the zones, and not straight above zone 1. socket says that the position is a 230 V socket.
func (z Zoned) Cautions(name string, height float64, socket bool) (out []Caution) {
	if z.Basin < 0 {
		return nil
	}
	tooNear := socket && z.Distance < SocketClear
	if z.Zone != Outside || z.Distance == 0 || tooNear {
		out = append(out, Caution{"zone", fmt.Sprintf("%s, %.0f mm above the finished floor, is %s.", name,
			math.Max(0, height), z.place()), zoneSource})
	}
	if z.Zone != Outside {
		out = append(out, Caution{"zone_protection",
			fmt.Sprintf("In %s what is fitted must be %s or better, %s where water jets are used.",
				z.Zone, z.Zone.Protection(false), z.Zone.Protection(true)), ipSource})
	}
	if tooNear {
		out = append(out, Caution{"zone_socket",
			fmt.Sprintf("No 230 V socket within %.0f mm of the edge of zone 1 (%.0f mm before the 2022 amendment). Use the "+
				"edition you work to.", SocketClear2022, SocketClear), socketSource})
	}
	return out
}

// place returns where the position is, as the caution words it.
func (z Zoned) place() string {
	switch {
	case z.Zone == Outside && z.Distance == 0:
		return fmt.Sprintf("above zone 1, which ends at %.0f mm, or at the highest fixed shower head where that is higher",
			ZoneTop)
	case z.Zone < Zone2:
		return "in " + z.Zone.String()
	}
	in := ""
	if z.Zone == Zone2 {
		in = "in "
	}
	return fmt.Sprintf("%s%s, %.0f mm from the edge of zone 1; a wall or a fixed partition between may end the zone", in,
		z.Zone, z.Distance)
}

// distanceToOutline returns p's distance from the outline, 0 inside or on it.
func distanceToOutline(outline []Point, p Point) float64 {
	inside, nearest := false, math.Inf(1)
	for i, b := range outline {
		a := outline[(i+len(outline)-1)%len(outline)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			inside = !inside
		}
		nearest = math.Min(nearest, distanceToLine(a, b, p))
	}
	if inside || nearest < edge {
		return 0
	}
	return nearest
}

// edge is how near to a line counts as on it: far below what can be measured,
// far above what rounding does to a place in a room.
const edge = 1e-6

func distanceToLine(a, b, p Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	t := 0.0
	if n := dx*dx + dy*dy; n > 0 {
		t = math.Max(0, math.Min(1, ((p.X-a.X)*dx+(p.Y-a.Y)*dy)/n))
	}
	return math.Hypot(p.X-a.X-t*dx, p.Y-a.Y-t*dy)
}
