package programme

import (
	"crypto/sha256"
	"encoding/hex"
	"net/http"

	"lathmark/domain/firm"
	"lathmark/server/feed"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Calendar is the page on which somebody makes and ends the own calendar's address.
func (p *Pages) Calendar(c echo.Context) error {
	v, err := p.calendarView(c)
	if err != nil {
		return err
	}
	return kit.Draw(c, http.StatusOK, web.Calendar, v)
}

func (p *Pages) calendarView(c echo.Context) (web.CalendarView, error) {
	by := kit.Who(c)
	v := web.CalendarView{Sheet: p.Sheet(c, "In your calendar")}
	v.Next = web.Next{Sentence: "Make an address, and put it into your calendar."}
	if err := firm.MayRecord(by); err != nil {
		return v, err
	}
	links, err := p.Programme.VisitLinks(c.Request().Context(), by)
	for _, l := range links {
		if l.Member == by.ID {
			v.Made, v.Ends = l.Made, l.Expires
			v.Next.Sentence = "Your calendar follows the programme."
		}
	}
	return v, err
}

// MakeCalendar makes the address and shows it this once.
func (p *Pages) MakeCalendar(c echo.Context) error {
	if err := firm.MayRecord(kit.Who(c)); err != nil {
		return err
	}
	token, err := p.Programme.CalendarLink(c.Request().Context(), kit.Who(c))
	if err != nil {
		return err
	}
	v, err := p.calendarView(c)
	if err != nil {
		return err
	}
	v.Href = p.BaseURL + web.FeedPath + token + web.FeedFile
	return kit.Secret(c, http.StatusOK, web.Calendar, v)
}

// EndCalendar ends it.
func (p *Pages) EndCalendar(c echo.Context) error {
	err := firm.MayRecord(kit.Who(c))
	if err == nil {
		err = p.Programme.EndCalendarLink(c.Request().Context(), kit.Who(c))
	}
	if err != nil {
		return err
	}
	return kit.SeeOther(c, web.CalendarPath, "calendar-ended")
}

// Feed is the visits that a private address stands for, as a calendar reads them. Who says
// that they have it as it is (If-None-Match) is answered with 304.
func (p *Pages) Feed(c echo.Context) error {
	got, _, err := p.Programme.ReadLink(c.Request().Context(), c.Param("link"))
	if err != nil {
		return err
	}
	body := feed.Calendar(got)
	sum := sha256.Sum256(body)
	tag := `"` + hex.EncodeToString(sum[:16]) + `"`
	h := c.Response().Header()
	h.Set("ETag", tag)
	h.Set("X-Robots-Tag", "noindex, nofollow")
	if kit.HasTag(c, tag) {
		return c.NoContent(http.StatusNotModified)
	}
	return c.Blob(http.StatusOK, feed.Type, body)
}
