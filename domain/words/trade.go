package words

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

// TradeOfLayer returns who puts a layer on: tiles and their adhesive are the
// tiler's in any stage, else boarding the dry liner's, decoration the
// decorator's, everything else the plasterer's.
func TradeOfLayer(name string, s Stage) Trade {
	switch {
	case IsTile(name):
		return Tiler
	case s == Boarding:
		return DryLiner
	case s == Decoration:
		return Decorator
	}
	return Plasterer
}

// IsTile reports whether a layer is of tiles or what holds them.
func IsTile(layer string) bool {
	name := strings.ToLower(layer)
	return strings.Contains(name, "tile") || strings.Contains(name, "adhesive")
}
