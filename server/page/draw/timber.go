package draw

import (
	"math"
	"net/http"
	"strconv"
	"strings"

	"lathmark/domain/caution"
	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Timbers is the form for timbers of a surface.
func (p *Pages) Timbers(c echo.Context) error {
	s, on, err := kit.On(c, p.scene, "Timbers", "surface", (*room.Record).Surface)
	if err != nil {
		return err
	}
	v := timberForm(s, on)
	v.Form = freshTimber(v)
	return kit.Draw(c, http.StatusOK, web.Timber, v)
}

// freshTimber is the form before anything is typed.
func freshTimber(v web.TimberFormView) web.TimberForm {
	return web.TimberForm{Shape: "spaced", Name: "J" + strconv.Itoa(len(v.Timbers)+1)}
}

func timberForm(s *scene, on *room.Surface) web.TimberFormView {
	s.Say("Record the timbers while you can see them.")
	v := web.TimberFormView{Sheet: s.Sheet, SurfaceID: on.ID.String(), SurfaceName: on.Name,
		Cautions: []web.Caution{kit.Shown(caution.JoistCable)},
		Cables:   cables(s.J.Record, on)}
	for _, t := range s.J.Record.Timbers {
		if t.Surface == on.ID {
			v.Timbers = append(v.Timbers, timberRow(t))
		}
	}
	for i := range s.J.Record.Datums {
		if d := &s.J.Record.Datums[i]; d.Surface == on.ID && d.Kind == words.Face {
			v.Datums = append(v.Datums, web.Option{Value: d.ID.String(), Label: d.Called()})
		}
	}
	return v
}

// AddTimbers takes one, or a run at even spacing along a face.
func (p *Pages) AddTimbers(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	s, on, err := kit.On(c, p.scene, "Timbers", "surface", (*room.Record).Surface)
	if err != nil {
		return err
	}
	timbers := timbersOf(f, s.J.Record, on)
	if err = f.Err(); err == nil {
		_, err = p.Desk.Do(c.Request().Context(), s.By, s.J.Record.ID, deed.AddTimbers{Timbers: timbers})
	}
	return p.taken(c, err, s.At.Timbers(on.ID.String()), "timbers", "Timbers",
		func(s *scene, status int, faults []fault.Field) error {
			v := timberForm(s, on)
			v.Faults = kit.OnDatumForm(faults)
			v.Form = web.TimberForm{Shape: f.Get("shape"), Face: f.Get("face"), First: f.Get("first"), Spacing: f.Get("spacing"),
				Count: f.Get("count"),
				Width: f.Get("width"), Name: f.Get("name"), From: f.Get("from"), To: f.Get("to"), Depth: f.Get("depth")}
			return kit.Draw(c, status, web.Timber, v)
		})
}

func timbersOf(f *kit.Form, r *room.Record, on *room.Surface) []room.Timber {
	t := room.Timber{Surface: on.ID, Name: f.Get("name"), Width: f.Needed("width", "width"), Depth: f.Number("depth")}
	if t.Name == "" {
		f.Bad("name", "the timber has no name", "Call it J1, or what it is")
	}
	if f.Get("shape") != "single" {
		return spacedTimbers(f, r, on, t)
	}
	a, b := f.Point("from"), f.Point("to")
	if a == nil || b == nil {
		f.Bad("from", "the centre line has not both its ends", "Give both in mm: 1200 0")
		return nil
	}
	t.ID, t.A, t.B = kit.NewID[id.Timber](f, 0), *a, *b
	return []room.Timber{t}
}

// spacedTimbers are timbers along a face, their centres counted from it; they
// run from one side of the surface to the other.
func spacedTimbers(f *kit.Form, r *room.Record, on *room.Surface, like room.Timber) []room.Timber {
	face, err := id.Parse[id.Datum](f.Get("face"))
	var d *room.Datum
	if err == nil {
		d, err = r.Datum(face)
	}
	if err != nil || d.Surface != on.ID || d.Kind != words.Face {
		f.Bad("face", "it does not say what they are counted from", "Choose the face that they run along")
		return nil
	}
	first, spacing := f.Needed("first", "first centre"), f.Needed("spacing", "spacing")
	most := 200
	if f.Get("count") != "" {
		most = f.Count("count", "timbers")
	}
	if first < 0 || spacing < 50 || like.Width >= spacing {
		f.Bad("spacing", "the spacing is under 50 mm, or under the timbers' width", "Give the distance from centre to centre")
	}
	if len(f.Wrong) > 0 {
		return nil
	}
	prefix, number := counted(like.Name)
	var out []room.Timber
	for i := range most {
		a, b, ok := across(on.Outline, d, first+float64(i)*spacing)
		if !ok {
			break
		}
		t := like
		t.ID, t.Name, t.A, t.B = kit.NewID[id.Timber](f, i), prefix+strconv.Itoa(number+i), a, b
		out = append(out, t)
	}
	if len(out) == 0 {
		f.Bad("first", "the first centre is outside the surface", "Count from the bare face")
	}
	return out
}

// counted takes a name apart: "J3" is "J" and 3; a name without a number
// counts from 1.
func counted(name string) (prefix string, number int) {
	prefix = strings.TrimRight(name, "0123456789")
	number, err := strconv.Atoi(name[len(prefix):])
	if err != nil {
		return prefix, 1
	}
	return prefix, number
}

// across is the line at an offset from a face, from where it comes into the
// outline to where it leaves it for good; false where it misses it.
func across(outline []roomsheet.Point, d *room.Datum, offset float64) (a, b roomsheet.Point, ok bool) {
	length := kit.Distance(d.A, d.B)
	du, dv := (d.B[0]-d.A[0])/length, (d.B[1]-d.A[1])/length
	from := roomsheet.Point{d.A[0] - dv*offset, d.A[1] + du*offset}
	least, most := math.Inf(1), math.Inf(-1)
	for i, p := range outline {
		q := outline[(i+1)%len(outline)]
		side := func(r roomsheet.Point) float64 { return (r[0]-from[0])*-dv + (r[1]-from[1])*du }
		sp, sq := side(p), side(q)
		if (sp > 0) == (sq > 0) {
			continue
		}
		t := sp / (sp - sq)
		at := roomsheet.Point{p[0] + (q[0]-p[0])*t, p[1] + (q[1]-p[1])*t}
		along := (at[0]-from[0])*du + (at[1]-from[1])*dv
		least, most = math.Min(least, along), math.Max(most, along)
	}
	if most-least < 1 {
		return a, b, false
	}
	at := func(along float64) roomsheet.Point {
		return roomsheet.Point{whole(from[0] + du*along), whole(from[1] + dv*along)}
	}
	return at(least), at(most), true
}

// RemoveTimber takes a timber off an open record.
func (p *Pages) RemoveTimber(c echo.Context) error {
	of, timber, err := kit.InRoom[id.Timber](c, "timber")
	if err != nil {
		return err
	}
	if _, err := p.Desk.Do(c.Request().Context(), kit.Who(c), of, deed.RemoveTimber{Timber: timber}); err != nil {
		return err
	}
	return kit.SeeOther(c, kit.PlaceOf(c).RoomPage(), "timber-off")
}
