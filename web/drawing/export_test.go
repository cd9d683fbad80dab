package drawing

// What a text takes up, for tests from outside.
const (
	Ascent, Descent, TextTall = ascent, descent, textTall
)

var (
	WidthOf = widthOf
	Wide    = wide
)
