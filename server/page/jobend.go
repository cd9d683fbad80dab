package page

import (
	"net/http"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// closedNext stands on the pages of a closed job.
var closedNext = web.Next{Sentence: "This job is closed: nothing is owed here."}

// Closing is what is still open in a job, and the form that closes it.
func (p *Pages) Closing(c echo.Context) error { return p.closing(c, http.StatusOK, nil) }

func (p *Pages) closing(c echo.Context, status int, faults []fault.Field) error {
	if err := firm.MayRunJobs(who(c)); err != nil {
		return err
	}
	j, err := p.jobOf(c)
	if err != nil {
		return err
	}
	left, err := p.Job.LeftOpen(c.Request().Context(), who(c), j.ID)
	if err != nil {
		return err
	}
	v := web.CloseJobView{Sheet: p.Sheet(c, "Close the job"), Typed: web.Typed{Faults: faults}}
	v.Job, v.Seq, v.Closed = j.Name, j.Seq, j.ClosedAt
	for _, l := range left {
		v.Left = append(v.Left, web.LeftRoom{At: web.Place{Job: v.At.Job, Room: l.Room.String()}, Name: l.Name,
			Says: l.Says()})
	}
	if v.Next = closedNext; j.Open() {
		v.Next = web.Next{Sentence: "Nothing is open in it. Close it when the last of it is done and paid."}
		if n := len(left); n > 0 {
			v.Next.Sentence = words.Capital(words.Count(n, "room")) + " still to finish. Look at each before you close the job."
		}
	}
	return Draw(c, status, web.CloseJob, v)
}

// CloseJob closes it. Where something is open, that has to be ticked.
func (p *Pages) CloseJob(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	of, err := id.Parse[id.Job](c.Param("job"))
	if err == nil {
		_, err = p.Job.Close(c.Request().Context(), who(c), of, f.Get("anyway") == "yes")
	}
	if fault.KindOf(err) == fault.Obstacle {
		return p.closing(c, http.StatusUnprocessableEntity, []fault.Field{{Path: "anyway", Wrong: "something is still open",
			Mend: "Finish it, or say that you close the job all the same"}})
	}
	if err != nil {
		return err
	}
	return seeOther(c, PlaceOf(c).JobPage(), "job-closed")
}

// ReopenJob opens a closed job again.
func (p *Pages) ReopenJob(c echo.Context) error {
	of, err := id.Parse[id.Job](c.Param("job"))
	if err == nil {
		_, err = p.Job.Reopen(c.Request().Context(), who(c), of)
	}
	if err != nil {
		return err
	}
	return seeOther(c, PlaceOf(c).JobPage(), "job-reopened")
}

// RemoveJob takes out a job that was opened by mistake.
func (p *Pages) RemoveJob(c echo.Context) error {
	of, err := id.Parse[id.Job](c.Param("job"))
	if err == nil {
		err = p.Job.Remove(c.Request().Context(), who(c), of)
	}
	if err != nil {
		return err
	}
	return seeOther(c, web.Home, "job-removed")
}

// RemoveRoom takes out a room in which nothing is recorded.
func (p *Pages) RemoveRoom(c echo.Context) error {
	of, err := roomID(c)
	if err != nil {
		return err
	}
	j, err := p.Room.Read(c.Request().Context(), who(c), of)
	if err == nil {
		err = p.Room.Remove(c.Request().Context(), who(c), of)
	}
	if err != nil {
		return err
	}
	return seeOther(c, web.Place{Job: j.Record.Job.String()}.JobPage(), "room-removed")
}
