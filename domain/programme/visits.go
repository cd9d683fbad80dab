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
	p.keepKeys(out)
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

// key names a visit by the job, the crew and a piece.
func (p *plan) key(w *piece) string {
	who := p.crews[w.crew].ID.String()
	return strings.Join([]string{p.jobs[w.job].ID.String(), who, w.Room.String(), w.Stage.Code(), string(w.Trade)}, "/")
}

// keepKeys gives visits the keys that they had in the programme before, so that calendars
// move them instead of doubling them. A visit is the one before that is named for a piece
// of it; where that piece is done, the one that had most of its pieces.
func (p *plan) keepKeys(out []Visit) {
	if p.Before == nil {
		return
	}
	had := map[string]*Visit{}
	for i := range p.Before.Visits {
		had[p.Before.Visits[i].Key] = &p.Before.Visits[i]
	}
	kept := make([]bool, len(out))
	for i := range out {
		for _, w := range out[i].Pieces {
			key := p.key(&p.pieces[p.pieceAt(w.Piece)])
			if had[key] != nil && !kept[i] {
				out[i].Key, kept[i] = key, true
				delete(had, key)
			}
		}
	}
	for i := range out {
		best, most := "", 0
		for k := range p.Before.Visits {
			old := &p.Before.Visits[k]
			if n := common(old, &out[i]); had[old.Key] != nil && n > most {
				best, most = old.Key, n
			}
		}
		if !kept[i] && most > 0 {
			out[i].Key = best
			delete(had, best)
		}
	}
}

// common counts the pieces that two visits of the same crew to the same job have in common.
func common(a, b *Visit) (n int) {
	if a.Crew != b.Crew || a.Trade != b.Trade || a.Job != b.Job {
		return 0
	}
	for _, w := range a.Pieces {
		if slices.ContainsFunc(b.Pieces, func(o Placed) bool { return o.Piece == w.Piece }) {
			n++
		}
	}
	return n
}

func (p *plan) pieceAt(of Piece) int {
	return slices.IndexFunc(p.pieces, func(w piece) bool { return w.Piece == of })
}

// promisedTo reports whether a trade was told when to come for a piece.
func (p *plan) promisedTo(w *piece) bool {
	return slices.ContainsFunc(p.Promises, func(o Promise) bool {
		return o.Instead == (id.Promise{}) && o.To == w.Trade && o.Stage == w.Stage && o.Job == p.jobs[w.job].ID &&
			(o.Room.IsZero() || o.Room == w.Room)
	})
}
