package gate

import (
	"fmt"
	"lathmark/domain/words"
	"slices"
	"time"
)

// Task is one thing for one trade to do in a room, computed from the gates.
type Task struct {
	Stage words.Stage `json:"stage"`
	// Code is the rule's that asks for it, or one of the Task codes below.
	Code  string `json:"code"`
	Must  bool   `json:"must" doc:"It stands in the way of the sign-off."`
	About About  `json:"about"`
	// Surface is where; empty where it is about the whole room.
	Surface SurfaceID `json:"-"`
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

// Current returns the stage that is being worked on: the first one not signed
// off. It is false where all are.
func Current(g Gates) (words.Stage, bool) {
	for _, s := range words.Stages {
		if g[s].State != words.SignedOff {
			return s, true
		}
	}
	return 0, false
}

// Lead returns the trades whose stage it is and who may offer it: at first and
// second fix those that have a position in the room, and the tiler in the
// stages in which tiles are planned.
func (r *Record) Lead(s words.Stage) []words.Trade {
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
			if r.hasPositionOf(t) {
				out = append(out, t)
			}
		}
	}
	if r.hasTiles(s) {
		out = append(out, words.Tiler)
	}
	return out
}

func (r *Record) hasPositionOf(t words.Trade) bool {
	return slices.ContainsFunc(r.Positions, func(p Position) bool { return p.trade() == t && !p.Omitted() })
}

func (r *Record) hasTiles(s words.Stage) bool {
	return slices.ContainsFunc(r.Datums, func(d Datum) bool {
		return slices.ContainsFunc(d.Layers, func(l Layer) bool { return l.Stage == s && l.trade() == words.Tiler })
	})
}

// leads reports whether t may offer s: it is among the lead, or it is the
// foreman and the stage has none.
func (r *Record) leads(s words.Stage, t words.Trade) bool {
	lead := r.Lead(s)
	return slices.Contains(lead, t) || len(lead) == 0 && t == words.Foreman
}

func (j *Judged) tasksOf(t words.Trade) []Task {
	if t == words.Client {
		return j.decisions()
	}
	s, open := Current(j.Gates)
	if !open {
		return nil
	}
	var out []Task
	for _, o := range j.obstacles[s] {
		if o.Trade == t || t == words.Foreman && o.Trade == words.Client {
			out = append(out, j.taskOf(o))
		}
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

func (r *Record) taskOf(o Obstacle) Task {
	return Task{Stage: o.Stage, Code: o.Code, Must: o.Hard, About: o.About, Surface: o.Surface,
		What: o.Mend, Where: r.where(o.Surface), Why: o.Wrong}
}

// acts are the tasks of the machine itself: schedule, offer, sign off.
func (r *Record) acts(s words.Stage, t words.Trade, obstacles []Obstacle) []Task {
	task := Task{Stage: s, Must: true, About: About{KindGate, s.Code(), s.String()}, Where: r.where("")}
	state := r.Gates[s].State
	switch {
	case t == words.Foreman && s == words.FirstFix && len(r.Positions) == 0:
		task.Code, task.What = TaskSchedule, "Put the first position on the schedule"
		task.Why = "nothing is on the schedule yet"
	case Hard(obstacles) > 0:
		return nil
	case state == words.InHand && r.leads(s, t):
		task.Code, task.What = TaskOffer, "Offer "+s.String()+" when it is done"
		task.Why = "nothing stands in its way"
	case state == words.Offered && t == words.Foreman:
		task.Code, task.What = TaskSignOff, "Sign off "+s.String()
		task.Why = s.String() + " is offered and nothing stands in its way"
		if n := len(obstacles); n > 0 {
			task.Why = s.String() + " is offered, " + count(n, "thing needs", "things need") + " your reason"
		}
	default:
		return nil
	}
	return []Task{task}
}

// decisions are the held positions, whatever the stage: the client's list has
// nobody's mistakes on it.
func (r *Record) decisions() []Task {
	if r.Gates[words.SecondFix].State == words.SignedOff {
		return nil
	}
	var out []Task
	for i := range r.Positions {
		p := &r.Positions[i]
		if !p.Held || p.Omitted() {
			continue
		}
		why := p.Name + " is held until you decide"
		if p.HeldWhy != "" {
			why += ": " + words.NoStop(p.HeldWhy)
		}
		out = append(out, Task{Stage: words.SecondFix, Code: TaskDecide, Must: true,
			About: About{KindPosition, string(p.ID), p.Name}, Surface: p.Surface,
			What: "Decide about " + p.Name, Where: r.where(p.Surface), Why: why})
	}
	return out
}

// where is "ceiling, utility", or the room alone.
func (r *Record) where(id SurfaceID) string {
	for _, s := range r.Surfaces {
		if s.ID == id && id != "" {
			return s.Name + ", " + r.Room
		}
	}
	return r.Room
}

// beforeBegin are the rules that somebody else must have met before a trade
// can begin its stage; the others are met while it works.
var beforeBegin = []string{"stage_before", "tail_not_seen", "snag_open"}

// Ready reports whether the room is ready for a trade to begin the stage it
// leads, and since when: the stage before is signed off, every tail seen free
// before boarding, the plaster dry before second fix. Since is zero for first
// fix.
func (j *Judged) Ready(t words.Trade) (s words.Stage, since time.Time, ok bool) {
	s, open := Current(j.Gates)
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
		if s == words.Boarding && !p.Omitted() && p.SeenFree.After(since) {
			since = p.SeenFree
		}
	}
	if s == words.SecondFix && j.EarliestDry.After(since) {
		since = j.EarliestDry
	}
	return s, since, !since.After(j.Now)
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
