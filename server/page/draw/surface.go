package draw

import (
	"fmt"
	"net/url"

	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"
)

// NewSurface is the form for one more surface, and what goes on it.
func (p *Pages) NewSurface() kit.Pair {
	return pair(p, form[web.SurfaceFormView]{of: deed.Kinds[deed.KindAddSurface], page: web.Surface,
		title: "A new surface", standards: true, roomFirst: true, view: (*scene).surfaceForm, to: toRoom})
}

// Surface is the form of one that is there: what goes on it can be changed.
func (p *Pages) Surface() kit.Pair {
	f := form[web.SurfaceFormView]{of: deed.Kinds[deed.KindPlan], page: web.Surface, title: "Surface",
		param: "surface", standards: true, view: (*scene).surfaceForm, to: toRoom}
	post := pair(p, f).Post
	f.roomFirst = true
	return kit.Pair{Get: pair(p, f).Get, Post: post}
}

func (s *scene) surfaceForm(surface string, typed web.Typed) (web.SurfaceFormView, error) {
	v := web.SurfaceFormView{SurfaceID: surface, Kinds: surfaceKinds(s.J.Record), BuildUps: s.buildUps()}
	s.Say("Say what it is; its outline is the room's own, or that of the wall.")
	if len(s.J.Record.Surfaces) == 0 {
		s.Say("Draw the ceiling first: most holes are there.")
	}
	if surface != "" {
		on, err := deed.ByID(s.J.Record.Surface, surface)
		if err != nil {
			return v, err
		}
		s.Sheet.Title, v.Kinds = words.Capital(on.Name), kit.Options(on.Kind)
		s.Sheet.Next = web.Next{Sentence: "Say what will go on " + words.InWords(on.Name) +
			". Its name and outline stay as they were drawn."}
		typed.Begins = url.Values{"name": {on.Name}, "kind": {on.Kind}, "outline": {kit.PointsText(on.Outline)},
			"layers": {kit.LayersText(s.J.Record.LayersOf(on.ID, id.Datum{}))}}
	}
	v.Sheet, v.Typed = s.Sheet, typed
	return v, nil
}

// surfaceKinds are the kinds of surface that a room can be given; a wall is one
// of its own.
func surfaceKinds(r *room.Record) []web.Option {
	out := kit.Options("ceiling", "floor")
	for i, side := range room.Sides(r.Outline) {
		a, b := r.Outline[i], r.Outline[(i+1)%len(r.Outline)]
		out = append(out, web.Option{Value: fmt.Sprintf("wall %d", i+1),
			Label: fmt.Sprintf("wall: %s, %s long", side, words.MM(kit.Distance(a, b)))})
	}
	for i, side := range room.Sides(r.Outline) {
		out = append(out, web.Option{Value: fmt.Sprintf("slope %d", i+1), Label: "slope over the " + side + " wall"})
	}
	return out
}
