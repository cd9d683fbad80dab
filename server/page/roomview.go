package page

import (
	"net/http"

	"lathmark/domain/gate"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// RoomPage is one room: its plan, then its schedules.
func (p *Pages) RoomPage(c echo.Context) error {
	s, err := p.scene(c, "Plan and schedules")
	if err != nil {
		return err
	}
	v := web.RoomView{Sheet: s.sheet, Line: lineOf(s.j, s.people), Cautions: roomCautions(s.j)}
	v.MayEdit = s.runs() && s.open(gate.PartSchedule)
	_, unfinished := s.j.Record.InHand()
	v.MayMeasure = unfinished && len(s.j.Record.Surfaces) > 0 && !s.closed()
	v.MayRename = s.runs()
	if !s.open(gate.PartSchedule) && !s.closed() {
		v.Frozen = "First fix is signed off: its record stays as it is. To change it, the foreman reopens the stage."
	}
	for i := range s.j.Record.Surfaces {
		v.Surfaces = append(v.Surfaces, s.surface(i))
	}
	if v.Choices, err = p.choices(c.Request().Context(), s); err != nil {
		return err
	}
	return Draw(c, http.StatusOK, web.Room, v)
}
