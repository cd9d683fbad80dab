package phone

import (
	"bytes"
	"encoding/json"
	"slices"
	"strconv"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/sums"
	"lathmark/domain/words"
	"lathmark/server/page/draw"
	"lathmark/server/page/jobs"
	"lathmark/server/page/kit"
	"lathmark/server/page/visits"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// leaf is a page of the copy, not yet drawn.
type leaf struct {
	path string
	draw func() (copied, error)
}

// page is a leaf of a page.
func page(path string, fill func() (web.Filled, error)) leaf {
	return leaf{path, func() (copied, error) {
		p, err := fill()
		if err != nil {
			return copied{}, err
		}
		var b bytes.Buffer
		if err := p.Render(&b); err != nil {
			return copied{}, err
		}
		s, body := p.Shown(), b.String()
		one := copied{Type: echo.MIMETextHTMLCharsetUTF8, Tag: tagOf(b.Bytes()), Made: web.Instant(s.Date),
			Body: &body}
		if s.Seq != 0 {
			one.Seq = strconv.FormatInt(s.Seq, 10)
		}
		return one, nil
	}}
}

// copying is what a copy is drawn from, read once for all rooms.
type copying struct {
	kit.Viewer
	jobs.Across
	waits  []deed.Pending
	signed map[id.Room][]room.SignOff
}

// leaves are the pages of a visit: the lists, the pages of each room, and the
// forms of single readings and holes that this person may fill in.
func (p *Pages) leaves(c echo.Context) ([]leaf, error) {
	a, err := jobs.ReadAcross(c, p.House)
	if err != nil {
		return nil, err
	}
	v, err := p.Viewer(c)
	if err != nil {
		return nil, err
	}
	rooms := standing.Visits(a.Rooms, v.By)
	k := copying{Viewer: v.Kept(), Across: a, signed: map[id.Room][]room.SignOff{}}
	ctx := c.Request().Context()
	// Without this right nobody is shown a room's page, though the others.
	mayRecord := firm.MayRecord(v.By) == nil
	if mayRecord {
		if k.waits, err = p.Desk.PendingIn(ctx, v.By, id.Room{}); err != nil {
			return nil, err
		}
	}
	out := k.lists()
	for _, r := range rooms {
		if k.isSigned(r) { // hardly ever: there is nothing to do at such a stage
			if k.signed[r.Room], err = p.Desk.SignOffs(ctx, v.By, r.Room); err != nil {
				return nil, err
			}
		}
		if mayRecord {
			out = append(out, k.room(r.Standing))
		}
		out = append(out, k.pages(r.Standing)...)
		out = append(out, k.gates(r)...)
	}
	for _, r := range rooms {
		out = append(out, k.forms(r, mayRecord)...)
	}
	return out, nil
}

func (k *copying) lists() []leaf {
	out := []leaf{
		page(web.VisitsPath, func() (web.Filled, error) { return web.Visits.Fill(jobs.Visits(k.Viewer, k.Across)), nil }),
		page(web.TasksPath, func() (web.Filled, error) { return web.Tasks.Fill(jobs.Tasks(k.Viewer, k.Across)), nil }),
		page(web.ReadyPath, func() (web.Filled, error) { return web.Ready.Fill(jobs.Ready(k.Viewer, k.Across)), nil }),
	}
	if kit.TradeOf(k.By) == words.Foreman { // the others are led to their tasks
		out = append(out, page(web.Home, func() (web.Filled, error) {
			return web.Dashboard.Fill(jobs.Dashboard(k.Viewer, k.Across)), nil
		}))
	}
	return out
}

func (k *copying) room(j *standing.Standing) leaf {
	var waits []deed.Pending
	for _, w := range k.waits {
		if w.Room == j.Record.ID {
			waits = append(waits, w)
		}
	}
	return page(kit.PlaceOfRoom(j).RoomPage(), func() (web.Filled, error) {
		return web.Room.Fill(draw.Room(k.Viewer, j, waits)), nil
	})
}

// of is a leaf of a room's page.
func (k *copying) of(j *standing.Standing, path, one string, draw kit.Page) leaf {
	return page(path, func() (web.Filled, error) { return draw(k.Viewer, j, one) })
}

// pages are a room's pages but the first.
func (k *copying) pages(j *standing.Standing) []leaf {
	at := kit.PlaceOfRoom(j)
	return []leaf{
		k.of(j, at.Measure(), "", visits.MeasureAt(visits.MeasureFrom{})),
		k.of(j, at.Tails(), "", visits.Tails),
		k.of(j, at.AsBuilt(), "", visits.AsBuilt),
		k.of(j, at.Finished(), "", visits.Finished),
		k.of(j, at.SetOut(), "", visits.SetOut),
		k.of(j, at.Holes(), "", visits.Holes),
		k.of(j, at.Schedule(), "", draw.Schedule),
		k.of(j, at.Patches(), "", visits.Patches),
		k.of(j, at.Snags(), "", visits.Snags),
		k.of(j, at.Photos(), "", visits.Photos),
		{at.Sums(), func() (copied, error) { return sumsOf(j) }},
	}
}

// sumsOf is the room as the phone works it out by itself.
func sumsOf(j *standing.Standing) (copied, error) {
	var b bytes.Buffer
	if err := json.NewEncoder(&b).Encode(sums.Of(j.Record)); err != nil {
		return copied{}, err
	}
	body := b.String()
	return copied{Type: echo.MIMEApplicationJSON, Tag: tagOf(b.Bytes()), Body: &body}, nil
}

// stages are those of which a visit keeps the page: the one in hand, and each
// that something is to be done at.
func stages(r standing.RoomTasks) []words.Stage {
	out := []words.Stage{r.InHand}
	for _, t := range r.Tasks {
		if !slices.Contains(out, t.Stage) {
			out = append(out, t.Stage)
		}
	}
	return out
}

func (k *copying) isSigned(r standing.RoomTasks) bool {
	return slices.ContainsFunc(stages(r), func(s words.Stage) bool {
		return r.Record.Gates[s].State == words.SignedOff
	})
}

func (k *copying) gates(r standing.RoomTasks) (out []leaf) {
	for _, s := range stages(r) {
		out = append(out, k.of(r.Standing, kit.PlaceOfTasks(r).Gate(s.Slug()), "", visits.Gate(s, k.signed[r.Room])))
	}
	return out
}

// forms are those of single readings and of holes that the pages of the room
// lead to: those that this person may fill in.
func (k *copying) forms(r standing.RoomTasks, mayRecord bool) (out []leaf) {
	at, j := kit.PlaceOfTasks(r), r.Standing
	_, unfinished := j.Record.InHand()
	asked := askedAbout(r)
	for i := range j.Record.Measurements {
		m := &j.Record.Measurements[i]
		if asked[m.ID.String()] || mayRecord && unfinished && j.Mendable(m) {
			out = append(out, k.of(j, at.Reading(m.ID.String()), m.ID.String(), visits.Reading))
		}
	}
	for _, h := range j.Holes {
		q := h.Position.ID.String()
		out = append(out, k.of(j, at.Outcome(q), q, visits.Outcome))
	}
	return out
}

// askedAbout are the readings that a task or an obstacle of a room asks to look at.
func askedAbout(r standing.RoomTasks) map[string]bool {
	out := map[string]bool{}
	note := func(about gate.About) {
		if about.Kind == gate.KindMeasurement {
			out[about.ID] = true
		}
	}
	for _, t := range r.Tasks {
		note(t.About)
	}
	for _, s := range stages(r) {
		for _, o := range r.Obstacles(s) {
			note(o.About)
		}
	}
	return out
}
