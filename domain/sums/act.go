package sums

import (
	"context"
	"strings"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/stage"
	"lathmark/domain/standing"
	"lathmark/domain/typed"
	"lathmark/domain/verdict"
	"lathmark/domain/words"

	"github.com/google/uuid"
)

// Act is one thing done on site, as the phone keeps it: a form with where it
// goes to. Kinds that teach the sums nothing are passed over.
type Act struct {
	ID   uuid.UUID           `json:"id"`
	Made time.Time           `json:"made"`
	Kind string              `json:"kind"`
	At   string              `json:"at"` // the form's address: "/rooms/.../measure"
	Form map[string][]string `json:"form"`
}

// taking is an act being taken in a room.
type taking struct {
	*Act
	j     *standing.Standing // the room as it was before
	w     *deed.Writing
	wrong []fault.Field
}

// doing is what is done for each kind of act; it returns the readings that it
// left.
var doing = map[string]func(*taking) ([]id.Measurement, error){
	"measure": (*taking).measure, "correct": (*taking).correct, "strike": (*taking).strike,
	"open-hole": (*taking).open, "put-on": (*taking).putOn,
}

// take returns a room after an act, and the verdict on its reading; of several
// readings that on the first that is asked about, else on the last.
func take(j *standing.Standing, a *Act, now time.Time) (*standing.Standing, *verdict.Verdict, error) {
	do, ok := doing[a.Kind]
	if !ok {
		return j, nil, nil
	}
	r := copied(j.Record)
	t := &taking{Act: a, j: j, w: deed.Alone(r, now)}
	left, err := do(t)
	if err != nil {
		return nil, nil, err
	}
	after, err := standing.Of(r, now)
	if err != nil {
		return nil, nil, err
	}
	var v *verdict.Verdict
	for _, of := range left {
		m, err := r.Measurement(of)
		if err != nil {
			continue
		}
		if v = verdict.Of(after, m); v.Question != "" {
			break
		}
	}
	return after, v, nil
}

// form reads the act's form. The errors gather in t.
func (t *taking) form() typed.Form {
	return typed.Form{
		Get: func(name string) string {
			if values := t.Form[name]; len(values) > 0 {
				return strings.TrimSpace(values[0])
			}
			return ""
		},
		Bad: func(name, wrong, mend string) {
			t.wrong = append(t.wrong, fault.Field{Path: name, Wrong: wrong, Mend: mend})
		},
	}
}

// readable is the fault of a form with fields that cannot be read.
func (t *taking) readable() error {
	if len(t.wrong) == 0 {
		return nil
	}
	return &fault.Error{Kind: fault.BadInput, Msg: "There is something to mend.", Fields: t.wrong}
}

// made is the id of the nth measurement that the act leaves: the one that the
// server returns it, so that an act which it has already adds nothing here.
func (t *taking) made(n int) id.Measurement { return typed.ID[id.Measurement](t.ID, t.Form, n) }

// after is the part of an address that follows another: of "readings" in
// "/rooms/1/readings/2/strike" it is "2".
func after(at, part string) string {
	parts := strings.Split(at, "/")
	for i, p := range parts[:len(parts)-1] {
		if p == part {
			return parts[i+1]
		}
	}
	return ""
}

func (t *taking) measure() ([]id.Measurement, error) {
	g := t.form().NewReading()
	g.ID = t.made(0)
	if err := t.readable(); err != nil {
		return nil, err
	}
	_, err := t.w.Measure(context.Background(), g)
	return []id.Measurement{g.ID}, err
}

// reading is the one that the address names.
func (t *taking) reading() (*room.Measurement, error) {
	of, err := id.Parse[id.Measurement](after(t.At, "readings"))
	if err != nil {
		return nil, err
	}
	return t.w.Record.Measurement(of)
}

func (t *taking) correct() ([]id.Measurement, error) {
	old, err := t.reading()
	if err != nil {
		return nil, err
	}
	g := t.form().Amended(old)
	if err := t.readable(); err != nil {
		return nil, err
	}
	_, err = t.w.Correct(context.Background(), 0, g)
	return []id.Measurement{g.ID}, err
}

func (t *taking) strike() ([]id.Measurement, error) {
	old, err := t.reading()
	if err != nil {
		return nil, err
	}
	return nil, t.w.Strike(context.Background(), old.ID, 0, t.form().Get("reason"))
}

func (t *taking) open() ([]id.Measurement, error) {
	of, err := id.Parse[id.Position](after(t.At, "positions"))
	if err != nil {
		return nil, err
	}
	q, err := t.w.Record.Position(of)
	if err != nil {
		return nil, err
	}
	f := t.form()
	h := stage.Hole{ID: typed.ID[id.Opening](t.ID, t.Form, 0), Position: of, Outcome: words.Outcome(f.Get("outcome")),
		Tail: f.Tails(t.j, q, t.made)}
	if err := t.readable(); err != nil {
		return nil, err
	}
	var left []id.Measurement
	for _, tail := range h.Tail {
		left = append(left, tail.ID)
	}
	return left, stage.Open(context.Background(), t.w, h)
}

func (t *taking) putOn() ([]id.Measurement, error) {
	f := t.form()
	list := f.Thicknesses(t.w.Record, t.made)
	if _, span := t.Form["span"]; span {
		list = []stage.PutOn{f.Span(t.made)}
	}
	if err := t.readable(); err != nil {
		return nil, err
	}
	var left []id.Measurement
	for _, p := range list {
		if err := stage.RecordPutOn(context.Background(), t.w, p); err != nil {
			return nil, err
		}
		left = append(left, p.ID)
	}
	return left, nil
}
