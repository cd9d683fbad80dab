package deed

import (
	"context"

	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// Verdict is what a person sees at once after a measurement.
type Verdict struct {
	*standing.Standing
	Measurement room.Measurement
	// Obstacles are those of first fix that are about the measurement or its
	// position: what it still needs.
	Obstacles []gate.Obstacle
}

// Verdict is Do for a Measure or a Correct, and says how the reading stands.
func (k *Desk) Verdict(ctx context.Context, by firm.Person, of id.Room, d Deed) (*Verdict, error) {
	if m, ok := d.(Measure); ok {
		m.Reading.ID = id.OrNew(m.Reading.ID)
		d = m
	}
	j, err := k.Do(ctx, by, of, d)
	if err != nil {
		return nil, err
	}
	v := &Verdict{Standing: j}
	for _, left := range Readings(d) {
		m, err := j.Record.Measurement(left)
		if err != nil {
			return nil, err
		}
		v.Measurement = *m
	}
	for _, o := range j.Obstacles(words.FirstFix) {
		about := o.About.ID
		if about == v.Measurement.ID.String() || about == v.Measurement.Of.String() && about != "" {
			v.Obstacles = append(v.Obstacles, o)
		}
	}
	return v, nil
}
