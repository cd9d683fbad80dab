package room

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
)

// SurfaceDraft is a surface as somebody asks for it. A ceiling and a floor
// take the room's outline unless they are given one of their own. A wall is
// one of the room's, from 1, as high as the room. A slope rises from one of
// the room's walls at a pitch, for a length measured up the slope.
type SurfaceDraft struct {
	ID      id.Surface        `json:"id" format:"uuid" doc:"Yours to make, of version 7."`
	Name    string            `json:"name,omitzero" maxLength:"60" doc:"Left out: the kind; of a wall what its face is called on the ceiling, or the side that it lies on."`
	Kind    string            `json:"kind,omitzero" required:"true" enum:"ceiling,slope,wall,floor"` // ceiling, slope, wall, floor
	Outline []roomsheet.Point `json:"outline,omitzero" maxItems:"100" doc:"Left out: the room's, or that of the wall."`
	Wall    int               `json:"wall,omitzero" minimum:"1" doc:"wall, slope: which of the room's, from 1."`
	Pitch   float64           `json:"pitch,omitzero" doc:"slope: degrees from level."`
	Length  float64           `json:"length,omitzero" doc:"slope: up the slope."` // mm
	// Called is what each face round a ceiling or floor is called, "" for the
	// side that it lies on; none or one for each.
	Called []string `json:"called,omitzero"`
}

// Drawn makes a surface and the faces round it. place is where it stands among
// the room's. Faults: BadInput.
func (r *Room) Drawn(d SurfaceDraft, place int) (Surface, []Datum, error) {
	s := Surface{ID: id.OrNew(d.ID), Name: d.Name, Kind: d.Kind, Place: place, Outline: d.Outline}
	if s.Name == "" {
		s.Name = d.Kind
		if d.Kind == "wall" && len(d.Outline) == 0 && d.Wall >= 1 && d.Wall <= len(r.Outline) {
			s.Name = faces(r.Outline, nil)[d.Wall-1].Name
		} else if d.Wall > 0 {
			s.Name = fmt.Sprintf("%s %d", d.Kind, d.Wall)
		}
	}
	names := []string(nil)
	switch {
	case strings.TrimSpace(s.Name) == "" || utf8.RuneCountInString(s.Name) > longestName:
		return s, nil, badSurface("name", "it has no name, or one of more than 60 letters", "Call it ceiling, or west wall")
	case len(d.Outline) > 0:
	case d.Kind == "ceiling" || d.Kind == "floor":
		s.Outline = r.Outline
	case d.Wall < 1 || d.Wall > len(r.Outline):
		return s, nil, badSurface("wall", fmt.Sprintf("the room has no wall %d", d.Wall),
			fmt.Sprintf("Give 1 to %d", len(r.Outline)))
	case d.Kind == "wall":
		s.Outline = Rectangle(r.wallLength(d.Wall), r.Height)
		s.Wall, names = d.Wall, []string{"floor", "right side", "ceiling", "left side"}
	case d.Kind == "slope":
		if !(d.Pitch > 0 && d.Pitch < 80 && d.Length >= 1 && d.Length <= 100_000) {
			return s, nil, badSurface("pitch", "a slope needs a pitch and a length",
				"Give the pitch, over 0 and under 80 degrees, and the length up the slope in millimetres")
		}
		s.Pitch, s.Wall = d.Pitch, d.Wall
		s.Outline = Rectangle(r.wallLength(d.Wall), d.Length)
		names = []string{"low wall", "right side", "ridge", "left side"}
	}
	outline, err := CheckOutline(s.Outline)
	if err != nil {
		return s, nil, err
	}
	s.Outline = outline
	round := faces(outline, d.Called)
	for i := range round {
		if names != nil {
			round[i].Name = names[i]
		}
	}
	if d.Kind == "slope" && names != nil {
		round[0].Lean = d.Pitch // the inside angle at a low wall is 90 degrees and the pitch
	}
	for i := range round {
		round[i].ID, round[i].Surface = id.New[id.Datum](), s.ID
		round[i].Wall = r.FaceWall(&s, &round[i])
	}
	return s, round, nil
}

func (r *Room) wallLength(n int) float64 {
	a, b := r.Outline[n-1], r.Outline[n%len(r.Outline)]
	return math.Hypot(b[0]-a[0], b[1]-a[1])
}

// Rectangle is the outline of a rectangle with a corner at the origin, mm.
func Rectangle(w, h float64) []roomsheet.Point {
	return []roomsheet.Point{{0, 0}, {w, 0}, {w, h}, {0, h}}
}

func badSurface(path, wrong, mend string) error {
	return &fault.Error{Kind: fault.BadInput, Msg: "This surface cannot be added: " + wrong + ".",
		Fields: []fault.Field{{Path: path, Wrong: wrong, Mend: mend}}}
}
