package programme

import (
	"fmt"
	"slices"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// piece is a piece of work in the network.
type piece struct {
	amount
	room, job, crew int // their places in the plan
	rate            rate
	least, likely   int // slots of its crew
	after           []wait
	holds           []hold
	pin             int // the slot on which it is pinned; -1: it is not
	due, weight     int // the slot by which it should end; none where weight is 0
}

// wait is what a piece starts after: lag slots after another's end, and days of the
// calendar for what dries.
type wait struct {
	on, lag    int
	dry, usual int // days: the least, and what is usual
	kind       kind
}

// kind is why something waits.
type kind int

const (
	before  kind = iota // the stage before in the room is not signed off
	drying              // what was put on dries
	through             // boards of another room go through it
	ordered             // something comes, or is decided
	patched             // a patch dries
)

// hold is why a piece cannot start before a day whatever the crews do.
type hold struct {
	least, usual int // the first day, from today
	kind         kind
	// says is what it is: "the patch at D6", "the plaster", "the towel rail".
	says string
}

// signOff is how many slots pass from a stage's last work to the first of the next: the
// trade offers it, the foreman looks at it and signs.
const signOff = 1

// plan is a programme being worked out: the pieces, in an order in which each comes
// behind what it waits for, and who does them when.
type plan struct {
	*Input
	days   days
	today  time.Time
	cal    *calendar
	crews  []Crew
	free   []crewDays
	pieces []piece
	jobs   []Job
	jobOf  []int      // of a room
	stages [][5][]int // of a room, by stage: its pieces
	order  []int32
	then   [][]int32 // of a piece: what waits for it
	likely run
	early  run
	odds   *odds
	old    map[Piece]was // in the programme before
}

// newPlan builds the network. Faults: BadInput (rooms that wait for each other).
func newPlan(in *Input) (*plan, error) {
	p := &plan{Input: in, today: in.Zone.Day(in.Now), days: newDays(&in.Given, in.Holidays)}
	p.findJobs()
	var all []amount
	var rooms []int
	for i, j := range in.Rooms {
		for _, a := range amounts(j) {
			all, rooms = append(all, a), append(rooms, i)
		}
	}
	p.staff(all, rooms)
	p.addPieces(all, rooms)
	p.setCalendar()
	for i := range in.Rooms {
		p.linkRoom(i)
	}
	p.linkThrough()
	p.fix()
	if err := p.sortPieces(); err != nil {
		return nil, err
	}
	return p, nil
}

func (p *plan) findJobs() {
	for _, j := range p.Rooms {
		r := j.Record
		if n := len(p.jobs); n == 0 || p.jobs[n-1].ID != r.Job {
			p.jobs = append(p.jobs, Job{ID: r.Job, Name: r.JobName})
		}
		p.jobOf = append(p.jobOf, len(p.jobs)-1)
	}
}

// addPieces makes a piece of each amount, with the slots that it takes.
func (p *plan) addPieces(all []amount, rooms []int) {
	p.stages = make([][5][]int, len(p.Rooms))
	crewOf := p.assign(all, rooms)
	for i, a := range all {
		crew := &p.crews[crewOf[i]]
		r := p.Input.rate(a.Trade, a.Stage)
		p.pieces = append(p.pieces, piece{amount: a, room: rooms[i], job: p.jobOf[rooms[i]], crew: crewOf[i], rate: r,
			least: slots(a.units, r.Least, crew.People), likely: slots(a.units, r.Likely, crew.People), pin: -1})
		p.stages[rooms[i]][a.Stage] = append(p.stages[rooms[i]][a.Stage], i)
	}
}

// setCalendar numbers as many days as all the work could take one after the other, with
// what dries and who is away.
func (p *plan) setCalendar() {
	sum := 0
	for i := range p.pieces {
		sum += p.pieces[i].likely
	}
	length := min(200+sum*2/SlotsADay, 2000)
	p.cal = newCalendar(p.days, p.crews, p.Zone.In(p.Now), p.today, length)
	for c := range p.crews {
		p.free = append(p.free, newCrewDays(p.days, p.cal, &p.crews[c]))
	}
}

// linkRoom links the stages of a room: each after the one before, the tiler of a stage
// after its plasterer or dry liner, and what dries, comes or is decided before it.
func (p *plan) linkRoom(i int) {
	r := p.Rooms[i].Record
	var last []int // the pieces of the last stage before with work
	lag := 0
	for _, s := range words.Stages {
		lag += signOff
		mine := p.stages[i][s]
		for _, m := range mine {
			for _, l := range last {
				p.wait(m, wait{on: l, lag: lag})
			}
			p.tiling(r, i, m)
			p.hold(r, m)
		}
		if len(mine) > 0 {
			last, lag = mine, 0
		}
	}
	if least, usual, ok := plasterDays(r); ok {
		for _, m := range slices.Concat(p.stages[i][words.SecondFix], p.stages[i][words.Decoration]) {
			for _, on := range p.stages[i][words.Plaster] {
				if p.pieces[on].Trade == words.Plasterer {
					p.wait(m, wait{on: on, dry: least, usual: usual, kind: drying})
				}
			}
		}
	}
}

func (p *plan) wait(i int, w wait) { p.pieces[i].after = append(p.pieces[i].after, w) }

// plasterDays are the days that a room's plaster dries once it is on; where no build-up is
// planned a skim's.
func plasterDays(r *room.Record) (least, usual int, ok bool) {
	d, ok := r.Drying(time.Time{})
	return gap(time.Time{}, d.Earliest), gap(time.Time{}, d.Usual), ok || len(r.Layers) == 0
}

// tiling puts a tiler behind the others of the stage, and behind what dries under tiles.
func (p *plan) tiling(r *room.Record, i, m int) {
	w := &p.pieces[m]
	if w.Trade != words.Tiler {
		return
	}
	for _, on := range p.stages[i][w.Stage] {
		if p.pieces[on].Trade == words.DryLiner || p.pieces[on].Trade == words.Plasterer {
			p.wait(m, wait{on: on, lag: signOff})
		}
	}
	for _, under := range r.UnderTiles() {
		if !under.On.IsZero() {
			at := gap(p.today, under.On) + under.Days
			p.holdUntil(m, hold{at, at, drying, words.InWords(under.Name)})
			continue
		}
		for _, on := range p.stages[i][under.Stage] {
			if t := p.pieces[on].Trade; t == under.By && on != m {
				p.wait(m, wait{on: on, dry: under.Days, usual: under.Days, kind: drying})
			}
		}
	}
}

// holdUntil holds a piece, where that is still to come.
func (p *plan) holdUntil(m int, h hold) {
	if h.least, h.usual = max(h.least, 0), max(h.usual, 0); h.usual > 0 {
		p.pieces[m].holds = append(p.pieces[m].holds, h)
	}
}

// hold holds a piece for what dries already, what comes and what is decided.
func (p *plan) hold(r *room.Record, m int) {
	w := &p.pieces[m]
	if f := r.FinishedOf(words.Plaster); f != nil && w.Stage >= words.SecondFix &&
		len(p.stages[w.room][words.Plaster]) == 0 {
		if d, ok := r.Drying(f.On); ok {
			p.holdUntil(m, hold{gap(p.today, d.Earliest), gap(p.today, d.Usual), drying, "the plaster"})
		}
	}
	if w.Stage >= words.SecondFix {
		p.holdPatches(r, m)
	}
	for i := range p.Owed {
		if o := &p.Owed[i]; o.Room == r.ID && o.For == w.Stage && o.Came.IsZero() {
			at := o.Lead
			if !o.Since.IsZero() {
				at += min(gap(p.today, o.Since), 0)
			}
			p.holdUntil(m, hold{at, at, ordered, o.What})
		}
	}
}

// Days that a patch takes to dry once it is filled. Common practice, no source.
const patchLeast, patchUsual = 1, 2

// holdPatches holds whatever comes after a hole that is made good.
func (p *plan) holdPatches(r *room.Record, m int) {
	for i := range r.Patches {
		t := &r.Patches[i]
		if !t.DryAt.IsZero() && !t.DryAt.After(p.Now) {
			continue
		}
		name := "a patch"
		if o, err := r.Opening(t.Opening); err == nil {
			if at, err := r.Position(o.Position); err == nil {
				name = "the patch at " + at.Name
			}
		}
		filled := 0
		if !t.FilledAt.IsZero() {
			filled = gap(p.today, p.Zone.Day(t.FilledAt))
		}
		h := hold{filled + patchLeast, filled + patchUsual, patched, name}
		if !t.DryAt.IsZero() {
			h.usual = gap(p.today, p.Zone.Day(t.DryAt))
			h.least = h.usual
		}
		p.holdUntil(m, h)
	}
}

// linkThrough keeps a room's decoration, and its floor, until what goes through it is in.
func (p *plan) linkThrough() {
	for _, t := range p.Through {
		from, by := p.roomAt(t.Room), p.roomAt(t.By)
		if from < 0 || by < 0 {
			continue
		}
		for _, s := range words.Stages {
			for _, m := range p.stages[by][s] {
				w := &p.pieces[m]
				if s != words.Decoration && !(w.Trade == words.Tiler && tilesFloor(p.Rooms[by])) {
					continue
				}
				for _, on := range p.stages[from][words.Boarding] {
					p.wait(m, wait{on: on, lag: signOff, kind: through})
				}
			}
		}
	}
}

func tilesFloor(j *standing.Standing) bool {
	for i := range j.Record.Layers {
		l := &j.Record.Layers[i]
		if s, err := j.Record.Surface(l.Surface); err == nil && s.Kind == "floor" && words.IsTile(l.Name) {
			return true
		}
	}
	return false
}

func (p *plan) roomAt(of id.Room) int {
	for i, j := range p.Rooms {
		if j.Record.ID == of {
			return i
		}
	}
	return -1
}

// fix puts pins and promises on the pieces.
func (p *plan) fix() {
	for i := range p.pieces {
		p.pieces[i].pin, p.pieces[i].weight = -1, 0
	}
	for _, pin := range p.Pins {
		for i := range p.pieces {
			if p.pieces[i].Piece == pin.Piece {
				p.pieces[i].pin = p.cal.slot(pin.On)
			}
		}
	}
	for i := range p.Promises {
		if o := &p.Promises[i]; o.Instead.IsZero() {
			p.promise(o)
		}
	}
}

// promise puts the day on the pieces that it is about; of several the earliest counts.
func (p *plan) promise(o *Promise) {
	for _, i := range p.promisedPieces(o) {
		w := &p.pieces[i]
		due := p.cal.slot(o.On.AddDate(0, 0, 1))
		if o.To != words.Client {
			due += w.likely // it is to begin on the day
		}
		if w.weight == 0 || due < w.due {
			w.due, w.weight = due, promised
		}
	}
}

// promisedPieces are those that a promise is about: for the client the last of the stage
// that have work, in each of its rooms; for a trade its own.
func (p *plan) promisedPieces(o *Promise) (out []int) {
	for i, j := range p.Rooms {
		if j.Record.Job != o.Job || !o.Room.IsZero() && j.Record.ID != o.Room {
			continue
		}
		if o.To != words.Client {
			for _, m := range p.stages[i][o.Stage] {
				if p.pieces[m].Trade == o.To {
					out = append(out, m)
				}
			}
			continue
		}
		for s := o.Stage; s >= words.FirstFix; s-- {
			if len(p.stages[i][s]) > 0 {
				out = append(out, p.stages[i][s]...)
				break
			}
		}
	}
	return out
}

// sortPieces puts each piece behind what it waits for. Faults: BadInput where rooms wait
// for each other.
func (p *plan) sortPieces() error {
	left := make([]int, len(p.pieces))
	p.then = make([][]int32, len(p.pieces))
	for i := range p.pieces {
		left[i] = len(p.pieces[i].after)
		for _, w := range p.pieces[i].after {
			p.then[w.on] = append(p.then[w.on], int32(i))
		}
		if left[i] == 0 {
			p.order = append(p.order, int32(i))
		}
	}
	for k := 0; k < len(p.order); k++ {
		for _, i := range p.then[p.order[k]] {
			if left[i]--; left[i] == 0 {
				p.order = append(p.order, i)
			}
		}
	}
	for i := range p.pieces {
		if left[i] > 0 {
			name := p.Rooms[p.pieces[i].room].Record.Name
			return fault.Bad("The rooms wait for each other.", "through",
				fmt.Sprintf("what goes into %s waits for it", words.InWords(name)), "Take out one of the ways through")
		}
	}
	return nil
}
