package room

import (
	"context"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/id"
)

// Judge returns a record with its answers, without a store. Faults: BadInput
// where the record would not be a room.
func Judge(r *Record, now time.Time) (*Judged, error) {
	sheet := r.Sheet()
	if err := check(sheet); err != nil {
		return nil, err
	}
	return judge(r, sheet.Solve(), sheet, dryAfter, now), nil
}

// Alone opens a record to write to that no store holds, as a phone has it
// without signal: the same rules are asked, and what is written changes the
// record itself. It knows what a visit writes about measurements, layers and
// holes; anything else panics.
func Alone(r *Record, now time.Time) *Writing {
	return &Writing{Tx: alone{r: r}, Record: r, Now: now, Made: now}
}

// alone is a store that is only the record.
type alone struct {
	Tx
	r *Record
}

func (a alone) Record(context.Context, id.Room) (*Record, error) { return a.r, nil }

// InsertMeasurement leaves it to Writing.Measure to put it into the record.
func (a alone) InsertMeasurement(context.Context, id.Room, Measurement) error { return nil }

func (a alone) UpdateMeasurement(_ context.Context, m Measurement, version int64) error {
	old, err := a.r.Measurement(m.ID)
	if err != nil {
		return err
	}
	if version != 0 && version != old.Version {
		return &fault.Error{Kind: fault.Conflict, Msg: "Somebody else changed it meanwhile."}
	}
	m.Version = old.Version + 1
	*old = m
	return nil
}

func (a alone) SaveAsBuilt(_ context.Context, _ id.Room, b AsBuilt) error {
	if old := a.r.BuiltOf(b.Layer); old != nil {
		*old = b
	}
	return nil // what is new goes into the record where it is written
}

func (a alone) InsertOpening(_ context.Context, _ id.Room, o Opening) error {
	a.r.Openings = append(a.r.Openings, o)
	return nil
}

func (a alone) UpdateOpening(_ context.Context, o Opening) error {
	old, err := a.r.Opening(o.ID)
	if err == nil {
		*old = o
	}
	return err
}

func (a alone) SavePatch(_ context.Context, _ id.Room, p Patch) error {
	a.r.Patches = append(a.r.Patches, p)
	return nil
}

func (a alone) InsertPosition(_ context.Context, _ id.Room, p Position) error {
	a.r.Positions = append(a.r.Positions, p)
	return nil
}

func (a alone) UpdateGate(_ context.Context, _ id.Room, g Gate) error {
	a.r.Gates[g.Stage] = g
	return nil
}
