package gate

import "strings"

// Trade is who has something to do in a room.
type Trade string

// The trades, the foreman and the client, as stored.
const (
	Foreman     Trade = "foreman"
	Electrician Trade = "electrician"
	Plumber     Trade = "plumber"
	DryLiner    Trade = "dry_liner"
	Plasterer   Trade = "plasterer"
	Tiler       Trade = "tiler"
	Joiner      Trade = "joiner"
	Decorator   Trade = "decorator"
	Client      Trade = "client"
)

// Trades are all of them.
var Trades = []Trade{Foreman, Electrician, Plumber, DryLiner, Plasterer, Tiler, Joiner, Decorator, Client}

// String is the trade in words: "dry liner".
func (t Trade) String() string { return strings.ReplaceAll(string(t), "_", " ") }

// TradeOfKind tells from a position's kind whose tail it is: pipes and wastes
// are the plumber's, everything else the electrician's.
func TradeOfKind(kind string) Trade {
	if strings.Contains(kind, "pipe") || strings.Contains(kind, "waste") {
		return Plumber
	}
	return Electrician
}

func (p *Position) trade() Trade {
	if p.Trade != "" {
		return p.Trade
	}
	return TradeOfKind(p.Kind)
}

// trade tells who puts the layer on: tiles and their adhesive are the tiler's
// in any stage, else boarding the dry liner's, plaster the plasterer's.
func (l *Layer) trade() Trade {
	name := strings.ToLower(l.Name)
	switch {
	case l.Trade != "":
		return l.Trade
	case strings.Contains(name, "tile"), strings.Contains(name, "adhesive"):
		return Tiler
	case l.Stage == Boarding:
		return DryLiner
	case l.Stage == Decoration:
		return Decorator
	}
	return Plasterer
}
