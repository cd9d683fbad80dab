package visits

import (
	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"
)

// Reopen is the form that opens a signed stage again. Faults: NotFound, Refused,
// Conflict (it is not signed off).
func Reopen(v kit.Viewer, j *standing.Standing, one string) (web.Filled, error) {
	of, err := kit.StageNamed(one)
	if err != nil {
		return web.Filled{}, err
	}
	if err := firm.MayRunJobs(v.By); err != nil {
		return web.Filled{}, err
	}
	if j.Record.Gates[of].State != words.SignedOff {
		return web.Filled{}, &fault.Error{Kind: fault.Conflict,
			Msg: words.Capital(of.String()) + " is not signed off, so there is nothing to reopen."}
	}
	s := look(v, j, "Open "+of.String()+" again")
	s.Say("Say why, so that somebody who was not here understands it.")
	view := web.ReopenView{Sheet: s.Sheet, Gate: kit.GateOf(j, of)}
	for _, later := range gate.ReopenedBy(j.Gate.Gates, of) {
		if later != of {
			view.Follows = append(view.Follows, later.String())
		}
	}
	return web.Reopen.Fill(&view), nil
}

func readReopen(s *deed.Sent) (deed.Deed, error) {
	of, err := kit.StageNamed(s.One)
	return deed.Reopen{Stage: of, Reason: s.Get("reason")}, err
}
