package words_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"lathmark/domain/words"

	"pgregory.net/rapid"
)

func TestLength(t *testing.T) {
	for text, want := range map[string]float64{
		"1200": 1200, " 12.5 ": 12.5, "1,200": 1200, "1 200": 1200, "1\u00a0200": 1200, "1,200.5": 1200.5, "12 345": 12345,
		"1200mm": 1200, "1200 mm": 1200, "1200 MM": 1200, "152mm": 152, "⌀152mm": 152, "1.2 m": 1200, "1.2m": 1200,
		"1.200 m": 1200, "2 metres": 2000, "120cm": 1200, "120.5 cm": 1205, "0.75": 0.75, ".5": 0.5, "-3": -3, "−600": -600,
		"+4": 4, "0": 0,
		`2'6"`: 762, `2' 6 1/2"`: 774.7, `2'-6 1/2"`: 774.7, `2'6`: 762, `2'`: 609.6, `2’6”`: 762, `2′ 6½″`: 774.7,
		`2''`: 50.8, "2 ft 6 in": 762, "2ft": 609.6, "30in": 762, "30 inches": 762, `30"`: 762, `30 1/2"`: 774.7,
		`30-1/2"`: 774.7, `30 ½"`: 774.7, `3/4"`: 19.05, `2.5'`: 762, `1'11 63/64"`: 609.203, "-2'": -609.6,
	} {
		if got, wrong, mend := words.Length(text); got != want || wrong+mend != "" {
			t.Errorf("Length(%q) = %g, %q, %q; want %g", text, got, wrong, mend, want)
		}
	}
}

// What is refused names what it was read as, and what to type.
func TestLengthRefused(t *testing.T) {
	for text, want := range map[string]string{
		"12OO":    `"12OO" was read as 12 and letters: Type 1200 or 1.2 m`,
		"6oo":     `"6oo" was read as 6 and letters: Type 600 or 0.6 m`,
		"13o5":    `"13o5" was read as 13 and letters: Type 1305 or 1.305 m`,
		"1,2":     `"1,2" was read as 1 and what follows a comma: a comma stands between thousands here: Type 1.2, or 1,200 for thousands`,
		"12,5":    `"12,5" was read as 12 and what follows a comma: a comma stands between thousands here: Type 12.5, or 1,200 for thousands`,
		"1.200":   `"1.200" was read as either 1200 or 1.2: Type 1200, or 1.200 m for metres`,
		"twelve":  `"twelve" was read as letters without a figure: Type millimetres, such as 1200, or metres, such as 1.2 m`,
		"12 13":   `"12 13" was read as 12 and another figure: Type millimetres, such as 1200, or metres, such as 1.2 m`,
		"1200 m":  `"1200 m" was read as 1200 m: A length here is 100 m at most: type it in millimetres, such as 1200, or in metres, such as 1.2 m`,
		`2'14"`:   `"2'14\"" was read as 2 and the sign ': Type millimetres, such as 1200, or metres, such as 1.2 m`,
		"":        `nothing that is a length was typed: Type millimetres, such as 1200, or metres, such as 1.2 m`,
		"-":       `nothing that is a length was typed: Type millimetres, such as 1200, or metres, such as 1.2 m`,
		"1,20,00": "", "1.200,5": "", "1,200,5": "", "NaN": "", "Inf": "", "1e3": "", "0x10": "", "1_000": "", "²": "",
		"1,2 m": "",
		`6/4"`:  "", `1/3"`: "", `1.5 1/2"`: "", "1.2.3": "", "1/2": "", `"`: "", "'": "", "m": "", "12 00": "", ",200": "",
	} {
		got, wrong, mend := words.Length(text)
		if got != 0 || wrong == "" || mend == "" || want != "" && wrong+": "+mend != want {
			t.Errorf("Length(%q) = %g, %q: %q; want %q", text, got, wrong, mend, want)
		}
	}
}

// Whatever is written out reads back, in every way of writing it.
func TestLengthReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tenths := rapid.IntRange(0, 999_999).Draw(t, "tenths of a millimetre")
		mm := float64(tenths) / 10
		plain := strconv.FormatFloat(mm, 'f', -1, 64)
		whole, part, _ := strings.Cut(plain, ".")
		grouped := func(sep string) string {
			out := whole
			for i := len(whole) - 3; i > 0; i -= 3 {
				out = out[:i] + sep + out[i:]
			}
			if part != "" {
				out += "." + part
			}
			return out
		}
		for _, text := range []string{plain, grouped(","), grouped(" "), plain + "mm", plain + " mm", words.MM(mm),
			strconv.FormatFloat(mm/10, 'f', -1, 64) + " cm", strconv.FormatFloat(mm/1000, 'f', -1, 64) + " m"} {
			want := mm
			if text == words.MM(mm) {
				want = math.Round(mm)
			}
			if got, wrong, _ := words.Length(text); got != want {
				t.Fatalf("%q was read as %g (%s)", text, got, wrong)
			}
		}
		feet, inch := rapid.IntRange(0, 300).Draw(t, "feet"), rapid.IntRange(0, 11).Draw(t, "inches")
		under := 1 << rapid.IntRange(1, 6).Draw(t, "of")
		over := rapid.IntRange(1, under-1).Draw(t, "parts")
		want := math.Round((float64(12*feet+inch)+float64(over)/float64(under))*25.4*1000) / 1000
		for _, text := range []string{fmt.Sprintf(`%d'%d %d/%d"`, feet, inch, over, under),
			fmt.Sprintf(`%d' %d-%d/%d"`, feet, inch, over, under), fmt.Sprintf("%d ft %d %d/%d in", feet, inch, over, under),
			fmt.Sprintf(`%d %d/%d"`, 12*feet+inch, over, under)} {
			if got, wrong, _ := words.Length(text); got != want {
				t.Fatalf("%q was read as %g (%s), want %g", text, got, wrong, want)
			}
		}
	})
}

// Whatever is typed is either read, within bounds, or refused in words.
func FuzzLength(f *testing.F) {
	for _, text := range []string{"1,200", `2' 6 1/2"`, "12OO", "-", "1.200", "½", "\xff", "1 m m", "''''",
		"9999999999999999999999"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		mm, wrong, mend := words.Length(text)
		if (wrong == "") != (mend == "") || math.IsNaN(mm) || math.Abs(mm) > 100_000 || wrong != "" && mm != 0 {
			t.Errorf("%q: %g, %q, %q", text, mm, wrong, mend)
		}
	})
}
