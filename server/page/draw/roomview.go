package draw

import (
	"net/http"

	"lathmark/domain/deed"
	"lathmark/domain/gate"
	"lathmark/domain/standing"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// RoomPage is one room: its plan, then its schedules.
func (p *Pages) RoomPage(c echo.Context) error {
	v, j, err := p.Read(c)
	if err != nil {
		return err
	}
	waits, err := p.Desk.PendingIn(c.Request().Context(), v.By, j.Record.ID)
	if err != nil {
		return err
	}
	return kit.Draw(c, http.StatusOK, web.Room, Room(v, j, waits))
}

// Room draws it; waits is what waits in it for a choice of the viewer's.
func Room(by kit.Viewer, j *standing.Standing, waits []deed.Pending) web.RoomView {
	s := look(by, j, kit.PlanTitle)
	v := web.RoomView{Sheet: s.Sheet, Line: kit.LineOf(j, by.People), Cautions: kit.RoomCautions(j),
		Choices: by.Choices(waits), Walls: s.DifferingWalls()}
	v.MayEdit = s.Runs() && s.Open(gate.PartSchedule)
	_, unfinished := j.Record.InHand()
	v.MayMeasure = unfinished && len(j.Record.Surfaces) > 0 && !s.Closed()
	v.MayRename = s.Runs()
	if !s.Open(gate.PartSchedule) && !s.Closed() {
		v.Frozen = "First fix is signed off and frozen. To change it, the foreman reopens it."
	}
	for i := range j.Record.Surfaces {
		v.Surfaces = append(v.Surfaces, s.surface(i))
	}
	v.Fold()
	return v
}
