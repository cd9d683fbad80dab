package web

import (
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/id"
	"lathmark/domain/programme"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// Dashboard is the foreman's first page: every job.
var Dashboard = Page[DashboardView]{"dashboard"}

// DashboardView is every job of the firm with its rooms against the stages.
type DashboardView struct {
	Sheet
	Jobs []JobTable
}

// JobTable is one job: rooms in the order of a walk through the house.
type JobTable struct {
	At      Place
	Name    string
	Address string
	Rooms   []RoomLine
	// Broken are rooms whose records can't be read: no more than where they are and
	// what they are called.
	Broken []RoomLine
}

// RoomLine is one room against the five stages.
type RoomLine struct {
	At    Place
	Name  string
	Gates [5]Gate
	// Now is the current stage, an index into Gates; -1 when all are signed.
	Now int
	// Next says who is next and for what: "Ola Brandt: measure D4".
	Next string
}

// Current returns the current gate, or nil if the room is finished.
func (r RoomLine) Current() *Gate {
	if r.Now < 0 || r.Now >= len(r.Gates) {
		return nil
	}
	return &r.Gates[r.Now]
}

// Job is one job's page.
var Job = Page[JobView]{"job"}

// JobView is one job.
type JobView struct {
	Sheet
	Table JobTable
	// MayEdit says that the viewer may add rooms and make links (foreman and
	// owner).
	MayEdit bool
	// ProgressHref is the client's private link in full, shown once, just
	// after it was made; else "".
	ProgressHref string
	// ProgressMade is when the link in use was made, zero for none,
	// ProgressEnds when it expires.
	ProgressMade, ProgressEnds time.Time
}

// NewJob is the form for a new job.
var NewJob = Page[JobFormView]{"job-form"}

// JobFormView is the form for a job. Fields: name, address.
type JobFormView struct {
	Sheet
	Typed
}

// NewRoom is the form for a new room.
var NewRoom = Page[RoomFormView]{"room-form"}

// RoomFormView is the form for a room. Fields: name; height, floor to ceiling;
// use, what the room is used for; shape, which of the three next counts; length and
// width; walls, a line each: "3600 left", the turn
// at its end; corners, a line each: "0 0"; breasts, a line each: "north 1200 1100
// 350": wall, from its start, wide, deep; slopes, a line each: "south 35 900": low
// wall, pitch in degrees, knee height; wet, a line per bath or shower: "bath 0 0
// 1700 0 1700 700 0 700": its corners in the room; build_up, of every wall. Of a copy:
// of, copy_name, with_schedule, with_timbers.
type RoomFormView struct {
	Sheet
	Typed
	BuildUps []Option // the firm's standard build-ups
	Others   []Option // the rooms that can be copied
}

// Uses are what a room may be used for, to choose from.
func (v RoomFormView) Uses() []Option { return uses() }

func uses() (out []Option) {
	for _, u := range words.Uses {
		out = append(out, Option{string(u), words.Capital(u.String())})
	}
	return out
}

// ImportRoom is the form that imports a room sheet as a new room.
var ImportRoom = Page[ImportView]{"import"}

// ImportView is the form for a room sheet. Fields: name, sheet (a text).
type ImportView struct {
	Sheet
	Typed
}

// Diary is the diary of a job.
var Diary = Page[DiaryView]{"diary"}

// DiaryView is who did what when, newest first. Nothing is ever removed. Fields of the
// form, which is sent with GET: room, who, kind, day.
type DiaryView struct {
	Sheet
	Typed
	RoomOptions, WhoOptions, KindOptions []Option

	Days  []DiaryDay
	Does  map[id.Member]string // what each member does
	Rooms map[id.Room]string   // their names
	// Older and Newer are the addresses of the pages before and after this one in time,
	// "" at the ends. All is that of the diary without a filter, "" where there is none.
	Older, Newer, All string
}

// DiaryDay is one day of the diary.
type DiaryDay struct {
	Date    time.Time
	Entries []diary.Entry
	// Folded says that the day is shown when it is asked for.
	Folded bool
}

// Progress is the client's page, behind a private link.
var Progress = Page[ProgressView]{"progress"}

// ProgressView is one job as its client sees it: no mistakes, no names of
// people on site, no measurements. Its Sheet has no Person.
type ProgressView struct {
	Sheet
	Rooms []standing.RoomProgress
	// When is the job's programme as its client may see it; nil: none is worked out yet.
	When *programme.Programme
}

// Waiting returns how many choices wait for the client.
func (v ProgressView) Waiting() (n int) {
	for _, r := range v.Rooms {
		n += len(r.Decisions)
	}
	return n
}
