package words

import "testing"

func TestRuns(t *testing.T) {
	for want, names := range map[string][]string{
		"":                             nil,
		"D1":                           {"D1"},
		"D1 and D2":                    {"D1", "D2"},
		"D1 to D3":                     {"D1", "D2", "D3"},
		"D1 to D7, F1 and P1":          {"D1", "D2", "D3", "D4", "D5", "D6", "D7", "F1", "P1"},
		"D1, D3 and D5":                {"D1", "D3", "D5"},
		"hot, cold and waste":          {"hot", "cold", "waste"},
		"D8 to D11 and W1":             {"D8", "D9", "D10", "D11", "W1"},
		"a, b, c, d, e and 2 more":     {"a", "b", "c", "d", "e", "f", "g"},
		"D1, E2 to E4, W9, W8 and hot": {"D1", "E2", "E3", "E4", "W9", "W8", "hot"},
	} {
		if got := Runs(names); got != want {
			t.Errorf("%v: %q, not %q", names, got, want)
		}
	}
}
