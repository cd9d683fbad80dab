package roomsheet

import (
	"math"

	"lathmark/domain/geometry"
)

// AnswerFormat is the only value of an answer's format field.
const AnswerFormat = "lathmark-setout/1"

// Answer is the set-out of a room, as it goes out. Its lists follow the room's.
type Answer struct {
	Format   string          `json:"format"`
	Room     string          `json:"room"`
	Surfaces []SurfaceAnswer `json:"surfaces"`
	// Cautions are to be minded before any hole, the worst first; none where nobody was asked.
	Cautions []Caution `json:"cautions,omitempty"`
}

// Caution is guidance as people read it everywhere: what to mind, its source, and who decides.
type Caution struct {
	Code string   `json:"code"`
	Says string   `json:"says"`
	For  []string `json:"for,omitempty"` // the positions that it goes for; absent: all
}

// SurfaceAnswer is the set-out of one surface.
type SurfaceAnswer struct {
	ID           string              `json:"id"`
	Positions    []PositionAnswer    `json:"positions"`
	Layers       []LayerAnswer       `json:"layers"` // of the datums
	Measurements []MeasurementAnswer `json:"measurements"`
	Fit          Fit                 `json:"fit"`
}

// PositionAnswer is where a position is. If it is not determinate there is no
// Place, and Ambiguous holds the two places that fit if two do.
type PositionAnswer struct {
	ID          string  `json:"id"`
	Determinate bool    `json:"determinate"`
	Ambiguous   []Point `json:"ambiguous,omitempty"`
	*Place
	// Advice is what is said of its hole; nil where nobody was asked.
	Advice *Advice `json:"advice,omitempty"`
}

// Advice is what is said of one hole, as people read it everywhere.
type Advice struct {
	MayCut bool     `json:"may_cut"`
	First  bool     `json:"first,omitempty"` // to be cut before its trade's others
	Says   []string `json:"says"`            // the worst first
}

// Place is everything known of a determinate position.
type Place struct {
	// Checked: a second measurement would show an error in any of the
	// position's own.
	Checked bool          `json:"checked"`
	U       float64       `json:"u"` // mm
	V       float64       `json:"v"` // mm
	Cov     [2][2]float64 `json:"cov"`
	SetOut  []Offset      `json:"setout"`
	// Mark, Timbers and Find are left out where no two datums cross well
	// enough to mark from; Timbers also where the position has no cut-out.
	Mark    *Mark          `json:"mark,omitempty"`
	Timbers []TimberAnswer `json:"timbers,omitzero"`
	Find    *float64       `json:"find,omitempty"` // chance that the tail is within reach
}

// Offset is the offset to mark today from one datum, in today's state.
type Offset struct {
	From  string  `json:"from"`
	State string  `json:"state,omitempty"` // of a face
	Value float64 `json:"value"`           // mm
	Sigma float64 `json:"sigma"`           // mm
}

// Mark is the pair of datums to mark from.
type Mark struct {
	From    [2]string     `json:"from"`
	Cov     [2][2]float64 `json:"cov"` // of tail less hole, mm²
	Ellipse Ellipse       `json:"ellipse95"`
}

// Ellipse is a 95 % ellipse: semi-axes in mm, angle of A from u in degrees.
type Ellipse struct {
	A     float64 `json:"a"`
	B     float64 `json:"b"`
	Angle float64 `json:"angle"`
}

// TimberAnswer is how a position's hole lies relative to one timber.
type TimberAnswer struct {
	ID  string  `json:"id"`
	Gap float64 `json:"gap"` // mm between the edges, negative where they overlap
	Hit float64 `json:"hit"` // chance of cutting it
	// Move is the smallest move of the hole, mm, that keeps it clear of every
	// timber; zero if it is clear as it is, null if no move within half the
	// joist spacing clears.
	Move *Point `json:"move"`
}

// LayerAnswer is a layer of a datum's build-up after the adjustment.
type LayerAnswer struct {
	Datum     string  `json:"datum"`
	Layer     string  `json:"layer"`
	Thickness float64 `json:"thickness"` // mm
	Sigma     float64 `json:"sigma"`     // mm
}

// MeasurementAnswer is how one measurement fits. If it takes no part, for
// either reason, there is no Fitted.
type MeasurementAnswer struct {
	ID         string `json:"id"`
	Unrecorded bool   `json:"unrecorded,omitempty"` // nobody wrote down its datum's state
	Unused     bool   `json:"unused,omitempty"`     // its position is not determinate
	*Fitted
}

// Fitted is how a measurement that takes part fits.
type Fitted struct {
	Residual   float64  `json:"residual"`   // mm, adjusted less measured
	Redundancy float64  `json:"redundancy"` // 0 to 1
	W          float64  `json:"w"`
	MDB        *float64 `json:"mdb"` // mm; null if no error would show
	Suspect    bool     `json:"suspect"`
	ReadsAs    string   `json:"reads_as"` // the state it would fit, or empty
}

// Fit is the adjustment of a surface as a whole.
type Fit struct {
	Sum float64 `json:"sum"`
	DOF int     `json:"dof"`
	P   float64 `json:"p"`
}

// Outgoing returns the surface's answer as it goes out.
func (s *Solved) Outgoing() SurfaceAnswer {
	out := SurfaceAnswer{
		ID:           s.Surface.ID,
		Positions:    make([]PositionAnswer, len(s.Answer.Positions)),
		Layers:       []LayerAnswer{},
		Measurements: make([]MeasurementAnswer, len(s.Answer.Measurements)),
		Fit:          Fit{plain(s.Answer.Fit.Sum), s.Answer.Fit.DOF, plain(s.Answer.Fit.P)},
	}
	for i := range out.Positions {
		out.Positions[i] = s.position(i)
	}
	for i, layers := range s.Answer.Layers {
		d := &s.Surface.Datums[i]
		for k, l := range layers {
			out.Layers = append(out.Layers, LayerAnswer{d.ID, d.Layers[k].ID, plain(l.Thickness), plain(l.Sigma)})
		}
	}
	for i := range out.Measurements {
		out.Measurements[i] = s.measurement(i)
	}
	return out
}

func (s *Solved) position(i int) PositionAnswer {
	a := &s.Answer.Positions[i]
	out := PositionAnswer{ID: s.Surface.Positions[i].ID, Determinate: a.Determinate}
	if !a.Determinate {
		for _, v := range a.Ambiguous {
			out.Ambiguous = append(out.Ambiguous, point(v))
		}
		return out
	}
	out.Place = &Place{Checked: a.Checked, U: plain(a.At.U), V: plain(a.At.V), Cov: matrix(a.Cov), SetOut: []Offset{}}
	for k, o := range a.SetOut {
		d := &s.Surface.Datums[k]
		out.SetOut = append(out.SetOut, Offset{d.ID, d.today(), plain(o.Value), plain(o.Sigma)})
	}
	if a.Mark == nil {
		return out
	}
	out.Mark = &Mark{
		From:    [2]string{s.Surface.Datums[a.Mark.From[0]].ID, s.Surface.Datums[a.Mark.From[1]].ID},
		Cov:     matrix(a.Mark.Cov),
		Ellipse: Ellipse{plain(a.Mark.Ellipse.A), plain(a.Mark.Ellipse.B), plain(a.Mark.Ellipse.Angle)},
	}
	find := plain(a.Find)
	out.Find = &find
	if s.Surface.Positions[i].Cutout > 0 {
		out.Timbers = s.timbers(a)
	}
	return out
}

func (s *Solved) timbers(a *geometry.PositionAnswer) []TimberAnswer {
	out := make([]TimberAnswer, len(a.Timbers))
	for k, t := range a.Timbers {
		out[k] = TimberAnswer{ID: s.Surface.Timbers[k].ID, Gap: plain(t.Gap), Hit: plain(t.Hit)}
		if t.Hit <= geometry.HitLimit {
			out[k].Move = &Point{}
		} else if a.Clears {
			p := point(a.Move)
			out[k].Move = &p
		}
	}
	return out
}

func (s *Solved) measurement(i int) MeasurementAnswer {
	a, m := &s.Answer.Measurements[i], &s.Surface.Measurements[i]
	out := MeasurementAnswer{ID: m.ID, Unrecorded: a.Unrecorded, Unused: a.Unused && !a.Unrecorded}
	if a.Unrecorded || a.Unused {
		return out
	}
	out.Fitted = &Fitted{Residual: plain(a.Residual), Redundancy: plain(a.Redundancy), W: plain(a.W),
		Suspect: a.Suspect, ReadsAs: s.ReadsAs(i)}
	if mdb := a.MDB; !math.IsInf(mdb, 0) && !math.IsNaN(mdb) {
		out.MDB = &mdb
	}
	return out
}

// ReadsAs returns the name of the state that a measurement would fit, if it is
// suspect and there is one.
func (s *Solved) ReadsAs(i int) string {
	a := &s.Answer.Measurements[i]
	if a.ReadsAs < 0 || !a.Suspect {
		return ""
	}
	return s.Surface.Datums[s.Geometry.Measurements[i].From].state(a.ReadsAs)
}

// state returns the name of the state of a face with n layers on.
func (d *Datum) state(n int) string {
	if n == 0 {
		return Bare
	}
	return d.Layers[n-1].ID
}

// today returns the state of a face today; "" for what no layer covers.
func (d *Datum) today() string {
	if d.Kind != "face" {
		return ""
	}
	return d.state(depth(d.Now, d.Layers))
}

func point(v geometry.Vec) Point { return Point{plain(v.U), plain(v.V)} }

func matrix(c geometry.Cov) [2][2]float64 {
	return [2][2]float64{{plain(c.UU), plain(c.UV)}, {plain(c.UV), plain(c.VV)}}
}

// plain returns x without the sign of a zero, which means nothing and would
// change the bytes that go out.
func plain(x float64) float64 {
	if x == 0 {
		return 0
	}
	return x
}
