package firm

import (
	"strings"
	"unicode"

	"github.com/mtibben/confusables"
	"golang.org/x/text/unicode/norm"
)

// Left begins what stands for the name of somebody who left; no member is called that.
const Left = "Somebody who left"

// sameName reports whether two names read the same: as they stand, or with their case left
// out. Capital I and small l are alike only as they stand.
func sameName(a, b string) bool {
	a, b = seen(a), seen(b)
	return skeleton(a) == skeleton(b) || skeleton(strings.ToLower(a)) == skeleton(strings.ToLower(b))
}

// skeleton returns what stands for all names that look alike (UTS 39, section 4).
func skeleton(name string) string { return strings.ToLower(confusables.Skeleton(name)) }

// seen returns what a reader sees of a name, without its gaps: full width and its like become
// plain (NFKC), and what shows nothing is left out (UAX 44, Default_Ignorable_Code_Point).
func seen(name string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || r == '\u2800' || unicode.In(r, unicode.Cc, unicode.Cf,
			unicode.Other_Default_Ignorable_Code_Point, unicode.Variation_Selector) {
			return -1 // U+2800 is a letter of Braille without dots
		}
		return r
	}, norm.NFKC.String(strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Other_Default_Ignorable_Code_Point, r) {
			return -1 // before NFKC, which makes other fillers of some
		}
		return r
	}, name)))
}

// readsAsLeft reports whether a name begins as what stands for somebody who left does.
func readsAsLeft(name string) bool {
	return strings.HasPrefix(skeleton(strings.ToLower(seen(name))), skeleton(strings.ToLower(seen(Left))))
}
