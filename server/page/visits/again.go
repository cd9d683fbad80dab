package visits

import (
	"math"
	"slices"

	"lathmark/domain/deed"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/web"
)

// readMeasured reads the form of a reading. The page asks before a thing is measured
// again; a phone without signal asks by itself.
func readMeasured(s *deed.Sent) (deed.Deed, error) {
	d, err := deed.Kinds[deed.KindMeasure].Read(s)
	m, is := d.(deed.Measure)
	if is && m.Again == "" {
		m.Again = deed.AskAgain
		return m, err
	}
	return d, err
}

// again puts what is on record of the things that can be measured on a surface on the
// page, and asks what becomes of it where the form is about one of them.
func (s *scene) again(v *web.MeasureView, on int) {
	v.Differs = gate.Differs("{value}", "{mm}") + ". " + gate.Disagreement{}.Mend() + "."
	asked, may := thingOf(v.Form), true
	for i := range s.J.Record.Measurements {
		m := &s.J.Record.Measurements[i]
		if !m.Stands() || m.Kind == words.Thickness || on >= 0 && m.Surface != s.J.Record.Surfaces[on].ID {
			continue
		}
		row := web.OnRecord{Key: m.Thing().Key(), Shown: deed.Shown{ID: m.ID, Version: m.Version}.String(), Value: m.Value,
			Says: gate.Recorded(s.J.Record, m, s.People.Name(m.TakenBy)), Frozen: s.Mendable(m) == "", Here: m.Thing() == asked}
		for _, by := range v.Instruments {
			other := room.Measurement{Value: m.Value, By: by.Value}
			limit := gate.DifferLimit * math.Hypot(m.Spread(), other.Spread())
			row.Limits = append(row.Limits, web.Limit{By: by.Value, MM: limit})
		}
		v.OnRecord = append(v.OnRecord, row)
		v.Asks, may = v.Asks || row.Here, may && !(row.Here && row.Frozen)
	}
	v.Again = []web.Option{{Value: string(deed.Replace), Label: "Replace what is on record"},
		{Value: string(deed.KeepBoth), Label: "Keep both as a check"}}
	if !may {
		v.Again = v.Again[1:]
	}
}

// thingOf is what a form for a reading is about, as far as that is chosen.
func thingOf(f web.MeasureForm) room.Thing {
	m := room.Measurement{Kind: words.MeasurementKind(f.Kind)}
	state := func(text string) string {
		if room.IsSide(text) {
			return ""
		}
		return text
	}
	position := func(text string) id.Position {
		of, _ := id.Parse[id.Position](text) // none where nothing is chosen
		return of
	}
	if m.Kind != words.Span {
		m.Of = position(f.Position)
	}
	if m.Kind == words.Distance {
		m.ToPosition = position(f.To)
		return m.Thing()
	}
	m.From, _ = deed.Datum(web.JoinDatum(f.Datum, ""))
	m.State, m.SurfaceState = state(f.State), f.SurfaceState
	if m.SurfaceState == words.Bare {
		m.SurfaceState = ""
	}
	if m.Kind == words.Span {
		m.To, _ = deed.Datum(web.JoinDatum(f.To, ""))
		m.ToState = state(f.ToState)
	}
	return m.Thing()
}

// differs says so where what was typed disagrees with what is on record.
func (s *scene) differs(f *deed.Sent) string {
	m, err := s.J.Record.Measured((&deed.Form{Values: f.Values}).Reading())
	if err != nil {
		return ""
	}
	all := append(slices.Clone(m.Thing().In(s.J.Record)), &m)
	d, apart := gate.Disagree(all)
	if !apart {
		return ""
	}
	return d.Says(s.J.Record, s.People.Name(d.First.TakenBy)) + ". " + d.Mend() + "."
}
