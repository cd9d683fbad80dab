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
	s.Say("Say why, so that someone who was not here understands it.")
	view := web.ReopenView{Sheet: s.Sheet, Gate: kit.GateOf(j, of)}
	for _, s := range gate.ReopenedBy(j.Gate.Gates, of) {
		view.Undoes = append(view.Undoes, undone(v, j, s))
	}
	return web.Reopen.Fill(&view), nil
}

// undone says what is undone of a stage that opens again: whose act, and of which day.
func undone(v kit.Viewer, j *standing.Standing, s words.Stage) string {
	g, says := j.Record.Gates[s], words.Capital(s.String())
	switch g.State {
	case words.SignedOff:
		return says + ", signed off by " + v.People.WithTrade(g.SignedBy) + " on " + words.Day(j.Record.Zone.In(g.SignedAt))
	case words.Offered:
		return says + ", offered by " + v.People.WithTrade(g.OfferedBy) + " on " + words.Day(j.Record.Zone.In(g.OfferedAt))
	}
	return says + ", which is in hand: it waits until the stages before are signed off again"
}

func readReopen(s *deed.Sent) (deed.Deed, error) {
	of, err := kit.StageNamed(s.One)
	return deed.Reopen{Stage: of, Reason: s.Get("reason")}, err
}
