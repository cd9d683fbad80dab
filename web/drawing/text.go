package drawing

import "strings"

// Sizes of text in units: as tall as it is drawn on a phone, where a sheet of
// sheetWide units is some 377 px wide and text thus 11 px. On a wider page the
// style sheet draws text smaller about the same anchor, so that what is free
// of overlap on a phone stays so.
const (
	textTall = 24.0
	ascent   = textTall // with room for the taller system fonts
	descent  = 0.28 * textTall
	lineTall = ascent + descent
)

// wide returns how tall text of a class is on a wide page, as the style sheet has it.
func wide(class string) float64 {
	switch class {
	case "figure":
		return 17
	case "label":
		return 16
	}
	return 14
}

// bold reports whether the style sheet draws a class in bold.
func bold(class string) bool { return class == "figure" || class == "label" }

// widths are the characters by how wide at most they are in bold, in parts of
// the text's height: those of DejaVu Sans, which is wider than the other system
// fonts. Narrower than .725 and not listed is nothing.
var widths = []struct {
	of   float64
	runs string
}{
	{0.35, "'ijl |/\\"}, {0.46, "IJ,.:;-f!()[]"}, {0.53, "tr_`\"*–"}, {0.6, "?zcs"},
	{0.725, "LxvykaeTEFohnubdgpqSYZ0123456789${}"}, {0.85, "PCBRXAVKUGDHNOQ"}, {1.01, "wM@&#+<=>^~%"},
}

// widthOf returns how wide, at most, a text of a class is when it is so tall.
func widthOf(class, s string, tall float64) float64 {
	sum := 0.0
	for _, r := range s {
		sum += widthOfRune(r)
	}
	if !bold(class) {
		sum *= 0.935 // DejaVu Sans against its bold
	}
	return sum * tall
}

func widthOfRune(r rune) float64 {
	for _, w := range widths {
		if strings.ContainsRune(w.runs, r) {
			return w.of
		}
	}
	if r > 0xff {
		return 1.15
	}
	return 1.11
}

// cutTo returns a text that is at most so wide, its end left out if it must be.
func cutTo(class, s string, room float64) string {
	if widthOf(class, s, textTall) <= room {
		return s
	}
	runes := []rune(s)
	for len(runes) > 0 && widthOf(class, string(runes)+"…", textTall) > room {
		runes = runes[:len(runes)-1]
	}
	return strings.TrimRight(string(runes), " ,") + "…"
}
