package visits

import (
	"slices"

	"lathmark/domain/deed"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"
)

// snags is every snag of the room, the open ones first.
func (s *scene) snags() web.SnagsView {
	v := web.SnagsView{Who: s.whoCould()}
	open, mine := 0, 0
	for i := range s.J.Record.Snags {
		row := s.snagRow(&s.J.Record.Snags[i])
		if row.Open() {
			open++
		}
		if row.Open() && (row.Mine && row.DoneAt.IsZero() || row.MayRun && !row.DoneAt.IsZero()) {
			mine++
		}
		v.Rows = append(v.Rows, row)
	}
	slices.SortStableFunc(v.Rows, func(a, b web.SnagRow) int {
		return a.ClosedAt.Compare(b.ClosedAt) // the zero time is before all others
	})
	if s.Say("No snag is open."); open > 0 {
		until := "they are"
		if open == 1 {
			until = "it is"
		}
		says := words.Count(open, "snag") + " open: decoration cannot be signed off until " + until + " put right."
		if mine > 0 {
			says += " Yours to see to: " + words.Count(mine, "snag") + "."
		}
		s.Say(says)
	}
	v.Sheet = s.Sheet
	return v
}

func (s *scene) snagRow(n *room.Snag) web.SnagRow {
	row := web.SnagRow{Snag: *n, Who: "the foreman", Given: string(n.Trade), Photo: s.photosOfSnag(n), MayRun: s.Runs()}
	switch {
	case !n.Person.IsZero():
		row.Who, row.Given = s.People.WithTrade(n.Person), string(n.Trade)+"/"+n.Person.String()
	case n.Trade != "":
		row.Who = "the " + n.Trade.String()
	}
	trade := kit.TradeOf(s.By)
	row.Mine = row.MayRun || n.Person == s.By.ID || n.Person.IsZero() && trade == n.Trade
	return row
}

// whoCould are the trades and their people, for whom a snag can be.
func (s *scene) whoCould() (out []web.Option) {
	for _, t := range words.Trades {
		if t == words.Client {
			continue
		}
		value := ""
		if t != words.Foreman {
			value = string(t)
			out = append(out, web.Option{Value: value, Label: "Any " + t.String()})
		}
		for _, p := range s.Here {
			if kit.TradeOf(p) == t {
				out = append(out, web.Option{Value: value + "/" + p.ID.String(), Label: p.Name + ", " + p.Does()})
			}
		}
	}
	return out
}

// The forms about a snag that need signal.
var (
	GiveSnag   = kit.Post{Kind: deed.KindSnagGiven, To: kit.To(web.Place.Snags), Again: Snags}
	ReopenSnag = kit.Post{Kind: deed.KindSnagAgain, To: kit.To(web.Place.Snags), Again: Snags}
)
