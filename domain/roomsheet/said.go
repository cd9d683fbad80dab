package roomsheet

// StateWord says a state as people do: "bare", "boarded", "skimmed". The state
// is the name of the outermost layer; a name without a word of its own reads
// "with ..." before it. The empty state is "bare".
func StateWord(state string) string {
	switch state {
	case "", Bare:
		return "bare"
	case "board", "boards":
		return "boarded"
	case "dabs":
		return "dabbed"
	case "skim":
		return "skimmed"
	case "plaster":
		return "plastered"
	case "tile", "tiles":
		return "tiled"
	case "batten", "battens":
		return "battened"
	case "render":
		return "rendered"
	}
	return "with " + state
}
