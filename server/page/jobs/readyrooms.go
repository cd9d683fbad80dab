package jobs

import (
	"slices"

	"lathmark/domain/id"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// leads are the stages that each trade leads.
var leads = map[words.Trade][]words.Stage{
	words.Electrician: {words.FirstFix, words.SecondFix}, words.Plumber: {words.FirstFix, words.SecondFix},
	words.DryLiner:  {words.Boarding},
	words.Plasterer: {words.Plaster}, words.Tiler: {words.Plaster}, words.Decorator: {words.Decoration},
}

// stagesOf are the same in words; the foreman sees to all.
var stagesOf = map[words.Trade]string{
	words.Electrician: "first fix and second fix", words.Plumber: "first fix and second fix", words.DryLiner: "boarding",
	words.Plasterer: "plaster", words.Tiler: "tiling", words.Joiner: "your trade", words.Decorator: "decoration",
	words.Foreman: "you",
}

// Ready is which rooms are ready for the person's trade and since when, and
// what the others wait for.
func (p *Pages) Ready(c echo.Context) error { return list(c, p, web.Ready, Ready) }

// Ready draws it.
func Ready(by kit.Viewer, a Across) web.ReadyView {
	trade := kit.TradeOf(by.By)
	rooms, sheets := standing.Ready(a.Rooms, trade), standing.Overview(a.Rooms, trade)
	v := web.ReadyView{Sheet: by.Sheet("Ready rooms"), Stage: stagesOf[trade]}
	v.Seqs = a.Seqs
	v.Next = web.Next{Sentence: "Nothing for you here yet."}
	listed := map[id.Room]bool{}
	for _, r := range rooms {
		listed[r.Room] = true
		row := web.ReadyRoom{At: web.Place{Job: r.Job.String(), Room: r.Room.String()}, Job: r.JobName, Room: r.Name,
			Stage: r.Stage.String(),
			Since: r.Since, Left: words.Capital(r.Stage.String()) + " is yours."}
		row.Act, row.Href = "Look at the stage", row.At.Gate(r.Stage.Slug())
		v.Rooms = append(v.Rooms, row)
	}
	for _, j := range sheets {
		for _, r := range j.Rows {
			if at, waits := current(r); waits && !listed[r.Room.ID] && comes(r, trade) {
				v.Soon = append(v.Soon, web.SoonRoom{Job: j.Name, Room: r.Room.Name, WaitsFor: at})
			}
			if i := place(rooms, r.Room.ID); i >= 0 && r.Next.Task != nil {
				v.Rooms[i].Left = tilers(a.Rooms, r.Room.ID, trade) + r.Next.Sentence
				v.Rooms[i].Act, v.Rooms[i].Href = kit.Doing(v.Rooms[i].At, *r.Next.Task)
			}
		}
	}
	if len(v.Rooms) > 0 {
		first := v.Rooms[0]
		v.Next = web.Next{Sentence: first.Room + ", " + first.Job + ": " + first.Left, Action: first.Act, Href: first.Href}
	}
	return v
}

// tilers says what is done before tiles in a room; "" for others than the tiler.
func tilers(all []*standing.Standing, of id.Room, trade words.Trade) string {
	i := slices.IndexFunc(all, func(j *standing.Standing) bool { return j.Record.ID == of })
	switch {
	case trade != words.Tiler || i < 0:
		return ""
	case len(all[i].Gate.Tasks(words.Plasterer)) > 0:
		return "Boarding done: ready for tiling. "
	}
	return "Boarding and plaster done: ready for tiling. "
}

// comes reports whether a room will still be a trade's: a stage that it leads
// is not signed off.
func comes(r standing.Row, t words.Trade) bool {
	for _, cell := range r.Cells {
		if cell.State != words.SignedOff && (t == words.Foreman || slices.Contains(leads[t], cell.Stage)) {
			return true
		}
	}
	return false
}

func place(rooms []standing.ReadyRoom, of id.Room) int {
	for i, r := range rooms {
		if r.Room == of {
			return i
		}
	}
	return -1
}

// current says how far a room's stage in hand is; false where all are signed.
func current(r standing.Row) (string, bool) {
	for _, cell := range r.Cells {
		switch {
		case cell.State == words.SignedOff:
			continue
		case cell.State == words.Offered:
			return cell.Stage.String() + ": to be signed off", true
		case cell.Hard > 0:
			return cell.Stage.String() + ": " + words.Count(cell.Hard, "obstacle"), true
		}
		return cell.Stage.String() + ": to be offered", true
	}
	return "", false
}
