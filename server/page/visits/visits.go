// Package visits is what a visit to a room reads and leaves behind: readings, tails, holes, patches, photos, gates.
package visits

import (
	"lathmark/domain/deed"
	"lathmark/domain/standing"
	"lathmark/server/page/kit"
	"lathmark/web"
)

// Pages are the handlers of what is no plain page or form.
type Pages struct{ *kit.House }

// scene is a room as the person looks at it who asks, with what only this
// folder draws of it.
type scene struct{ *kit.Scene }

func look(v kit.Viewer, j *standing.Standing, title string) *scene { return &scene{v.Scene(j, title)} }

// filled is a page with a view of it.
func filled[V any, P interface {
	*V
	web.View
}](p web.Page[V], view V) web.Filled {
	return p.Fill(P(&view))
}

// sheet is a page that the room's standing says all of.
func sheet[V any, P interface {
	*V
	web.View
}](p web.Page[V], title string, view func(*scene) V) kit.Page {
	return func(v kit.Viewer, j *standing.Standing, _ string) (web.Filled, error) {
		return filled[V, P](p, view(look(v, j, title))), nil
	}
}

// The pages of a room that a visit uses.
var (
	Tails    = sheet(web.Tails, "Tails", (*scene).tails)
	AsBuilt  = sheet(web.AsBuilt, "As-built build-up", (*scene).asBuilt)
	Finished = sheet(web.Finished, "Finished", (*scene).finished)
	SetOut   = sheet(web.SetOut, "Set-out", (*scene).setOut)
	Holes    = sheet(web.Holes, "Holes", (*scene).holes)
	Patches  = sheet(web.Patches, "Patches", (*scene).patches)
	Snags    = sheet(web.Snags, "Snags", (*scene).snags)
	Photos   = sheet(web.Photos, "Photos", (*scene).photosView)
)

// Posts are the forms of a visit that phones send too, by kind. Their addresses are
// the kinds' own.
var Posts = posts(
	measured,
	kit.Post{Kind: deed.KindCorrect, To: kit.To(web.Place.RoomPage), Mend: correctedAgain},
	kit.Post{Kind: deed.KindStrike, To: afterStrike, Again: Reading},
	kit.Post{Kind: deed.KindSeeTails, To: kit.To(web.Place.Tails), Again: Tails},
	kit.Post{Kind: deed.KindPutOn, To: kit.To(web.Place.AsBuilt), Again: AsBuilt},
	kit.Post{Kind: deed.KindFinish, To: kit.To(web.Place.Finished), Again: Finished},
	kit.Post{Kind: deed.KindOpen, Read: readOpen, To: afterHole, Mend: openAgain},
	kit.Post{Kind: deed.KindOwe, To: kit.To(web.Place.Patches), Again: Patches},
	kit.Post{Kind: deed.KindFill, To: kit.To(web.Place.Patches)},
	kit.Post{Kind: deed.KindDry, To: kit.To(web.Place.Patches)},
	kit.Post{Kind: deed.KindUnfill, To: kit.To(web.Place.Patches)},
	kit.Post{Kind: deed.KindSnag, To: kit.To(web.Place.Snags), Again: Snags},
	kit.Post{Kind: deed.KindSnagDone, To: kit.To(web.Place.Snags)},
	kit.Post{Kind: deed.KindOffer, To: atGate},
)

// The forms that need signal.
var (
	OpenAgain = kit.Post{Kind: deed.KindReopen, Read: readReopen, To: atGate, Again: Reopen}
	// StrikePhoto strikes a photo out, with a reason.
	StrikePhoto = kit.Post{Kind: deed.KindStrikePhoto, Read: readStrikePhoto, To: kit.To(web.Place.Photos),
		Mend: struckAgain}
)

func posts(all ...kit.Post) map[deed.Kind]kit.Post {
	out := map[deed.Kind]kit.Post{}
	for _, o := range all {
		out[o.Kind] = o
	}
	return out
}

// atGate is the page of the stage that the form is about.
func atGate(at web.Place, s *deed.Sent) string { return at.Gate(s.One) }
