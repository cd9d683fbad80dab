package kit

import (
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/auth"
	"lathmark/web"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// Viewer is somebody who looks at pages, with all that a page takes from
// elsewhere than the records that it shows.
type Viewer struct {
	By     firm.Person // the zero Person for nobody
	Firm   string
	Zone   words.Zone    // the firm's
	People People        // of the firm; nil for pages that name nobody else
	Here   []firm.Person // those on site who have not left
	Date   time.Time
	// Done is what was just put on record, as a sentence.
	Done string
}

// Looker is who asks, without the firm's people.
func (p *House) Looker(c echo.Context) Viewer {
	a, _ := auth.Who(c)
	return Viewer{By: a.Person, Firm: a.FirmName, Zone: a.Zone, Date: p.Now(), Done: Done(c.QueryParam("done"))}
}

// Viewer is who asks.
func (p *House) Viewer(c echo.Context) (v Viewer, err error) {
	v = p.Looker(c)
	v.People, v.Here, err = p.everyone(c.Request().Context(), v.By)
	return v, err
}

// Kept is the viewer of pages that a phone keeps: they name nobody else but by initials.
func (v Viewer) Kept() Viewer {
	v.People = v.People.initialled(v.By.ID)
	here := make([]firm.Person, 0, len(v.Here))
	for _, p := range v.Here {
		here = append(here, v.People[p.ID])
	}
	v.Here = here
	return v
}

// Sheet is what every page has: the title block without job and room.
func (v Viewer) Sheet(title string) web.Sheet {
	s := web.Sheet{Token: uuid.Must(uuid.NewV7()).String(), Title: title, Date: v.Date, Zone: v.Zone, Done: v.Done,
		Names: v.People}
	if s.Nobody = v.By.ID.IsZero(); !s.Nobody {
		s.Firm, s.FirmID, s.Person = v.Firm, v.By.Firm.String(), Named(v.By)
	}
	return s
}

// Scene is a room as the viewer looks at it.
func (v Viewer) Scene(j *standing.Standing, title string) *Scene {
	s := &Scene{By: v.By, J: j, People: v.People, Here: v.Here, Sheet: v.Sheet(title),
		At: PlaceOfRoom(j)}
	s.Sheet.At, s.Sheet.Job, s.Sheet.Room, s.Sheet.Seq = s.At, j.Record.JobName, j.Record.Name, j.Seq
	s.Sheet.Links = s.links(title)
	s.Sheet.Turn = v.People.inTrade(j.Gate.WhoNext())
	s.Sheet.Next = NextOf(s.At, j, TradeOf(v.By))
	if s.Sheet.Closed = j.Record.JobClosed; s.Closed() {
		s.Sheet.Turn, s.Sheet.Next = "", ClosedNext
	}
	return s
}

// Read reads who asks, and the room that the address names.
func (p *House) Read(c echo.Context) (v Viewer, j *standing.Standing, err error) {
	of, err := RoomID(c)
	if err != nil {
		return v, nil, err
	}
	if j, err = p.Book.Read(c.Request().Context(), Who(c), of); err != nil {
		return v, nil, err
	}
	v, err = p.Viewer(c)
	return v, j, err
}
