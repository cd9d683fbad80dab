package proof

import (
	"strings"

	"lathmark/domain/deed"
)

// compareActs compares what phones sent with the entries that came of it.
func (t *told) compareActs() {
	for i := range t.sent {
		s := &t.sent[i]
		was := t.acts[s.ID.String()]
		delete(t.acts, s.ID.String())
		said := "what a phone of " + t.check.say(nil, s.Member.String()) + " sent at " + when(s.Came)
		switch {
		case was == nil && s.Answer.Word != deed.Kept:
			t.check.found(0, "%s was answered %q, and no entry says so", said, s.Answer.Word)
		case was == nil && s.Answer.Says != deed.AlreadyThere && !t.came[s.Came.UnixMicro()]:
			t.check.found(0, "%s (%q) is there, and no entry came of it", said, strings.TrimSpace(s.Answer.Says))
		case was == nil, was.answer == deed.Refused && s.Answer.Word == deed.Kept && s.Answer.Says == deed.AlreadyThere:
			// It was sent again and had nothing to add, of which there is no entry.
		case was.answer != s.Answer.Word:
			t.check.found(was.seq, "%s was answered %q (entry %d), and is %q", said, was.answer, was.seq, s.Answer.Word)
		case was.came.seq > 0 && (was.came.member != s.Member || was.came.at.UnixMicro() != s.Came.UnixMicro() &&
			(s.Answer.Word != deed.Refused || s.Came.Before(was.came.at))): // refused once more it has no further entry
			t.check.found(was.seq, "%s came from %s at %s (entry %d)", said, was.came.who, when(was.came.at), was.came.seq)
		case was.came.seq > 0 && !was.said(&s.Answer):
			t.check.found(was.seq, "%s was answered otherwise than entry %d says: %q", said, was.came.seq, s.Answer.Says)
		case was.choice != s.Choice:
			t.check.found(was.seq, "%s: %q was chosen by the diary, and is %q", said, was.choice, s.Choice)
		case was.choice != "" && (was.by.member != s.ChosenBy || was.by.at.UnixMicro() != s.ChosenAt.UnixMicro()):
			t.check.found(was.seq, "%s: %s chose at %s (entry %d), and it is %s at %s", said, was.by.who, when(was.by.at),
				was.seq, t.check.say(nil, s.ChosenBy.String()), when(s.ChosenAt))
		}
	}
	for _, was := range t.acts {
		t.check.found(was.seq, "what a phone sent, of which entry %d came, is gone", was.seq)
	}
}

// said reports whether an answer is what the entries say of it.
func (a *actTold) said(is *deed.Answer) bool {
	all := strings.Join(a.says, " ")
	switch is.Word {
	case deed.Both:
		return strings.Contains(all, is.Mine+" Or: "+is.Theirs)
	case deed.Refused:
		return strings.Contains(all, ": "+is.Says)
	}
	return all == is.Says
}
