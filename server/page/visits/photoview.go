package visits

import (
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/web"
)

// photosView is every photo of the room: by surface, then those of stages.
func (s *scene) photosView() web.PhotosView {
	var v web.PhotosView
	r := s.J.Record
	for _, on := range r.Surfaces {
		if rows := s.Photos(on.ID, nil); len(rows) > 0 {
			v.Groups = append(v.Groups, web.PhotoGroup{Name: words.Capital(on.Name), Rows: rows})
		}
	}
	for _, of := range []struct {
		name string
		snag bool
	}{{"Of snags", true}, {"Of a stage as a whole", false}} {
		rows := s.Photos(id.Surface{}, func(p *room.Photo) bool { return p.Snag.IsZero() != of.snag })
		if len(rows) > 0 {
			v.Groups = append(v.Groups, web.PhotoGroup{Name: of.name, Rows: rows})
		}
	}
	if s.mayTake() {
		v.Field = s.photoField("", "", s.shown())
		s.Say("Choose what the photo shows, take it, and save it.")
	} else {
		s.Say("Every stage is signed off: the photos stay as they are.")
	}
	v.Sheet = s.Sheet
	return v
}

// mayTake reports whether a photo can be put on record now.
func (s *scene) mayTake() bool {
	_, unfinished := s.J.Record.InHand()
	return unfinished
}

// photoField is the form for a photo of one thing, or of one of some choices.
func (s *scene) photoField(on, of string, choices []web.Option) *web.PhotoField {
	return &web.PhotoField{Action: s.At.Photos(), Token: s.Sheet.Token, On: on, Of: of, Choices: choices}
}

// What a photo can show, as options: see readOn.
func (s *scene) shown() (out []web.Option) {
	out = s.surfacesShown()
	for i := range s.J.Record.Positions {
		if q := &s.J.Record.Positions[i]; q.OmittedAt.IsZero() {
			out = append(out, web.Option{Value: "position/" + q.ID.String(), Label: q.Name})
		}
	}
	out = append(out, s.datumsShown()...)
	if of, unfinished := s.J.Record.InHand(); unfinished {
		out = append(out, web.Option{Value: "stage/" + of.Code(), Label: words.Capital(of.String()) + " as a whole"})
	}
	return out
}

func (s *scene) surfacesShown() (out []web.Option) {
	for _, on := range s.J.Record.Surfaces {
		out = append(out, web.Option{Value: "surface/" + on.ID.String(), Label: words.Capital(on.Name)})
	}
	return out
}

func (s *scene) datumsShown() (out []web.Option) {
	for i := range s.J.Record.Datums {
		d := &s.J.Record.Datums[i]
		out = append(out, web.Option{Value: "datum/" + d.ID.String(),
			Label: words.Capital(d.Called()) + ", " + words.Lower(s.SurfaceName(d.Surface))})
	}
	return out
}

// photosOfSurfaces is the tails page's part: what the boards will hide.
func (s *scene) photosOfSurfaces(may bool) web.PhotoPart {
	part := web.PhotoPart{Title: "Photos of the open surfaces",
		Empty: "None yet. A photo before the boards go up settles what the tape cannot."}
	for _, on := range s.J.Record.Surfaces {
		part.Rows = append(part.Rows, s.Photos(on.ID, func(p *room.Photo) bool { return p.Stage <= words.Boarding })...)
	}
	if may {
		part.Field = s.photoField("", "", s.surfacesShown())
	}
	return part
}

// photosOfPosition is the part of a page about one position.
func (s *scene) photosOfPosition(q *room.Position) web.PhotoPart {
	part := web.PhotoPart{Title: "Photos of " + q.Name,
		Empty: "None yet. One of what was behind the hole helps whoever opens the next.",
		Rows:  s.Photos(q.Surface, func(p *room.Photo) bool { return p.Position == q.ID })}
	if s.mayTake() {
		part.Field = s.photoField("position/"+q.ID.String(), q.Name, nil)
	}
	return part
}

// photosOfFaces is the part of a page about build-ups as put on.
func (s *scene) photosOfFaces() web.PhotoPart {
	part := web.PhotoPart{Title: "Photos of faces",
		Empty: "None yet. A rule held against the edge of a board says more than its figure."}
	for _, on := range s.J.Record.Surfaces {
		part.Rows = append(part.Rows, s.Photos(on.ID, func(p *room.Photo) bool { return !p.Datum.IsZero() })...)
	}
	if s.mayTake() && len(s.J.Record.Datums) > 0 {
		part.Field = s.photoField("", "", s.datumsShown())
	}
	return part
}

// photosOfSnag is the part of the snags' page about one that may still be shown.
func (s *scene) photosOfSnag(n *room.Snag) web.PhotoPart {
	part := web.PhotoPart{Rows: s.Photos(id.Surface{}, func(p *room.Photo) bool { return p.Snag == n.ID })}
	if n.Open() && s.mayTake() {
		part.Field = s.photoField("snag/"+n.ID.String(), words.NoStop(n.Says), nil)
	}
	return part
}

// photosOfStage is the part of a page about a stage.
func (s *scene) photosOfStage(of words.Stage) web.PhotoPart {
	part := web.PhotoPart{Title: "Photos of " + of.String(), Empty: "None yet.",
		Rows: s.Photos(id.Surface{}, func(p *room.Photo) bool { return p.Stage == of && p.Snag.IsZero() })}
	if state := s.J.Record.Gates[of].State; state == words.InHand || state == words.Offered {
		part.Field = s.photoField("stage/"+of.Code(), of.String(), nil)
	} else if len(part.Rows) == 0 {
		part.Title = ""
	}
	return part
}
