package sequence

// Project is work to be put in order: who there is, what is to be done, and what
// has to wait for what. Days are numbered from 0 and are working days of whoever
// asks; a day off of everybody has no number.
type Project struct {
	Crews []Crew
	Work  []Work
	// Calendar says which day of the calendar each working day is, in any count of
	// days that rises; days beyond its end follow without a gap. None: every day is a
	// working day. Only what dries asks for it.
	Calendar []int
	// Schedules is how many schedules are tried; 0 stands for Usual.
	Schedules int
	// Seed chooses among equals: the same project and seed give the same answer.
	Seed uint64
}

// Crew is who or what work needs: people of one trade, a hoist, a room.
type Crew struct {
	ID   string
	Size int // at most so many at work on one day
	Away []Away
}

// Away is the days from From, before To, on which a crew has only Left of its size.
// Where two overlap the smaller Left counts. Work whose need is not left rests on
// those days, uses nobody then, and goes on afterwards.
type Away struct{ From, To, Left int }

// Work is one piece of work, done by the same people on successive days.
type Work struct {
	ID    string
	Days  int // 0 is a moment: it waits and is waited for, and uses nobody
	Needs []Need
	After []After
	// NotBefore is the first day on which it may start.
	NotBefore int
	// Pinned is the day on which a person wants it to start. Its crews are kept free
	// for it; it starts later only where what it waits for, or another pin, leaves no
	// choice.
	Pinned *int
	Due    *Due
}

// Need is how many of a crew a piece of work takes on each of its days.
type Need struct {
	Crew  string
	Count int
}

// After is what a piece of work waits for: it starts Lag working days or more after
// the end of another, and Dry days of the calendar or more, which run on over days
// off. Drying counts from the evening of the last day of work.
type After struct {
	Work     string
	Lag, Dry int
}

// Due is a promise: the work should end by the end of the day before Day (its End at
// most Day), and each day later costs Weight.
type Due struct{ Day, Weight int }

// Answer is one schedule that keeps everything it must.
type Answer struct {
	Days      int      // the End of what ends last
	Work      []Placed // in the project's order
	Schedules int      // how many were tried
}

// Placed is when a piece of work is done: from the day Start, before the day End.
// End is Start and its days, and those on which it rests.
type Placed struct {
	ID         string
	Start, End int
}
