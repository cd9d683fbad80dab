package words

import (
	"math"
	"strconv"
	"strings"
	"unicode"
)

// Length reads a length as people type it and returns it in mm: "1200", "1,200",
// "1 200", "1200mm", "120cm", "1.2 m", 2'6", 2' 6 1/2", 30in, 30 1/2". Without a
// unit it is millimetres; a comma or a blank stands between thousands only, for
// "1,2" is a little over one to some and twelve hundred to others. Of anything else
// it says what it was read as, and what to type; both are empty where it was read.
func Length(text string) (mm float64, wrong, mend string) {
	s, sign := plain(text), 1.0
	if rest, minus := strings.CutPrefix(s, "-"); minus {
		s, sign = strings.TrimSpace(rest), -1
	} else {
		s = strings.TrimSpace(strings.TrimPrefix(s, "+"))
	}
	mm, ok := length(s)
	switch {
	case !ok:
		wrong, mend = misread(text, s)
		return 0, wrong, mend
	case mm > longest:
		return 0, strconv.Quote(text) + " was read as " + strconv.FormatFloat(mm/1000, 'f', -1, 64) + " m",
			"A length here is 100 m at most: type it in millimetres, such as 1200, or in metres, such as 1.2 m"
	}
	return sign * mm, "", ""
}

// length reads a length without a sign.
func length(s string) (mm float64, ok bool) {
	if mm, ok = metric(s); !ok {
		mm, ok = imperial(s)
	}
	return mm, ok
}

// longest is the longest length that anything here has, mm.
const longest = 100_000

// plainSigns writes the signs of a length in one way each.
var plainSigns = strings.NewReplacer("\u00a0", " ", "\u2009", " ", "\u202f", " ", "\t", " ", "\u2212", "-", "\u2013",
	"-",
	"\u2018", "'", "\u2019", "'", "\u2032", "'", "\u00b4", "'", "''", `"`, "\u201c", `"`, "\u201d", `"`, "\u2033", `"`,
	"\u00bd", " 1/2", "\u00bc", " 1/4", "\u00be", " 3/4", "\u215b", " 1/8", "\u215c", " 3/8", "\u215d", " 5/8",
	"\u215e", " 7/8", "\u2044", "/", "\u2300", "")

func plain(text string) string { return strings.ToLower(strings.TrimSpace(plainSigns.Replace(text))) }

// units are the metric ones, in mm, longest name first; "meter" is read as "metre".
var units = []struct {
	name string
	mm   float64
}{{"millimetres", 1}, {"centimetres", 10}, {"metres", 1000}, {"metre", 1000}, {"mm", 1}, {"cm", 10}, {"m", 1000}}

func metric(s string) (float64, bool) {
	s = strings.ReplaceAll(s, "meter", "metre")
	for _, u := range units {
		if figure, has := strings.CutSuffix(s, u.name); has {
			x, ok := Figure(figure)
			return thousandths(x * u.mm), ok
		}
	}
	// "1.200" is 1200 to some and 1.2 to others; no tape reads thousandths.
	if _, part, _ := strings.Cut(s, "."); len(part) == 3 {
		return 0, false
	}
	return Figure(s)
}

// thousandths takes off what multiplying leaves behind.
func thousandths(mm float64) float64 { return math.Round(mm*1000) / 1000 }

// Figure reads a figure without a unit and without a sign: "12.5", "1,200", "1 200".
func Figure(text string) (float64, bool) {
	s := strings.TrimSpace(text)
	whole, part, point := strings.Cut(s, ".")
	for _, sep := range []string{",", " "} {
		groups := strings.Split(whole, sep)
		if len(groups) == 1 {
			continue
		}
		for i, g := range groups {
			if i == 0 && (g == "" || len(g) > 3) || i > 0 && len(g) != 3 {
				return 0, false
			}
		}
		whole = strings.Join(groups, "")
		break
	}
	if !digits(whole) && (whole != "" || part == "") || point && part != "" && !digits(part) {
		return 0, false
	}
	x, err := strconv.ParseFloat(whole+"."+part, 64)
	return x, err == nil && whole+part != ""
}

func digits(s string) bool {
	return s != "" && strings.IndexFunc(s, func(r rune) bool { return r < '0' || r > '9' }) < 0
}

// imperialWords are the words for feet and inches, longest first.
var imperialWords = strings.NewReplacer("inches", `"`, "inch", `"`, "feet", "'", "foot", "'", "ft.", "'", "ft", "'",
	"ins", `"`, "in.", `"`, "in", `"`)

// imperial reads feet and inches: 2', 2'6, 2' 6 1/2", 2'-6", 30-1/2".
func imperial(s string) (float64, bool) {
	s = imperialWords.Replace(s)
	feet, rest, hasFeet := strings.Cut(s, "'")
	if !hasFeet {
		feet, rest = "", s
		if !strings.HasSuffix(rest, `"`) {
			return 0, false
		}
	}
	sum := 0.0
	if hasFeet {
		x, ok := Figure(feet)
		if !ok {
			return 0, false
		}
		sum = 12 * x
	}
	rest = strings.TrimSpace(strings.TrimSuffix(rest, `"`))
	if rest = strings.TrimSpace(strings.TrimPrefix(rest, "-")); rest == "" {
		return thousandths(sum * 25.4), hasFeet
	}
	in, ok := inches(rest)
	return thousandths((sum + in) * 25.4), ok && (!hasFeet || in < 12)
}

// inches reads "6", "6.5", "6 1/2", "6-1/2", "1/2".
func inches(s string) (float64, bool) {
	at := strings.LastIndexAny(s, " -")
	whole, part := "", s
	if at >= 0 {
		whole, part = s[:at], s[at+1:]
	}
	over, under, is := strings.Cut(part, "/")
	if !is {
		return Figure(s)
	}
	a, errA := strconv.Atoi(over)
	b, errB := strconv.Atoi(under)
	if errA != nil || errB != nil || a < 1 || a >= b || b > 64 || b&(b-1) != 0 {
		return 0, false
	}
	x, ok := 0.0, true
	if whole = strings.TrimSpace(whole); whole != "" {
		x, ok = Figure(whole)
		ok = ok && x == math.Trunc(x)
	}
	return x + float64(a)/float64(b), ok
}

// misread says what a length was read as that cannot be read, and what to type.
func misread(text, s string) (wrong, mend string) {
	mend = "Type millimetres, such as 1200, or metres, such as 1.2 m"
	n := strings.IndexFunc(s, func(r rune) bool { return (r < '0' || r > '9') && r != '.' })
	if n < 0 {
		n = len(s)
	}
	read, rest := strings.TrimSuffix(s[:n], "."), strings.TrimSpace(s[n:])
	switch {
	case read == "" && rest == "":
		return "nothing that is a length was typed", mend
	case read == "":
		return strconv.Quote(text) + " was read as " + called(rest) + " without a figure", mend
	case rest == "":
		whole, part, _ := strings.Cut(read, ".")
		return strconv.Quote(text) + " was read as either " + whole + part + " or " + strings.TrimRight(read, "0"),
			"Type " + whole + part + ", or " + whole + "." + part + " m for metres"
	}
	wrong = strconv.Quote(text) + " was read as " + read + " and " + called(rest)
	if after, comma := strings.CutPrefix(rest, ","); comma {
		if after = strings.TrimSpace(after); digits(after) {
			return wrong + ": a comma stands between thousands here", "Type " + read + "." + after + ", or 1,200 for thousands"
		}
	}
	if meant, ok := length(strings.NewReplacer("o", "0", "l", "1", "i", "1").Replace(s)); ok && meant <= longest {
		return wrong, "Type " + strconv.FormatFloat(meant, 'f', -1, 64) + " or " +
			strconv.FormatFloat(meant/1000, 'f', -1, 64) + " m"
	}
	return wrong, mend
}

// called says what sort of thing follows a figure.
func called(rest string) string {
	switch r := []rune(rest)[0]; {
	case r == ',':
		return "what follows a comma"
	case unicode.IsLetter(r):
		return "letters"
	case unicode.IsDigit(r):
		return "another figure"
	}
	return "the sign " + string([]rune(rest)[:1])
}
