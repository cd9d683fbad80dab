package words_test

import (
	"encoding/json"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"lathmark/domain/words"

	"pgregory.net/rapid"
)

// The vocabulary as a table: what goes in, and how it is said.
func TestVocabulary(t *testing.T) {
	day := time.Date(2026, 11, 25, 7, 5, 0, 0, time.UTC)
	for _, c := range []struct{ got, want string }{
		{words.Odds(0), "under 1 in 1,000"}, {words.Odds(0.0009), "under 1 in 1,000"},
		{words.Odds(0.001), "about 1 in 1,000"}, {words.Odds(0.0048), "about 1 in 200"},
		{words.Odds(0.01), "about 1 in 100"}, {words.Odds(0.034), "about 1 in 30"},
		{words.Odds(0.105), "about 1 in 10"}, {words.Odds(0.2), "about 1 in 5"}, {words.Odds(0.5), "about 1 in 2"},
		{words.Odds(0.7), "about 7 in 10"}, {words.Odds(0.949), "about 9 in 10"},
		{words.Odds(0.95), "almost certain"}, {words.Odds(1), "almost certain"}, {words.Odds(math.NaN()), "not known"},
		{words.Miss(0.99), "about 1 in 100"},

		{words.Tenth(2.5), "2.5"}, {words.Tenth(3), "3"}, {words.Tenth(-0.04), "0"}, {words.PlusMinus(5.02), "± 5"},
		{words.PlusMinus(5.1), "± 6"}, {words.Saw(76), "hole saw 76"}, {words.Saw(0), "no hole saw"},
		{words.Checked(0), "not checked: a misread tape would not show"},
		{words.Checked(14.2), "checked: a misread of about 15 mm or more would have shown"},

		{words.MM(598.3), "598"}, {words.MM(598.5), "599"}, {words.MM(-0.2), "0"}, {words.MM(-12.5), "-13"},
		{words.Count(0, "patch"), "no patches"}, {words.Count(1, "patch"), "1 patch"},
		{words.Count(3, "hole"), "3 holes"},

		{words.Day(day), "Wednesday 25 November"}, {words.DayTime(day), "Wednesday 25 November, 07:05"},
		{words.Date(day), "Wed 25 Nov 2026"}, {words.DateTime(day), "Wed 25 Nov 2026, 07:05"},
		{words.ShortDay(day), "Wed 25 Nov"}, {words.ShortDay(time.Time{}), ""}, {words.Date(time.Time{}), "no date"},

		{words.InWords("Utility"), "the utility"}, {words.InWords("Bedroom 2"), "Bedroom 2"},
		{words.InWords("WC"), "the WC"}, {words.InWords("Anna's room"), "Anna's room"},
		{words.InWords("Öl"), "the öl"}, {words.InWords("The stack"), "the stack"},
		{words.Capital("östwand"), "Östwand"}, {words.Capital(""), ""}, {words.Lower("Ébène"), "ébène"},
		{words.NoStop("no lamp yet. "), "no lamp yet"},

		{words.Wall("south"), "south wall"}, {words.Wall("south wall"), "south wall"},
		{words.Wall("north reveal"), "north reveal wall"}, {words.Wall("steel"), "steel"},
		{words.StateOf(""), "bare"}, {words.StateOf("board"), "boarded"}, {words.StateOf("skim"), "skimmed"},
		{words.StateOf("cork"), "with cork"}, {words.StateOf("paint"), "painted"},

		{words.List(nil), ""}, {words.List([]string{"D1"}), "D1"}, {words.List([]string{"D1", "D2"}), "D1 and D2"},
		{words.List(strings.Split("abcdef", "")), "a, b, c, d, e and f"},
		{words.List(strings.Split("abcdefg", "")), "a, b, c, d, e and 2 more"},

		{words.TradeOfKind("pipe tail").String(), "plumber"}, {words.TradeOfKind("fan").String(), "electrician"},
		{words.TradeOfLayer("wall tile", words.Boarding).String(), "tiler"},
		{words.TradeOfLayer("board", words.Boarding).String(), "dry liner"},
		{words.TradeOfLayer("skim", words.Plaster).String(), "plasterer"},
		{words.TradeOfLayer("paint", words.Decoration).String(), "decorator"},

		{words.FirstFix.Slug(), "first-fix"}, {words.NotFound.String(), "not found"},
		{words.HookedOut.String(), "hooked out"}, {words.OnTimber.String(), "on timber"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
	if n := words.Characters(strings.Repeat("ü", 250)); n != 250 {
		t.Errorf("250 letters are %d characters", n)
	}
}

// Stages and states read back from each way in which they are written.
func TestStagesAndStatesReadBack(t *testing.T) {
	for i, s := range words.Stages {
		for _, text := range []string{s.String(), s.Code(), s.Slug()} {
			if got, err := words.ParseStage(text); err != nil || got != s {
				t.Errorf("%q: %v, %v", text, got, err)
			}
		}
		// As it is stored today, and as it was before it had a name there.
		text, err := json.Marshal(s)
		if err != nil || string(text) != strconv.Quote(s.Code()) {
			t.Errorf("%s (%v)", text, err)
		}
		for _, stored := range []string{string(text), strconv.Itoa(i)} {
			var got words.Stage
			if err := json.Unmarshal([]byte(stored), &got); err != nil || got != s {
				t.Errorf("%s: %v, %v", stored, got, err)
			}
		}
	}
	for _, s := range []words.State{words.Waiting, words.InHand, words.Offered, words.SignedOff} {
		for _, text := range []string{s.String(), s.Code()} {
			if got, err := words.ParseState(text); err != nil || got != s {
				t.Errorf("%q: %v, %v", text, got, err)
			}
		}
	}
	for _, stored := range []string{`"third_fix"`, "5", "-1", "{}"} {
		var s words.Stage
		if json.Unmarshal([]byte(stored), &s) == nil {
			t.Errorf("%s is a stage", stored)
		}
	}
}

var oneIn = regexp.MustCompile(`^about 1 in ([\d,]+)$`)

// A worse chance never reads as a better one: the words fall as the chance does.
func TestOddsFallWithTheChance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(0.001, 0.5).Draw(t, "a"), rapid.Float64Range(0.001, 0.5).Draw(t, "b")
		of := func(p float64) float64 {
			m := oneIn.FindStringSubmatch(words.Odds(p))
			if m == nil {
				t.Fatalf("%v is %q", p, words.Odds(p))
			}
			n, err := strconv.ParseFloat(strings.ReplaceAll(m[1], ",", ""), 64)
			if err != nil {
				t.Fatal(err)
			}
			return n
		}
		if a > b && of(a) > of(b) {
			t.Fatalf("%v is %s, %v is %s", a, words.Odds(a), b, words.Odds(b))
		}
	})
}
