package page

import (
	"lathmark/domain/id"
	"lathmark/domain/photo"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/web"
)

// photosView is every photo of the room: by surface, then those of stages.
func (s *scene) photosView() web.PhotosView {
	var v web.PhotosView
	r := s.j.Record
	for _, on := range r.Surfaces {
		if rows := s.photos(on.ID, nil); len(rows) > 0 {
			v.Groups = append(v.Groups, web.PhotoGroup{Name: words.Capital(on.Name), Rows: rows})
		}
	}
	if rows := s.photos(id.Surface{}, nil); len(rows) > 0 {
		v.Groups = append(v.Groups, web.PhotoGroup{Name: "Of a stage as a whole", Rows: rows})
	}
	if s.mayTake() {
		v.Field = s.photoField("", "", s.shown())
		s.say("Choose what the photo shows, take it, and put it on record.")
	} else {
		s.say("Every stage is signed off: the photos stay as they are.")
	}
	v.Sheet = s.sheet
	return v
}

// mayTake reports whether a photo can be put on record now.
func (s *scene) mayTake() bool {
	_, unfinished := s.j.Record.InHand()
	return unfinished
}

// photos are the rows of the photos on a surface, or of stages where it is
// none; of those only the ones that is holds for, where it is given.
func (s *scene) photos(on id.Surface, is func(*room.Photo) bool) []web.PhotoRow {
	var out []web.PhotoRow
	r := s.j.Record
	for i := range r.Photos {
		p := &r.Photos[i]
		what, lies, err := r.Shows(p)
		if err != nil || lies != on || is != nil && !is(p) {
			continue
		}
		row := web.PhotoRow{ID: p.ID.String(), Of: words.Capital(what), Says: p.Says, By: s.people.name(p.By), At: p.At,
			Struck: p.StruckWhy, Picture: !p.Picture.IsZero()}
		row.Width, row.Height = photo.Thumb.Fit(p.Picture.Width, p.Picture.Height)
		if p.Stands() && r.Gates[p.Stage].State != words.SignedOff {
			row.Strike = s.at.StrikePhoto(row.ID)
		}
		out = append(out, row)
	}
	return out
}

// photoField is the form for a photo of one thing, or of one of some choices.
func (s *scene) photoField(on, of string, choices []web.Option) *web.PhotoField {
	return &web.PhotoField{Action: s.at.Photos(), Token: s.sheet.Token, On: on, Of: of, Choices: choices}
}

// What a photo can show, as options: see readOn.
func (s *scene) shown() (out []web.Option) {
	out = s.surfacesShown()
	for i := range s.j.Record.Positions {
		if q := &s.j.Record.Positions[i]; q.OmittedAt.IsZero() {
			out = append(out, web.Option{Value: "position/" + q.ID.String(), Label: q.Name})
		}
	}
	out = append(out, s.datumsShown()...)
	if of, unfinished := s.j.Record.InHand(); unfinished {
		out = append(out, web.Option{Value: "stage/" + of.Code(), Label: words.Capital(of.String()) + " as a whole"})
	}
	return out
}

func (s *scene) surfacesShown() (out []web.Option) {
	for _, on := range s.j.Record.Surfaces {
		out = append(out, web.Option{Value: "surface/" + on.ID.String(), Label: words.Capital(on.Name)})
	}
	return out
}

func (s *scene) datumsShown() (out []web.Option) {
	for i := range s.j.Record.Datums {
		d := &s.j.Record.Datums[i]
		out = append(out, web.Option{Value: "datum/" + d.ID.String(),
			Label: words.Capital(datumName(d)) + ", " + words.Lower(s.surfaceName(d.Surface))})
	}
	return out
}

// photosOfSurfaces is the tails page's part: what the boards will hide.
func (s *scene) photosOfSurfaces(may bool) web.PhotoPart {
	part := web.PhotoPart{Title: "Photos of the open surfaces",
		Empty: "None yet. A photo before the boards go up settles what the tape cannot."}
	for _, on := range s.j.Record.Surfaces {
		part.Rows = append(part.Rows, s.photos(on.ID, func(p *room.Photo) bool { return p.Stage <= words.Boarding })...)
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
		Rows:  s.photos(q.Surface, func(p *room.Photo) bool { return p.Position == q.ID })}
	if s.mayTake() {
		part.Field = s.photoField("position/"+q.ID.String(), q.Name, nil)
	}
	return part
}

// photosOfFaces is the part of a page about build-ups as put on.
func (s *scene) photosOfFaces() web.PhotoPart {
	part := web.PhotoPart{Title: "Photos of faces",
		Empty: "None yet. A rule held against the edge of a board says more than its figure."}
	for _, on := range s.j.Record.Surfaces {
		part.Rows = append(part.Rows, s.photos(on.ID, func(p *room.Photo) bool { return !p.Datum.IsZero() })...)
	}
	if s.mayTake() && len(s.j.Record.Datums) > 0 {
		part.Field = s.photoField("", "", s.datumsShown())
	}
	return part
}

// photosOfStage is the part of a page about a stage.
func (s *scene) photosOfStage(of words.Stage) web.PhotoPart {
	part := web.PhotoPart{Title: "Photos of " + of.String(), Empty: "None yet.",
		Rows: s.photos(id.Surface{}, func(p *room.Photo) bool { return p.Stage == of })}
	if state := s.j.Record.Gates[of].State; state == words.InHand || state == words.Offered {
		part.Field = s.photoField("stage/"+of.Code(), of.String(), nil)
	} else if len(part.Rows) == 0 {
		part.Title = ""
	}
	return part
}
