package visits

import (
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/words"
	"lathmark/web"
)

// patches is every patch of the room.
func (s *scene) patches() web.PatchesView {
	v := web.PatchesView{MayDo: s.Open(gate.PartPatch), Lost: s.lost()}
	open, owed := 0, map[id.Opening]bool{}
	for _, patch := range s.J.Record.Patches {
		owed[patch.Opening] = true
		row := web.PatchRow{Patch: patch, Dry: !patch.DryAt.IsZero() && !patch.DryAt.After(s.J.Now)}
		row.Where, row.Why = s.holeWords(patch.Opening)
		if patch.FilledAt.IsZero() {
			open++
		}
		v.Rows = append(v.Rows, row)
	}
	for _, o := range s.J.Record.Openings {
		if where, why := s.holeWords(o.ID); v.MayDo && !owed[o.ID] {
			v.Holes = append(v.Holes, web.Option{Value: o.ID.String(), Label: where + ", " + why})
		}
	}
	if s.Say("Nothing to fill here."); open > 0 {
		s.Say(words.Count(open, "patch") + " to fill. Fill early: a patch has to dry before it is painted.")
	}
	v.Sheet = s.Sheet
	return v
}

// holeWords says which hole a patch is at, and why it is owed.
func (s *scene) holeWords(of id.Opening) (where, why string) {
	o, err := s.J.Record.Opening(of)
	if err != nil {
		return "a hole", ""
	}
	where = "a hole"
	if q, err := s.J.Record.Position(o.Position); err == nil {
		where = q.Name
	}
	if why = o.Outcome.String(); o.Says != "" {
		why += ": " + o.Says
	}
	return where, why
}
