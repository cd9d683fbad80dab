package jobs

import (
	"net/url"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// JobName is the form for what a job is called and where it is. Where somebody
// else changed it first, both versions are shown.
func (p *Pages) JobName() kit.Pair {
	return kit.Filled[web.RenameView]{May: firm.MayRunJobs, Page: web.Rename, View: p.jobName,
		Take: func(c echo.Context, f *kit.Form) (to, said string, err error) {
			j, err := p.JobOf(c)
			if err != nil {
				return "", "", err
			}
			_, err = p.Job.Rename(c.Request().Context(), kit.Who(c), j.ID, f.Version, f.Get("name"), f.Get("address"))
			return p.calledNow(c, f, err, j.Version, "job",
				web.ConflictRow{Name: "Name", Theirs: j.Name, Yours: f.Get("name")},
				web.ConflictRow{Name: "Address", Theirs: j.Address, Yours: f.Get("address")})
		}}.Pair()
}

func (p *Pages) jobName(c echo.Context, typed web.Typed) (v web.RenameView, err error) {
	j, v0, err := p.jobSheet(c, "Name and address")
	if err != nil {
		return v, err
	}
	typed.Begins = url.Values{"name": {j.Name}, "address": {j.Address}}
	v = web.RenameView{Sheet: v0, Typed: typed, Of: "job"}
	v.Token = kit.WithVersion(v.Token, j.Version)
	if j.Open() {
		v.Next = web.Next{Sentence: "Use the name everybody on site uses."}
	}
	keeps, err := p.Job.Keeps(c.Request().Context(), kit.Who(c), j.ID)
	return kept(v, keeps), err
}

// RoomName is the form for what a room is called, as JobName.
func (p *Pages) RoomName() kit.Pair {
	return kit.Filled[web.RenameView]{May: firm.MayRunJobs, Page: web.Rename, View: p.roomName,
		Take: func(c echo.Context, f *kit.Form) (to, said string, err error) {
			_, j, err := p.Read(c)
			if err != nil {
				return "", "", err
			}
			name, use := f.Get("name"), words.Use(f.Get("use"))
			_, err = p.Desk.Do(c.Request().Context(), kit.Who(c), j.Record.ID, deed.ChangeRoom{Version: f.Version,
				Change: room.Change{Name: &name, Use: &use}})
			return p.calledNow(c, f, err, j.Record.Version, "room",
				web.ConflictRow{Name: "Name", Theirs: j.Record.Name, Yours: name},
				web.ConflictRow{Name: "Used as", Theirs: j.Record.Use.String(), Yours: use.String()})
		}}.Pair()
}

func (p *Pages) roomName(c echo.Context, typed web.Typed) (v web.RenameView, err error) {
	s, err := p.Scene(c, "Name and use of the room")
	if err != nil {
		return v, err
	}
	s.Say("Use the name everybody on site uses.")
	typed.Begins = url.Values{"name": {s.J.Record.Name}, "use": {string(s.J.Record.Use)}}
	v = web.RenameView{Sheet: s.Sheet, Typed: typed, Of: "room"}
	v.Token = kit.WithVersion(v.Token, s.J.Record.Version)
	keeps, err := p.Desk.Keeps(c.Request().Context(), s.By, s.J.Record.ID)
	return kept(v, keeps), err
}

// kept is the form with what keeps the room or the job from being removed.
func kept(v web.RenameView, keeps []fault.Field) web.RenameView {
	for _, f := range keeps {
		v.Keeps, v.WayOut = append(v.Keeps, words.Capital(f.Wrong)), f.Mend
	}
	return v
}

// calledNow answers after a new name was asked for of what is at version.
func (p *Pages) calledNow(c echo.Context, f *kit.Form, err error, version int64, of string,
	rows ...web.ConflictRow) (to, said string, _ error) {
	at := kit.PlaceOf(c)
	to = at.JobPage()
	if of == "room" {
		to = at.RoomPage()
	}
	answered, err := kit.TwoVersions(c, err, f.Version, version, web.ConflictView{Sheet: p.Sheet(c, ""),
		What: "the " + of + "'s name", Rows: rows, Again: at.Rename()})
	if answered {
		to = ""
	}
	return to, "named", err
}
