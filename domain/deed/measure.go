package deed

import (
	"context"
	"strconv"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// onReading are the fields of a reading as its form calls them.
var onReading = []string{"of", "position", "from", "datum", "state", "datum", "to_state", "to"}

// Measure is a reading that was taken, under the stage that is in hand. A repeat
// with the same id adds nothing. Faults: BadInput, NotFound, Conflict (something
// else has the id), Obstacle (every stage is signed off, or an unrecorded datum
// after first fix).
type Measure struct {
	Reading room.Reading `json:"reading"`
}

// Readings are those that it leaves.
func (d Measure) Readings() []id.Measurement { return []id.Measurement{d.Reading.ID} }

func readMeasure(s *Sent) (Deed, error) {
	g := s.NewReading()
	g.ID = s.ReadingID(0)
	return Measure{Reading: g}, nil
}

// do takes the reading. It stands beside those of the same thing that others
// took since the copy.
func (d Measure) do(ctx context.Context, t *Taking) error {
	m, err := t.measure(ctx, d.Reading)
	if err != nil {
		return err
	}
	return t.compare(m)
}

func (w *Writing) measure(ctx context.Context, reading room.Reading) (room.Measurement, error) {
	m, err := w.Record.Measured(reading)
	if err != nil {
		return m, err
	}
	if old, err := w.Record.Measurement(m.ID); err == nil {
		// One that was corrected since no longer says what was sent first.
		if old.Version == 1 && !old.Agrees(m) {
			return m, otherRecord()
		}
		return *old, nil
	}
	stage, open := w.Record.InHand()
	if !open {
		return m, &fault.Error{Kind: fault.Obstacle, Msg: "Every stage of " + w.Record.Name +
			" is signed off. Reopen one to measure again."}
	}
	m.Stage, m.TakenBy, m.TakenAt = stage, w.MadeBy, w.Made
	m.Since = w.Record.Revision + 1 // as the store counts, once a transaction
	m.Name = "m" + strconv.Itoa(len(w.Record.Measurements)+1)
	put(ctx, w, &w.Record.Measurements, m, Tx.InsertMeasurement)
	return m, w.Note("measure", &stage, w.Record.Says(&m), m)
}

// compare looks for readings of the same thing that others took since the copy.
// One that says the very same is no clash.
func (t *Taking) compare(m room.Measurement) error {
	for _, e := range t.others {
		if e.Act != "measure" {
			continue
		}
		about, err := detail[room.Measurement](e)
		if err != nil {
			return err
		}
		theirs, err := t.Record.Measurement(about.ID)
		if err != nil || !theirs.Stands() || !sameThing(theirs, &m) {
			continue
		}
		same := m
		if same.ID = theirs.ID; !theirs.Agrees(same) {
			t.beside(m, theirs.ID, e)
		}
	}
	return nil
}

// sameThing reports whether two readings are of the same thing, whatever state it
// was in by them: a position from one datum, two positions, one face with the same
// layer outermost, or the same two faces.
func sameThing(a, b *room.Measurement) bool {
	x, y := a.Thing(), b.Thing()
	for _, t := range []*room.Thing{&x, &y} {
		t.FromState, t.Surface = "", ""
		if t.Kind == words.Offset {
			t.State = ""
		}
	}
	return x == y
}
