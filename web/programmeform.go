package web

import (
	"time"

	"lathmark/domain/id"
	"lathmark/domain/programme"
	"lathmark/domain/words"
)

// Addresses of what is said for the programme.
const (
	WeekPath     = "/programme/week"
	CrewsPath    = "/programme/crews"
	RatesPath    = "/programme/rates"
	NextWeeks    = "/programme/mine"
	ComingPath   = "/programme/mine/coming" // a POST says that one will be there
	CantPath     = "/programme/mine/away"   // a POST says that one can't
	BackPath     = "/programme/mine/back"   // a POST takes that back
	CalendarPath = "/programme/calendar"
	// EndCalendarPath is where a POST ends one's own calendar's address.
	EndCalendarPath = "/programme/calendar/end"
	VisitsLinkPath  = "/comes/"    // followed by a crew's secret
	FeedPath        = "/calendar/" // followed by a secret and FeedFile
	FeedFile        = "/visits.ics"
)

// CrewPage is the address of a crew.
func CrewPage(id string) string { return CrewsPath + "/" + part(id) }

// EndCrew is where a POST ends a crew.
func EndCrew(id string) string { return CrewPage(id) + "/end" }

// CrewAway is where a POST says when a crew does not come.
func CrewAway(id string) string { return CrewPage(id) + "/away" }

// CrewLink is where a POST makes a private address for a crew.
func CrewLink(id string) string { return CrewPage(id) + "/link" }

// EndCrewLink is where a POST ends that.
func EndCrewLink(id string) string { return CrewPage(id) + "/link/end" }

// BackAgain is where a POST takes an absence back.
func BackAgain(id string) string { return "/programme/away/" + part(id) + "/back" }

// GiveInstead is the address of the form that promises another day.
func (p Place) GiveInstead(id string) string { return p.Promises() + "/" + part(id) }

// Came is where a POST says that what was owed is there.
func (p Place) Came(id string) string { return p.Owed() + "/" + part(id) + "/came" }

// DropOwed is where a POST takes out what is owed by mistake.
func (p Place) DropOwed(id string) string { return p.Owed() + "/" + part(id) + "/drop" }

// Through is where a POST says through which rooms one is reached.
func (p Place) Through(room string) string { return p.Owed() + "/through/" + part(room) }

// Move is the form that puts a piece of work on a day.
var Move = Page[MoveView]{"move"}

// MoveView is that form, and what would come of the day that was chosen. Fields: piece, on.
type MoveView struct {
	Sheet
	Typed
	Piece programme.Piece
	Now   *programme.Placed // where it stands in the programme; nil: nowhere
	Visit programme.Visit   // the visit in which it stands
	Pin   *programme.Pin    // nil: it is free to move
	On    time.Time         // the day that was chosen; zero: none yet
	Tried *programme.Programme
}

// Moved is what else would move.
func (v MoveView) Moved() []programme.Moved {
	if v.Tried == nil {
		return nil
	}
	return v.Tried.Moved
}

// Week is the form for the days on which the firm works.
var Week = Page[WeekView]{"week"}

// WeekView is that form. Fields: day, of which there are some, 0 for Sunday; region; and of the form for days on which
// nobody works: from, to, why.
type WeekView struct {
	Sheet
	Typed
	Regions []Option
	Away    []programme.Away // of the whole firm
}

// Weekdays are the days of the week to choose from, Monday first.
func Weekdays() (out []Option) {
	for i := range 7 {
		n := (i + 1) % 7
		out = append(out, Option{string(rune('0' + n)), time.Weekday(n).String()})
	}
	return out
}

// Crews is the list of those who come, with a form for one more.
var Crews = Page[CrewsView]{"crews"}

// CrewForm is what the forms of a crew offer. Fields: trade, name, people, member, day.
type CrewForm struct{ Trades, Members []Option }

// CrewsView is that list.
type CrewsView struct {
	Sheet
	Typed
	CrewForm
	Rows []programme.Crew
	Away []programme.Away
}

// AwayOf are the absences of a crew that have not ended.
func (v CrewsView) AwayOf(c id.Crew) (out []programme.Away) {
	for _, a := range v.Away {
		if a.Crew == c {
			out = append(out, a)
		}
	}
	return out
}

// Crew is one crew's page.
var Crew = Page[CrewView]{"crew"}

// CrewView is a crew with its absences and its private address. Fields besides those of
// CrewForm: from, to, why.
type CrewView struct {
	Sheet
	Typed
	CrewForm
	programme.Crew
	Away     []programme.Away
	LinkHref string // the address in full, shown once; else ""
	LinkMade time.Time
	LinkEnds time.Time
}

// Rates is the form for how long a trade takes.
var Rates = Page[RatesView]{"rates"}

// RatesView is that form. Fields: of each line least, likely and most, behind its own name.
type RatesView struct {
	Sheet
	Typed
	Rows []RateRow
}

// RateRow is a rate with where it comes from.
type RateRow struct {
	programme.Rate
	Unit string // "position", "m²"
	Set  bool   // by the firm; else it is assumed, or learned
}

// Name is the row's name in its fields.
func (r RateRow) Name() string { return string(r.Trade) + "." + r.Stage.Code() }

// Promises is the list of a job's promises, with a form for one more.
var Promises = Page[PromisesView]{"promises"}

// PromisesView is that list. Fields: what (a room and a stage, or the job), to, on.
type PromisesView struct {
	Sheet
	Typed
	Stand []programme.Kept
	Old   []OldPromise
	Rooms []Option
	Tos   []Option
	Steps []Option // the stages
}

// OldPromise is one in whose place another was given.
type OldPromise struct {
	programme.Promise
	About string
	Now   time.Time
	Why   string
}

// AnotherDay is the form that gives another day in a promise's place.
var AnotherDay = Page[AnotherDayView]{"another-day"}

// AnotherDayView is that form. Fields: on, why.
type AnotherDayView struct {
	Sheet
	Typed
	programme.Kept
}

// Owed is the list of what has to arrive or to be decided in a job.
var Owed = Page[OwedView]{"owed"}

// OwedView is that list. Fields: room, for, what, by, lead, since; of the form of what is
// carried through: through, of which there are some.
type OwedView struct {
	Sheet
	Typed
	Rows  []OwedRow
	Rooms []Option
	Steps []Option
	Ways  []ThroughRow
}

// OwedRow is one thing that is owed.
type OwedRow struct {
	programme.Owed
	RoomName string
}

// ThroughRow is a room with those through which it is reached.
type ThroughRow struct {
	ID   id.Room
	Name string
	Over []id.Room
}

// Is reports whether a room is reached through another.
func (r ThroughRow) Is(by string) bool {
	for _, of := range r.Over {
		if of.String() == by {
			return true
		}
	}
	return false
}

// Mine is what a trade reads of its next weeks.
var Mine = Page[MineView]{"mine"}

// MineView is the visits of a trade's own crews. Its Sheet has no Person where it is read from
// a link without an account. Fields: crew, job, on; from, to, why.
type MineView struct {
	Sheet
	Typed
	Crews  []programme.Crew
	Weeks  []VisitWeek
	Away   []programme.Away // of the crews
	Made   time.Time        // zero: none is worked out yet
	Coming func(programme.Visit) bool
	// Where the forms go to.
	ComeHref, CantHref, BackHref string
	Link                         bool // it is read from a link
}

// VisitWeek is the visits that begin in a week.
type VisitWeek struct {
	From   time.Time // its Monday
	Visits []programme.Visit
}

// WeeksOf puts visits into weeks.
func WeeksOf(visits []programme.Visit) (out []VisitWeek) {
	for _, v := range visits {
		monday := v.From.AddDate(0, 0, -(int(v.From.Weekday())+6)%7)
		if len(out) == 0 || !out[len(out)-1].From.Equal(monday) {
			out = append(out, VisitWeek{From: monday})
		}
		last := &out[len(out)-1]
		last.Visits = append(last.Visits, v)
	}
	return out
}

// SureOf says how sure a visit's days are, from how often they hold up the end.
func SureOf(v programme.Visit) string {
	switch {
	case v.Promised:
		return "promised"
	case v.Pinned:
		return "fixed by the foreman"
	}
	return "as planned today; it may move"
}

// Calendar is the page on which people make and end their own calendar's address.
var Calendar = Page[CalendarView]{"calendar"}

// CalendarView is that page.
type CalendarView struct {
	Sheet
	Href       string // the address in full, shown once; else ""
	Made, Ends time.Time
}

// StageOptions are the stages to choose from.
func StageOptions() (out []Option) {
	for _, s := range words.Stages {
		out = append(out, Option{s.Slug(), words.Capital(s.String())})
	}
	return out
}

// awayList are absences with a page's token.
type awayList struct {
	Token string
	Away  []programme.Away
}

func newAwayList(token string, away []programme.Away) awayList { return awayList{token, away} }

// weekDays is a choice of days of the week.
type weekDays struct {
	form Typed
	Input
	Days []Option
}

// newWeekDays returns the choice on a page with a form; a fault of it is about "week".
func newWeekDays(page interface{ typed() Typed }, label string) weekDays {
	in := page.typed().Field("week", label, "")
	return weekDays{page.typed(), in, Weekdays()}
}

// Ticked reports whether a day is chosen.
func (w weekDays) Ticked(name, value string) bool { return w.form.Ticked(name, value) }

func (t Typed) typed() Typed { return t }

func crewOptions(crews []programme.Crew) (out []Option) {
	for _, c := range crews {
		out = append(out, Option{c.ID.String(), c.Name})
	}
	return out
}

// settled is on the button that says that what is owed is on its way.
func settled(by words.Trade) string {
	if by == words.Client {
		return "Decided today"
	}
	return "Ordered today"
}
