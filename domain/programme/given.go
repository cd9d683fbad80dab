package programme

import (
	"time"

	"lathmark/domain/id"
	"lathmark/domain/words"
)

// SlotsADay is how many slots of work a working day has.
const SlotsADay = 4

// Given is what a firm has said that its programme rests on. Where it has said nothing,
// the zero value stands for what is assumed, and the programme says that it is.
type Given struct {
	// Week has the days of the week on which the firm works, from Sunday; all false: Monday
	// to Friday.
	Week [7]bool
	// Region names the bank holidays that the firm keeps; empty: none.
	Region string
	// Crews are those that come. A trade without one has a crew of one that is assumed.
	Crews []Crew
	Away  []Away
	Rates []Rate
	Pins  []Pin
	// Promises are those that stand, and those that were given up, the oldest first.
	Promises []Promise
	// Owed is what has to arrive or to be decided before a stage.
	Owed []Owed
	// Through has rooms through which another's boards are carried: a room's decoration
	// begins after the boarding of those that hang on it.
	Through []Through
	// Coming are the days on which crews have said that they will be there.
	Coming []Coming
}

// Crew is people of one trade who come together: a firm's own, or a subcontractor.
type Crew struct {
	ID     id.Crew
	Trade  words.Trade
	Name   string
	People int // who work at one time, at least 1
	// Week is as Given.Week; all false: the firm's.
	Week [7]bool
	// Member is who it is, where it is one person who signs in; none: nobody alone.
	Member id.Member
}

// Away is a time in which a crew does not come; without a crew nobody of the firm works.
type Away struct {
	ID       id.Away
	Crew     id.Crew
	From, To time.Time // the first day and the last
	Why      string
	By       id.Member // who said so; none: from a link without an account
	At       time.Time
}

// Rate is how long a trade takes, as the firm has set it: slots of one crew for one unit of
// a stage's work, least, likely and most.
type Rate struct {
	Trade               words.Trade
	Stage               words.Stage
	Least, Likely, Most float64
}

// Pin is a piece of work that somebody has put on a day.
type Pin struct {
	Piece Piece
	On    time.Time
	By    id.Member
	At    time.Time
}

// Piece names a piece of work: a trade's part of a stage of a room.
type Piece struct {
	Room  id.Room
	Stage words.Stage
	Trade words.Trade
}

// Promise is a day that was given to the client or to a trade. It never moves by itself: it
// is kept, or another is given in its place with a reason.
type Promise struct {
	ID   id.Promise
	Job  id.Job
	Room id.Room     // none: the whole job
	To   words.Trade // words.Client, or the trade that was told when to come
	// Stage is what is done by On for the client; for a trade, what begins on it.
	Stage   words.Stage
	On      time.Time
	GivenBy id.Member
	GivenAt time.Time
	// Instead is the one that was given in its place; none while it stands.
	Instead id.Promise
	Why     string // why it was given in another's place
}

// Owed is something without which a stage cannot begin: a fitting with a lead time, or a
// decision of the client's. A position that is held is owed without being listed here.
type Owed struct {
	ID   id.Owed
	Room id.Room
	For  words.Stage
	What string
	// Lead is how many days of the calendar it takes from the order or the decision.
	Lead int
	// By is who owes it: words.Client for a decision, words.Foreman for an order.
	By words.Trade
	// Since is when it was ordered or decided; zero: not yet.
	Since time.Time
	// Came is when it was there; zero: not yet.
	Came time.Time
}

// Through says that what goes into Room is carried through By.
type Through struct{ Room, By id.Room }

// Coming is a crew's word that it will be at a job on a day. It is about that day: where
// the visit moves, it has to be asked again.
type Coming struct {
	Crew id.Crew
	Job  id.Job
	On   time.Time
	By   id.Member // none: from a link without an account
	At   time.Time
}
