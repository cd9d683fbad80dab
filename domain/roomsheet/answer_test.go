package roomsheet

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"lathmark/domain/geometry"
)

// made returns an answer in the order of sorted ids with a number in every place,
// so that a mix-up shows.
func made(t *testing.T) (*Room, Solved) {
	t.Helper()
	room := mustRead(t, utility(t))
	s := &room.Surfaces[0]
	s.Measurements[1].From = "south" // so that its reads_as has a name
	_, o := s.geometry()
	// sorted datums: flange, north, south, stack, west
	a := &geometry.Answer{First: 1, Fit: geometry.Fit{Sum: 3.1, DOF: 4, P: 0.54},
		Positions: []geometry.PositionAnswer{{
			Determinate: true, Checked: true, At: geometry.Vec{U: 900, V: 628}, Cov: geometry.Cov{UU: 4.1,
				UV: math.Copysign(0, -1), VV: 4.2},
			SetOut: []geometry.SetOut{{Value: -872, Sigma: 1}, {Value: 1772, Sigma: 2}, {Value: 598.3, Sigma: 3},
				{Value: 2800, Sigma: 4}, {Value: 900, Sigma: 5}},
			Mark: &geometry.Mark{From: [2]int{2, 4}, Cov: geometry.Cov{UU: 6, UV: 1, VV: 5},
				Ellipse: geometry.Ellipse{A: 6, B: 5}},
			Timbers: []geometry.TimberAnswer{{Gap: 238.5, Hit: 0}}, Clears: true, Find: 0.997,
		}, {Ambiguous: []geometry.Vec{{U: 1, V: 2}, {U: 3, V: 4}}}},
		Layers: [][]geometry.LayerAnswer{nil, {{Thickness: 25, Sigma: 5}},
			{{Thickness: 27.6, Sigma: 1.4}, {Thickness: 3, Sigma: 1}}, nil, nil},
		Measurements: []geometry.MeasurementAnswer{
			{Residual: 0.3, Redundancy: 0.41, W: 0.2, MDB: 13.2, ReadsAs: -1},
			{Residual: 9, Redundancy: 0.5, W: 4, MDB: 12, Suspect: true, ReadsAs: 2},
			{MDB: math.Inf(1), ReadsAs: -1}, {Unused: true}, {Residual: 9, W: 4, MDB: 1, Suspect: true, ReadsAs: -1},
			{Unused: true}, {Unused: true}, {Unrecorded: true, Unused: true},
		},
		Lines: []geometry.SetOutLine{{Datum: 2, Offset: 598, Positions: []int{0, 1}}},
	}
	return room, Solved{Surface: s, Geometry: s.indexed(), Answer: o.restore(a)}
}

// The answer matches the contract, field by field.
func TestOutgoing(t *testing.T) {
	_, s := made(t)
	got, err := json.MarshalIndent(s.Outgoing(), "", " ")
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "testdata/outgoing.json", append(got, '\n'))
	var back SurfaceAnswer
	if err := json.Unmarshal(got, &back); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(s.Outgoing(), back); d != "" {
		t.Errorf("does not read back: %s", d)
	}
}

// move is null if nothing clears and the position's own where it does.
func TestOutgoingMove(t *testing.T) {
	_, s := made(t)
	p := &s.Answer.Positions[0]
	p.Timbers[0].Hit, p.Move = 0.2, geometry.Vec{U: -31}
	if got := s.Outgoing().Positions[0].Timbers[0].Move; got == nil || *got != (Point{-31, 0}) {
		t.Errorf("move %v", got)
	}
	p.Clears = false
	if got := s.Outgoing().Positions[0].Timbers[0].Move; got != nil {
		t.Errorf("move %v though nothing clears", got)
	}
	s.Surface.Timbers, s.Geometry.Timbers, p.Timbers = nil, nil, nil
	if got := s.Outgoing().Positions[0].Timbers; got == nil {
		t.Error("a hole on a surface without timbers lists none, it does not leave the list out")
	}
	s.Surface.Positions[0].Cutout = 0
	if got := s.Outgoing().Positions[0].Timbers; got != nil {
		t.Error("timbers of a position without a hole")
	}
	p.Mark = nil
	if got := s.Outgoing().Positions[0]; got.Find != nil || got.Mark != nil {
		t.Error("find without a mark")
	}
}

// Indices lead to the same records after the way through sorted ids and back.
func TestRestore(t *testing.T) {
	_, s := made(t)
	a := &s.Answer
	if a.First != 1 || a.Lines[0].Datum != 0 || a.Positions[0].Mark.From != [2]int{0, 1} {
		t.Errorf("first %d, line on datum %d, marked from %v", a.First, a.Lines[0].Datum, a.Positions[0].Mark.From)
	}
	if got := a.Positions[0].SetOut[3].Value; got != -872 {
		t.Errorf("flange: %v", got)
	}
}
