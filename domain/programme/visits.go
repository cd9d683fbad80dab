package programme

import (
	"slices"
	"strings"

	"lathmark/domain/id"
)

// visits are the crews' visits as they are likely, by day and then crew. A crew that goes
// on with the same job within a working day of its own is on the same visit.
func (p *plan) visits() (out []Visit) {
	r := &p.likely
	last := make(map[int]int)      // the crew's last piece, and one
	at := make(map[int]int)        // its visit in out
	order := slices.Clone(p.order) // by when they begin
	slices.SortStableFunc(order, func(a, b int32) int { return int(r.start[a] - r.start[b]) })
	for _, i := range order {
		w := &p.pieces[i]
		before := last[w.crew] - 1
		if before < 0 || !p.sameVisit(r, int32(before), i) {
			at[w.crew] = len(out)
			out = append(out, p.visit(i))
		}
		v := &out[at[w.crew]]
		p.add(v, int(i))
		last[w.crew] = int(i) + 1
	}
	slices.SortStableFunc(out, func(a, b Visit) int {
		if d := a.From.Compare(b.From); d != 0 {
			return d
		}
		return strings.Compare(a.Name, b.Name)
	})
	return out
}

// visit begins one with its first piece.
func (p *plan) visit(i int32) Visit {
	w := &p.pieces[i]
	c := &p.crews[w.crew]
	return Visit{Key: p.key(w), Crew: c.ID, Name: c.Name, Trade: w.Trade, Job: p.jobs[w.job].ID,
		JobName: p.jobs[w.job].Name, From: p.cal.day(int(p.likely.start[i]))}
}

// add adds a piece to a visit.
func (p *plan) add(v *Visit, i int) {
	w, r := &p.pieces[i], &p.likely
	from, to := p.cal.day(int(r.start[i])), p.cal.last(int(r.end[i]))
	v.Pieces = append(v.Pieces, Placed{Piece: w.Piece, RoomName: p.Rooms[w.room].Record.Name, Amount: w.says,
		From: from, To: to, Slots: w.likely, Critical: p.odds.share(p.odds.critical[i])})
	v.To = to
	v.Slots += w.likely
	v.Pinned = v.Pinned || w.pin >= 0
	v.Promised = v.Promised || p.promisedTo(w)
}

// key names a visit: the job, the crew and its first piece, so that it stays the same when
// the visit moves. Where another piece comes first, and the visit of the programme before
// that had any of both is known, it keeps that one's.
func (p *plan) key(w *piece) string {
	who := p.crews[w.crew].ID.String()
	return strings.Join([]string{p.jobs[w.job].ID.String(), who, w.Room.String(), w.Stage.Code(), string(w.Trade)}, "/")
}

// promisedTo reports whether a trade was told when to come for a piece.
func (p *plan) promisedTo(w *piece) bool {
	return slices.ContainsFunc(p.Promises, func(o Promise) bool {
		return o.Instead == (id.Promise{}) && o.To == w.Trade && o.Stage == w.Stage && o.Job == p.jobs[w.job].ID &&
			(o.Room.IsZero() || o.Room == w.Room)
	})
}
