package gate

import (
	"fmt"
	"slices"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// Task is one thing for one trade to do in a room, computed from the gates.
type Task struct {
	Stage words.Stage `json:"stage"`
	// Code is the rule's that asks for it, or one of the Task codes below.
	Code  string `json:"code"`
	Must  bool   `json:"must" doc:"It stands in the way of the sign-off."`
	About About  `json:"about"`
	// Surface is where; empty where it is about the whole room.
	Surface id.Surface `json:"-"`
	// Person is whose it is alone; none: anybody's of the trade.
	Person id.Member `json:"-"`
	// What to do, Where and Why, in words without a full stop.
	What  string `json:"what"`
	Where string `json:"where"`
	Why   string `json:"why"`
}

// Codes of the tasks that no rule asks for.
const (
	TaskSchedule = "schedule" // the room has nothing on its schedule
	TaskOffer    = "offer"    // nothing stands in the way: say that it is done
	TaskSignOff  = "sign_off" // offered, and nothing hard stands in the way
	TaskDecide   = "decide"   // a held position waits for the client's decision
)

// Lead returns the trades whose stage it is and who may offer it: at first and
// second fix those that have a position in the room, and the tiler in the
// stages in which tiles are planned.
func (j *Judged) Lead(s words.Stage) []words.Trade {
	var out []words.Trade
	switch s {
	case words.Boarding:
		out = []words.Trade{words.DryLiner}
	case words.Plaster:
		out = []words.Trade{words.Plasterer}
	case words.Decoration:
		out = []words.Trade{words.Decorator}
	default:
		for _, t := range []words.Trade{words.Electrician, words.Plumber} {
			if j.hasPositionOf(t) {
				out = append(out, t)
			}
		}
	}
	if j.hasTiles(s) {
		out = append(out, words.Tiler)
	}
	return out
}

func (j *Judged) hasPositionOf(t words.Trade) bool {
	return slices.ContainsFunc(j.Positions, func(p room.Position) bool { return TradeOf(&p) == t && p.OmittedAt.IsZero() })
}

func (j *Judged) hasTiles(s words.Stage) bool {
	return slices.ContainsFunc(j.Layers, func(l room.Layer) bool {
		return l.Stage == s && !l.Datum.IsZero() && words.TradeOfLayer(l.Name, l.Stage) == words.Tiler
	})
}

// leads reports whether t may offer s: it is among the lead, or it is the
// foreman and the stage has none.
func (j *Judged) leads(s words.Stage, t words.Trade) bool {
	lead := j.Lead(s)
	return slices.Contains(lead, t) || len(lead) == 0 && t == words.Foreman
}

func (j *Judged) tasksOf(t words.Trade) []Task {
	if t == words.Client {
		return j.decisions()
	}
	s, open := j.InHand()
	if !open {
		return nil
	}
	var out []Task
	for _, o := range j.obstacles[s] {
		if o.Trade == t || t == words.Foreman && o.Trade == words.Client {
			out = append(out, j.taskOf(o))
		}
	}
	if s != words.Decoration { // a snag does not wait for the stage that it keeps from its sign-off
		for _, o := range j.obstacles[words.Decoration] {
			if o.Code == CodeSnagOpen && o.Trade == t {
				out = append(out, j.taskOf(o))
			}
		}
	}
	if s > words.SecondFix {
		out = append(out, j.lostEarlier(t)...)
	}
	// The first hole is a soft obstacle, but it is opened before the others.
	slices.SortStableFunc(out, func(a, b Task) int { return rank(a) - rank(b) })
	return append(out, j.acts(s, t, j.obstacles[s])...)
}

func rank(t Task) int {
	if t.About.Kind == KindFirstHole {
		return 0
	}
	return 1
}

func (j *Judged) taskOf(o Obstacle) Task {
	t := Task{Stage: o.Stage, Code: o.Code, Must: o.Hard, About: o.About, Surface: o.Surface,
		What: o.Mend, Where: j.where(o.Surface), Why: o.Wrong}
	if i := slices.IndexFunc(j.Snags, func(n room.Snag) bool {
		return o.Code == CodeSnagOpen &&
			n.ID.String() == o.About.ID
	}); i >= 0 &&
		j.Snags[i].DoneAt.IsZero() {
		t.Person = j.Snags[i].Person
	}
	return t
}

// TasksFor returns what somebody of a trade has to do: the trade's tasks, but for those
// that are another person's alone, and those of other trades that are theirs.
func (j *Judged) TasksFor(t words.Trade, who id.Member) (out []Task) {
	for _, trade := range words.Trades {
		for _, task := range j.tasks[trade] {
			if trade == t && task.Person.IsZero() || !task.Person.IsZero() && task.Person == who {
				out = append(out, task)
			}
		}
	}
	return out
}

// acts are the tasks of the machine itself: schedule, offer, sign off.
func (j *Judged) acts(s words.Stage, t words.Trade, obstacles []Obstacle) []Task {
	task := Task{Stage: s, Must: true, About: About{KindGate, s.Code(), s.String()}, Where: j.Name}
	state := j.Gates[s].State
	switch {
	case t == words.Foreman && s == words.FirstFix && len(j.Positions) == 0:
		task.Code, task.What = TaskSchedule, "Put the first position on the schedule"
		task.Why = "nothing is on the schedule yet"
	case Hard(obstacles) > 0:
		return nil
	case state == words.InHand && j.leads(s, t):
		task.Code, task.What = TaskOffer, "Offer "+s.String()+" when it is done"
		task.Why = "nothing stands in its way"
	case state == words.Offered && t == words.Foreman:
		task.Code, task.What = TaskSignOff, "Sign off "+s.String()
		task.Why = s.String() + " is offered and nothing stands in its way"
		switch n := len(obstacles); {
		case n == 1:
			task.Why = s.String() + " is offered, 1 thing needs your reason"
		case n > 1:
			task.Why = fmt.Sprintf("%s is offered, %d things need your reason", s, n)
		}
	default:
		return nil
	}
	return []Task{task}
}

// decisions are the held positions, whatever the stage: the client's list has
// nobody's mistakes on it.
func (j *Judged) decisions() []Task {
	if j.Gates[words.SecondFix].State == words.SignedOff {
		return nil
	}
	var out []Task
	for i := range j.Positions {
		p := &j.Positions[i]
		if !p.Held || !p.OmittedAt.IsZero() {
			continue
		}
		why := p.Name + " is held until you decide"
		if p.HeldWhy != "" {
			why += ": " + words.NoStop(p.HeldWhy)
		}
		out = append(out, Task{Stage: words.SecondFix, Code: TaskDecide, Must: true,
			About: about(KindPosition, p.ID, p.Name), Surface: p.Surface,
			What: "Decide about " + p.Name, Where: j.where(p.Surface), Why: why})
	}
	return out
}

// where is "ceiling, utility", or the room alone.
func (j *Judged) where(of id.Surface) string {
	if s, err := j.Surface(of); err == nil {
		return s.Name + ", " + j.Name
	}
	return j.Name
}

// beforeBegin are the rules that somebody else must have met before a trade
// can begin its stage; the others are met while it works.
var beforeBegin = []string{CodeStageBefore, CodeTailNotSeen, CodeSnagOpen}

// Ready reports whether the room is ready for a trade to begin the stage it
// leads, and since when: the stage before is signed off, every tail seen free
// before boarding, the plaster dry before second fix. Since is zero for first
// fix.
func (j *Judged) Ready(t words.Trade) (s words.Stage, since time.Time, ok bool) {
	s, open := j.InHand()
	if !open || !j.leads(s, t) || j.Gates[s].State != words.InHand {
		return s, time.Time{}, false
	}
	if before, has := s.Before(); has {
		since = j.Gates[before].SignedAt
	}
	for _, o := range j.obstacles[s] {
		if o.Trade != t && slices.Contains(beforeBegin, o.Code) {
			return s, time.Time{}, false
		}
	}
	for _, p := range j.Positions {
		if seen := j.SeenOf(p.ID); s == words.Boarding && p.OmittedAt.IsZero() && seen != nil && seen.At.After(since) {
			since = seen.At
		}
	}
	if dry := j.Zone.Begins(j.EarliestDry); s == words.SecondFix && dry.After(since) {
		since = dry
	}
	return s, since, !since.After(j.Now)
}
