package phone

import (
	"lathmark/domain/deed"
	"lathmark/web"
)

// sent is an act's form being read.
type sent struct {
	*deed.Sent
	at web.Place
}

// to is a page that does not depend on what was done.
func to(at func(web.Place) string) func(*sent) string {
	return func(s *sent) string { return at(s.at) }
}

// after is the page to look at after an act of each kind.
var after = map[deed.Kind]func(*sent) string{
	deed.KindMeasure: func(s *sent) string { return s.at.Measure() + "?last=" + s.ReadingID(0).String() },
	deed.KindCorrect: to(web.Place.RoomPage), deed.KindStrike: to(web.Place.RoomPage),
	deed.KindSeeTails: to(web.Place.Tails), deed.KindPutOn: to(web.Place.AsBuilt), deed.KindFinish: to(web.Place.Finished),
	deed.KindOpen: to(web.Place.Holes), deed.KindOwe: to(web.Place.Patches), deed.KindFill: to(web.Place.Patches),
	deed.KindDry: to(web.Place.Patches), deed.KindSnag: to(web.Place.Snags), deed.KindSnagDone: to(web.Place.Snags),
	deed.KindOffer: func(s *sent) string { return s.at.Gate(s.One) },
}
