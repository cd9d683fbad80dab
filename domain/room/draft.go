package room

import (
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
	"slices"
	"strings"
)

// Draft is a room as somebody asks for it.
type Draft struct {
	ID      id.Room           `json:"id" format:"uuid" doc:"Yours to make, of version 7."`
	Job     id.Job            `json:"-"`
	Name    string            `json:"name" minLength:"1" maxLength:"120"`
	Place   int               `json:"place,omitempty" minimum:"0" maximum:"10000" doc:"Where one comes to it, walking through the house."`
	Use     words.Use         `json:"use,omitempty" enum:"bathroom,shower_room,wc,kitchen,utility,bedroom,living_room,hall,other" doc:"What it is used for; not said where it is left out."`
	Outline []roomsheet.Point `json:"outline,omitempty" maxItems:"100" doc:"The corners in order; or"`
	Walls   []Wall            `json:"walls,omitempty" maxItems:"100" doc:"the walls in order, with the room on the left."`
	// Called is what each wall is called, "" for the side that it lies on; none
	// or one for each.
	Called   []string       `json:"-"`
	Height   float64        `json:"height" exclusiveMinimum:"0"` // mm
	Wet      []Wet          `json:"wet,omitempty" maxItems:"20" doc:"Baths and showers."`
	Surfaces []SurfaceDraft `json:"surfaces,omitempty" maxItems:"50"`
}

// Room checks a draft and returns the room that it asks for. Faults: BadInput.
func (d *Draft) Room() (Room, error) {
	r := Room{ID: id.OrNew(d.ID), Job: d.Job, Name: strings.TrimSpace(d.Name), Place: d.Place, Use: d.Use,
		Outline: d.Outline, Height: d.Height, Wet: d.Wet}
	if err := checkName(r.Name); err != nil {
		return r, err
	}
	if !r.Use.Known() {
		return r, &fault.Error{Kind: fault.BadInput, Msg: "This room cannot be added.",
			Fields: []fault.Field{{Path: "use", Wrong: "there is no such use of a room", Mend: "Choose one of those offered"}}}
	}
	var err error
	if len(d.Walls) > 0 {
		if r.Outline, err = Corners(d.Walls); err != nil {
			return r, err
		}
	}
	if len(d.Called) > 0 && len(d.Called) != len(r.Outline) {
		return r, badOutline("called", "there are not as many names as walls", "Give one for each wall, or none")
	}
	if len(r.Outline) > 0 && area(r.Outline) < 0 { // it will be turned, and its walls with it
		for i, k := 1, len(d.Called)-1; i < k; i, k = i+1, k-1 {
			d.Called[i], d.Called[k] = d.Called[k], d.Called[i]
		}
	}
	if r.Outline, err = CheckOutline(r.Outline); err != nil {
		return r, err
	}
	if !(r.Height >= 1 && r.Height <= 100_000) {
		return r, &fault.Error{Kind: fault.BadInput, Msg: "This room cannot be added.",
			Fields: []fault.Field{{Path: "height", Wrong: "the room has no height",
				Mend: "Give it floor to ceiling in millimetres"}}}
	}
	if r.Wet == nil {
		r.Wet = []Wet{}
	}
	for i, w := range r.Wet {
		if w.Kind != "bath" && w.Kind != "shower" {
			return r, &fault.Error{Kind: fault.BadInput, Msg: "This room cannot be added.",
				Fields: []fault.Field{{Path: "wet", Wrong: "it is neither bath nor shower", Mend: "Give bath or shower"}}}
		}
		if r.Wet[i].Outline, err = CheckOutline(w.Outline); err != nil {
			return r, err
		}
	}
	return r, nil
}

// Change is what may change of a room: what is nil stays.
type Change struct {
	Name    *string           `json:"name,omitzero" nullable:"false" minLength:"1" maxLength:"120"`
	Place   *int              `json:"place,omitzero" nullable:"false" minimum:"0" maximum:"10000"`
	Use     *words.Use        `json:"use,omitzero" nullable:"false" enum:"bathroom,shower_room,wc,kitchen,utility,bedroom,living_room,hall,other"`
	Outline []roomsheet.Point `json:"outline,omitzero" maxItems:"100"`
	Height  *float64          `json:"height,omitzero" nullable:"false" exclusiveMinimum:"0"`
	Wet     []Wet             `json:"wet,omitzero" maxItems:"20"`
}

// Same reports whether two rooms are the same in all that ChangeRoom changes.
func (r *Room) Same(o Room) bool {
	return r.Name == o.Name && r.Place == o.Place && r.Use == o.Use && r.Height == o.Height && slices.Equal(r.Outline,
		o.Outline) &&
		slices.EqualFunc(r.Wet, o.Wet, func(a, b Wet) bool { return a.Kind == b.Kind && slices.Equal(a.Outline, b.Outline) })
}

// checkName returns the fault of a room's name that is none, or nil.
func checkName(name string) error {
	if name != "" && words.Characters(name) <= 60 && !strings.ContainsAny(name, "\r\n") {
		return nil
	}
	return &fault.Error{Kind: fault.BadInput, Msg: "The room cannot be called that.",
		Fields: []fault.Field{{Path: "name", Wrong: "the name is missing or too long",
			Mend: "Call it as you do on site, in up to 60 characters"}}}
}
