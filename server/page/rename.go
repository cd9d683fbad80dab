package page

import (
	"net/http"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// JobName is the form for what a job is called and where it is.
func (p *Pages) JobName(c echo.Context) error {
	j, v, err := p.jobName(c)
	if err != nil {
		return err
	}
	v.Form = web.JobForm{Name: j.Name, Address: j.Address}
	return Draw(c, http.StatusOK, web.Rename, v)
}

func (p *Pages) jobName(c echo.Context) (j job.Job, v web.RenameView, err error) {
	if err := firm.MayRunJobs(who(c)); err != nil {
		return j, v, err
	}
	if j, err = p.jobOf(c); err != nil {
		return j, v, err
	}
	v = web.RenameView{Sheet: p.Sheet(c, "Name and address"), Of: "job"}
	v.Job, v.Seq, v.Closed, v.Token = j.Name, j.Seq, j.ClosedAt, withVersion(v.Token, j.Version)
	if v.Next = closedNext; j.Open() {
		v.Next = web.Next{Sentence: "Call the job as everybody on site does."}
	}
	keeps, err := p.Job.Keeps(c.Request().Context(), who(c), j.ID)
	return j, kept(v, keeps), err
}

// RenameJob takes it, unless somebody else changed it first: then both versions
// are shown.
func (p *Pages) RenameJob(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	j, v, err := p.jobName(c)
	if err != nil {
		return err
	}
	_, err = p.Job.Rename(c.Request().Context(), who(c), j.ID, f.version, f.Get("name"), f.Get("address"))
	return calledNow(c, f, err, v, v.At.JobPage(), j.Version,
		web.ConflictRow{Name: "Name", Theirs: j.Name, Yours: f.Get("name")},
		web.ConflictRow{Name: "Address", Theirs: j.Address, Yours: f.Get("address")})
}

// RoomName is the form for what a room is called.
func (p *Pages) RoomName(c echo.Context) error {
	s, v, err := p.roomName(c)
	if err != nil {
		return err
	}
	v.Form.Name = s.j.Record.Name
	return Draw(c, http.StatusOK, web.Rename, v)
}

func (p *Pages) roomName(c echo.Context) (s *scene, v web.RenameView, err error) {
	if err := firm.MayRunJobs(who(c)); err != nil {
		return nil, v, err
	}
	if s, err = p.scene(c, "Name of the room"); err != nil {
		return nil, v, err
	}
	s.say("Call the room as everybody on site does.")
	v = web.RenameView{Sheet: s.sheet, Of: "room"}
	v.Token = withVersion(v.Token, s.j.Record.Version)
	keeps, err := p.Room.Keeps(c.Request().Context(), s.by, s.j.Record.ID)
	return s, kept(v, keeps), err
}

// kept is the form with what keeps the room or the job from being removed.
func kept(v web.RenameView, keeps []fault.Field) web.RenameView {
	for _, f := range keeps {
		v.Keeps, v.WayOut = append(v.Keeps, words.Capital(f.Wrong)), f.Mend
	}
	return v
}

// RenameRoom takes it, as RenameJob does.
func (p *Pages) RenameRoom(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	s, v, err := p.roomName(c)
	if err != nil {
		return err
	}
	name := f.Get("name")
	_, err = p.Room.ChangeRoom(c.Request().Context(), s.by, s.j.Record.ID, f.version, room.Change{Name: &name})
	return calledNow(c, f, err, v, v.At.RoomPage(), s.j.Record.Version,
		web.ConflictRow{Name: "Name", Theirs: s.j.Record.Name, Yours: name})
}

// calledNow answers after a new name was asked for of what is at version.
func calledNow(c echo.Context, f *form, err error, v web.RenameView, to string, version int64,
	rows ...web.ConflictRow) error {
	fields, ok := mendable(err)
	switch {
	case err == nil:
		return seeOther(c, to, "named")
	case !ok:
		return err
	case fault.KindOf(err) == fault.Conflict && f.version != version:
		both := web.ConflictView{Sheet: v.Sheet, What: "the " + v.Of + "'s name", Who: "Somebody else", When: "a moment ago",
			Rows: rows, Again: v.At.Rename()}
		both.Title = "Two versions"
		both.Next = web.Next{Sentence: "Look at both, then enter what is right.", Action: "Open it again", Href: both.Again}
		return Draw(c, http.StatusConflict, web.Conflict, both)
	}
	v.Faults, v.Form = fields, web.JobForm{Name: f.Get("name"), Address: f.Get("address")}
	return Draw(c, mendStatus(err), web.Rename, v)
}
