package room

import (
	"slices"
	"strings"
	"time"

	"lathmark/domain/caution"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// Drying returns when the plaster of the room can be dry if its last coat went on
// on a day; false where none is planned. It is the only sum of it: pages, gates,
// tasks and cautions read what it says.
func (r *Record) Drying(on time.Time) (caution.Drying, bool) {
	thick := r.plaster()
	return caution.Plaster(thick, on), thick > 0
}

// plaster is the thickest plaster on one face of the room, mm; 0 where none is.
// Layers count as built where that is recorded, else as planned. Tiles and what
// holds them are no plaster, nor is a screed.
func (r *Record) plaster() (most float64) {
	type face struct {
		surface id.Surface
		datum   id.Datum
	}
	sums := map[face]float64{}
	for i := range r.Layers {
		l := &r.Layers[i]
		if l.Stage == words.Plaster && !words.IsTile(l.Name) && !isScreed(l.Name) {
			on := face{l.Surface, l.Datum}
			sums[on] += r.thickness(l)
			most = max(most, sums[on])
		}
	}
	return most
}

// thickness is a layer's as built where that is recorded, else as planned.
func (r *Record) thickness(l *Layer) float64 {
	if b := r.BuiltOf(l.ID); b != nil && b.Thickness > 0 {
		return b.Thickness
	}
	return l.Thickness
}

// UnderTiles is a layer that tiles wait for once it is on.
type UnderTiles struct {
	Name  string // "dabs"
	Stage words.Stage
	By    words.Trade // who puts it on
	Days  int         // of the calendar, at least
	On    time.Time   // the day it was put on, zero before that
}

// UnderTiles returns the screeds and the boards on dabs that tiles are planned on.
func (r *Record) UnderTiles() (out []UnderTiles) {
	for i := range r.Layers {
		l := &r.Layers[i]
		under := UnderTiles{Name: l.Name, Stage: l.Stage, By: words.TradeOfLayer(l.Name, l.Stage)}
		switch {
		case !r.tiledOver(l):
			continue
		case isScreed(l.Name):
			under.Days = caution.ScreedDays(r.thickness(l))
		case isDabs(l.Name):
			under.Days = caution.DabsBeforeTiling
		default:
			continue
		}
		if b := r.BuiltOf(l.ID); b != nil {
			under.On = b.PutOn
		}
		out = append(out, under)
	}
	return out
}

// OtherDrying returns what to mind about screeds and about boards on dabs that are
// to be tiled, each once.
func (r *Record) OtherDrying() (out []caution.Caution) {
	for i := range r.Layers {
		l := &r.Layers[i]
		var on time.Time
		if b := r.BuiltOf(l.ID); b != nil {
			on = b.PutOn
		}
		var c caution.Caution
		switch {
		case isScreed(l.Name):
			c = caution.Screed(r.thickness(l), on)
		case isDabs(l.Name) && r.tiledOver(l):
			c = caution.Dabs(on)
		default:
			continue
		}
		if !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	return out
}

func isScreed(layer string) bool { return strings.Contains(strings.ToLower(layer), "screed") }

func isDabs(layer string) bool { return strings.Contains(strings.ToLower(layer), "dabs") }

// tiledOver reports whether tiles are planned over a layer.
func (r *Record) tiledOver(l *Layer) bool {
	return slices.ContainsFunc(r.LayersOf(l.Surface, l.Datum), func(o Layer) bool {
		return o.Place > l.Place && words.IsTile(o.Name)
	})
}
