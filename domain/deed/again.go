package deed

import (
	"context"
	"slices"
	"strconv"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// Again says what a reading is to those of the same thing that are on record.
type Again string

// The words, as stored.
const (
	// Replace strikes out those that were shown.
	Replace Again = "replace"
	// KeepBoth keeps them, as a check.
	KeepBoth Again = "both"
	// AskAgain is what a page hands in where nobody chose: where there are any, it is
	// refused and the page asks.
	AskAgain Again = "ask"
)

// Shown is a reading as somebody saw it.
type Shown struct {
	ID      id.Measurement `json:"id"`
	Version int64          `json:"version,omitzero"` // 0: any
}

// String is the reading as a form sends it.
func (s Shown) String() string { return s.ID.String() + "." + strconv.FormatInt(s.Version, 10) }

// measuredAgain is why what was replaced is struck out.
const measuredAgain = "measured again"

// again reads what was chosen. Fields: again, and shown for each reading that was there
// to choose about.
func (f *Form) again() (choice Again, shown []Shown) {
	choice = Again(f.Get("again"))
	if choice != "" && choice != Replace && choice != KeepBoth {
		f.Bad("again", "there is no such choice", "Replace what is on record, or keep both")
	}
	for _, text := range f.Values["shown"] {
		of, version, _ := strings.Cut(text, ".")
		var s Shown
		var err error
		if s.ID, err = id.Parse[id.Measurement](of); err == nil {
			s.Version, err = strconv.ParseInt(version, 10, 64)
		}
		if err != nil {
			f.Bad("again", "it does not say which readings were on record", "Open the page once more")
			break
		}
		shown = append(shown, s)
	}
	if choice == "" {
		return "", nil
	}
	return choice, shown
}

// seen refuses a reading of something of which there are others that its person has not
// seen, or not as they are now. A phone's is kept, and stands beside what others wrote.
func (d Measure) seen(t *Taking, m *room.Measurement) error {
	for _, old := range m.Thing().In(t.Record) {
		if t.phone || d.Again == "" || old.ID == m.ID {
			continue
		}
		i := slices.IndexFunc(d.Shown, func(s Shown) bool { return s.ID == old.ID })
		if i < 0 || d.Shown[i].Version != 0 && d.Shown[i].Version != old.Version {
			return bad("again", "it was measured before, and that is on record",
				"Replace it, or keep both as a check")
		}
	}
	return nil
}

// replace strikes out what was shown. One that others put right since the copy stands
// beside the reading until somebody chooses.
func (d Measure) replace(ctx context.Context, t *Taking, m room.Measurement) error {
	if d.Again != Replace {
		return nil
	}
	for _, s := range d.Shown {
		old, err := t.Record.Measurement(s.ID)
		if err != nil {
			return err
		}
		if old.ID == m.ID || old.Thing() != m.Thing() {
			return &fault.Error{Kind: fault.BadInput, Msg: old.Name + " is a reading of something else.",
				Fields: []fault.Field{{Path: "again", Wrong: old.Name + " is a reading of something else",
					Mend: "Replace readings of the same thing only"}}}
		}
		e, clash, err := t.last(changes(s.ID), "correct")
		if err != nil {
			return err
		}
		if clash && old.Stands() {
			t.beside(m, old.ID, e)
		} else if err := t.strike(ctx, s.ID, 0, measuredAgain); err != nil {
			return err
		}
	}
	return nil
}
