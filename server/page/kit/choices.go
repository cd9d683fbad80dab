package kit

import (
	"slices"

	"lathmark/domain/deed"
	"lathmark/web"
)

// Choices is what waits for a choice, as pages show it.
func (v Viewer) Choices(pending []deed.Pending) []web.ChoiceRow {
	var out []web.ChoiceRow
	for _, w := range pending {
		row := web.ChoiceRow{Act: w.ID.String(), At: web.Place{Job: w.Job.String(), Room: w.Room.String()}, Room: w.RoomName,
			Who: v.People.Name(w.Member), Done: w.Done,
			Mine: w.Answer.Mine, Theirs: w.Answer.Theirs, Both: slices.Contains(w.May, deed.KeepTwo)}
		if w.Member == v.By.ID {
			row.Who = "You"
		}
		out = append(out, row)
	}
	return out
}
