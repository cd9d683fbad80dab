package gate

import (
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// Act is what somebody does to a gate.
type Act string

// The acts, as stored in the diary.
const (
	ActOffer   Act = "offer"
	ActSignOff Act = "sign_off"
	ActReopen  Act = "reopen"
	// ActWithdraw is what a change of what was offered does.
	ActWithdraw Act = "withdraw"
)

// Move is one arrow of the drawing in the package's comment.
type Move struct {
	Act      Act
	From, To words.State
}

// Moves are the only moves that people make, the last by changing what was offered. The
// other two arrows follow by themselves: see Gates.follow.
var Moves = []Move{
	{ActOffer, words.InHand, words.Offered},
	{ActSignOff, words.Offered, words.SignedOff},
	{ActReopen, words.SignedOff, words.InHand},
	{ActWithdraw, words.Offered, words.InHand},
}

// Gates are the five gates of a room, by stage.
type Gates [5]room.Gate

// Offer returns the gates after a trade has offered stage s. The fault is a
// Conflict where s is not in hand. Offering asks no rule: a trade may say that
// it is done, and the foreman sees what still stands in the way.
func Offer(g Gates, s words.Stage) (Gates, error) { return g.move(ActOffer, s) }

// SignOff returns the gates after the foreman has signed off stage s at now with
// the soft obstacles that were accepted. The fault is a Conflict where s is not
// offered, an Obstacle (with a field per obstacle) where MaySignOff refuses.
//
// Law: no gate that SignOff signed has a hard obstacle at that moment.
func (j *Judged) SignOff(s words.Stage, accepted []Acceptance, initials string) (Gates, error) {
	g, err := Gates(j.Gates).move(ActSignOff, s)
	if err != nil {
		return j.Gates, err
	}
	if left := j.MaySignOff(s, accepted); len(left) > 0 {
		return j.Gates, Refusal(j.Name, s, left)
	}
	g[s].SignedAt, g[s].Initials = j.Now, initials
	return g, nil
}

// Reopen returns the gates after the foreman has reopened stage s: s is in hand,
// every stage after it waits. The fault is a Conflict where s is not signed
// off, BadInput where the reason is blank.
func Reopen(g Gates, s words.Stage, reason string) (Gates, error) {
	if strings.TrimSpace(reason) == "" {
		return g, &fault.Error{Kind: fault.BadInput, Msg: "Reopening " + s.String() + " needs a reason.",
			Fields: []fault.Field{{Path: "reason", Wrong: "there is no reason", Mend: "Say why it has to be opened again"}}}
	}
	return g.move(ActReopen, s)
}

// Withdraw returns the gates after what was offered of stage s has changed; why says who
// changed what. The fault is a Conflict where s is not offered.
func Withdraw(g Gates, s words.Stage, why string) (Gates, error) {
	g, err := g.move(ActWithdraw, s)
	if err == nil {
		g[s].Withdrawn = why
	}
	return g, err
}

// ReopenedBy tells which stages open again when stage s does: s itself where
// it is signed off, and every later one that is no longer waiting.
func ReopenedBy(g Gates, s words.Stage) []words.Stage {
	if g[s].State != words.SignedOff {
		return nil
	}
	out := []words.Stage{s}
	for _, later := range s.After() {
		if g[later].State != words.Waiting {
			out = append(out, later)
		}
	}
	return out
}

// AddPosition returns the gates after a position was put on the schedule, and
// the stages that this reopened: first fix and what follows where first fix
// was signed off, else none. The same holds for a position that the client had
// given up and wants again.
func AddPosition(g Gates) (Gates, []words.Stage) {
	reopened := ReopenedBy(g, words.FirstFix)
	if len(reopened) > 0 {
		g, _ = g.move(ActReopen, words.FirstFix)
	}
	return g, reopened
}

// move does one act, and what follows from it to the later gates.
func (g Gates) move(act Act, s words.Stage) (Gates, error) {
	for _, m := range Moves {
		if m.Act == act && m.From == g[s].State {
			g[s] = room.Gate{Stage: s, State: m.To}
			return g.follow(s), nil
		}
	}
	return g, &fault.Error{Kind: fault.Conflict, Msg: refusedMove(act, s, g[s].State)}
}

// follow draws the arrows that nobody makes by hand: the stage after s comes
// in hand once s is signed off; while s is not, everything after it waits.
func (g Gates) follow(s words.Stage) Gates {
	for _, later := range s.After() {
		if g[later-1].State != words.SignedOff {
			g[later] = room.Gate{Stage: later, State: words.Waiting}
		} else if g[later].State == words.Waiting {
			g[later] = room.Gate{Stage: later, State: words.InHand}
		}
	}
	return g
}

func refusedMove(act Act, s words.Stage, is words.State) string {
	head := words.Capital(s.String())
	switch {
	case is == words.Waiting:
		before, _ := s.Before()
		return head + " waits: " + before.String() + " is not signed off yet."
	case act == ActOffer && is == words.Offered:
		return head + " is offered already. The foreman signs it off."
	case act == ActOffer || act == ActSignOff && is == words.SignedOff:
		return head + " is signed off already."
	case act == ActSignOff:
		return head + " is not offered yet. The trade offers it when it is done."
	}
	return head + " is not signed off, so there is nothing to reopen."
}
