package kit

import (
	"lathmark/domain/id"
	"lathmark/domain/photo"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/web"
)

// Photos are the rows of the photos on a surface, or of stages where it is
// none; of those only the ones that is holds for, where it is given.
func (s *Scene) Photos(on id.Surface, is func(*room.Photo) bool) []web.PhotoRow {
	var out []web.PhotoRow
	r := s.J.Record
	for i := range r.Photos {
		p := &r.Photos[i]
		what, lies, err := r.Shows(p)
		if err != nil || lies != on || is != nil && !is(p) {
			continue
		}
		row := web.PhotoRow{Photo: p, Of: words.Capital(what), Who: s.People.Name(p.By)}
		if row.Width, row.Height = photo.Thumb.Fit(p.Picture.Width, p.Picture.Height); p.Stands() &&
			r.Gates[p.Stage].State != words.SignedOff {
			row.Strike = s.At.StrikePhoto(p.ID.String())
		}
		out = append(out, row)
	}
	return out
}
