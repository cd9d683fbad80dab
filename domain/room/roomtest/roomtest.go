// Package roomtest makes rooms without a store, for tests.
package roomtest

import (
	"os"
	"strings"
	"testing"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// Sheet reads a room sheet of the invented site in the top folder testdata, by
// its name; up leads there from the test's own folder: "../..".
func Sheet(t testing.TB, up, name string) *roomsheet.Room {
	t.Helper()
	data, err := os.ReadFile(up + "/testdata/rooms/" + name + ".json")
	if err != nil {
		t.Fatal(err)
	}
	return Read(t, string(data))
}

// Read reads a room sheet.
func Read(t testing.TB, text string) *roomsheet.Room {
	t.Helper()
	sheet, err := roomsheet.Read(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return sheet
}

// Record is a room as it would be stored if the sheet had been read in: new
// ids, names and states as in the sheet, first fix in hand, and as outline of
// each surface the box round its faces.
func Record(t testing.TB, sheet *roomsheet.Room) *room.Record {
	t.Helper()
	r := &room.Record{Room: room.Room{ID: id.New[id.Room](), Job: id.New[id.Job](), Name: sheet.Room}}
	for i, s := range words.Stages {
		r.Gates[i] = room.Gate{Stage: s, State: words.Waiting}
	}
	r.Gates[words.FirstFix].State = words.InHand
	for i := range sheet.Surfaces {
		surface(t, r, &sheet.Surfaces[i])
	}
	return r
}

func surface(t testing.TB, r *room.Record, s *roomsheet.Surface) {
	t.Helper()
	on := room.Surface{ID: id.New[id.Surface](), Name: s.ID, Kind: s.Kind, Outline: box(s)}
	r.Surfaces = append(r.Surfaces, on)
	layers(t, r, on.ID, id.Datum{}, s.Layers, s.Now)
	datums, positions := map[string]id.Datum{}, map[string]id.Position{}
	for _, d := range s.Datums {
		out := room.Datum{ID: id.New[id.Datum](), Surface: on.ID, Name: d.ID, Kind: words.DatumKind(d.Kind), Sigma: d.Sigma,
			Lean: d.Lean}
		if d.Point != nil {
			out.A = *d.Point
		} else {
			out.A, out.B = d.Line[0], d.Line[1]
		}
		datums[d.ID] = out.ID
		r.Datums = append(r.Datums, out)
		layers(t, r, on.ID, out.ID, d.Layers, d.Now)
	}
	for _, m := range s.Timbers {
		r.Timbers = append(r.Timbers, room.Timber{ID: id.New[id.Timber](), Surface: on.ID, Name: m.ID, A: m.Line[0],
			B: m.Line[1], Width: m.Width, Sigma: m.Sigma})
	}
	for _, p := range s.Positions {
		positions[p.ID] = id.New[id.Position]()
		r.Positions = append(r.Positions, room.Position{ID: positions[p.ID], Surface: on.ID, Name: p.ID, Kind: p.Kind,
			Cutout: p.Cutout,
			Reach:  p.Reach, TailSigma: p.TailSigma, Version: 1})
	}
	for _, m := range s.Measurements {
		out := room.Measurement{ID: id.New[id.Measurement](), Surface: on.ID, Name: m.ID, Kind: words.MeasurementKind(m.Kind),
			Of:   positions[m.Of],
			From: datums[m.From], State: m.State, ToState: m.ToState, FromState: m.FromState, SurfaceState: m.SurfaceState,
			Value: m.Value,
			Sigma: m.Sigma, By: m.By, Version: 1}
		if out.To = datums[m.To]; out.Kind == words.Distance {
			out.ToPosition = positions[m.To]
		}
		if out.By == "" {
			out.By = "tape"
		}
		r.Measurements = append(r.Measurements, out)
	}
}

func layers(t testing.TB, r *room.Record, on id.Surface, datum id.Datum, list []roomsheet.Layer, now string) {
	t.Helper()
	built := now != "" && now != roomsheet.Bare
	for i, l := range list {
		out := room.Layer{ID: id.New[id.Layer](), Surface: on, Datum: datum, Place: i + 1, Name: l.ID, Thickness: l.Thickness,
			Sigma: l.Sigma, Stage: words.Boarding}
		if l.Stage != "" {
			stage, err := words.ParseStage(l.Stage)
			if err != nil {
				t.Fatal(err)
			}
			out.Stage = stage
		}
		r.Layers = append(r.Layers, out)
		if built {
			r.Built = append(r.Built, room.AsBuilt{Layer: out.ID, Stage: out.Stage, PutOn: time.Date(2026, 11, 2, 0, 0, 0, 0,
				time.UTC)})
		}
		built = built && l.ID != now
	}
}

// box is the box round the faces of a surface.
func box(s *roomsheet.Surface) []roomsheet.Point {
	var low, high roomsheet.Point
	first := true
	for _, d := range s.Datums {
		if d.Kind != "face" {
			continue
		}
		for _, p := range d.Line {
			for k := range p {
				if first || p[k] < low[k] {
					low[k] = p[k]
				}
				if first || p[k] > high[k] {
					high[k] = p[k]
				}
			}
			first = false
		}
	}
	return []roomsheet.Point{low, {high[0], low[1]}, high, {low[0], high[1]}}
}
