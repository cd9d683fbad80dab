package web

// WaysView holds the cable runs through the timbers of a surface, with what
// may be cut and where. Fields of its form: way_name, way_kind ("hole" or
// "notch"), way_from, way_to, way_size, way_height.
type WaysView struct {
	Rows   []WayRow
	Limits []LimitRow // of the timbers whose depth is known
	// Cautions are shown next to the act of cutting, whatever is cut.
	Cautions []Caution
}

// WayRow is one way.
type WayRow struct {
	ID, Name  string
	Run       string // "from 900, 0 to 900, 2000"
	Cut       string // "hole of 20, its centre 97 above the bottom"
	Crossings []CrossingRow
	Cautions  []Caution // of its run as such
}

// CrossingRow is where a way crosses timbers: those that it crosses at the same
// place along them and with the same remarks.
type CrossingRow struct {
	Timbers  string // "J1, J2"
	Where    string // "1200 from the nearer end, 33 % of the length"
	Says     string // the remark if there is no caution; "" for none
	Cautions []Caution
}

// LimitRow is what one published rule allows in timbers of one size. Places are
// from the nearer end.
type LimitRow struct {
	Timbers, Size, Rule string
	Hole, HoleWhere     string // "48", "900 to 1440"
	Notch, NotchWhere   string
}
