package firm

import "testing"

// Names that a reader takes for one another are the same, whichever letters they are of.
func TestNamesThatReadTheSame(t *testing.T) {
	for _, other := range []string{"ola brandt", "Ola  Brandt", "Ola Brandt\ufe0f", "Ola\u3164Brandt", "Ola \u115fBrandt",
		"Ola\u00a0Brandt", "Ola\u200bBrandt", "Ola \U000e0101Brandt", "Ola\u2800Brandt", "Ola\uffa0 Brandt",
		"\u041ela Brandt", "Ol\u0430 Br\u0430ndt", "\u039fla Brandt",
		"\uff2f\uff4c\uff41 \uff22\uff52\uff41\uff4e\uff44\uff54", "O\u217ca Brandt", "\U0001d40ela Brandt", "0la Brandt",
		"OIa Brandt"} {
		if !sameName("Ola Brandt", other) {
			t.Errorf("%+q is taken for another name", other)
		}
	}
	for _, other := range []string{"Ole Brandt", "Ola Brand", "Olaf Brandt", "Ola Brandt 2", "Åla Brandt",
		"Ola B. Brandt"} {
		if sameName("Ola Brandt", other) {
			t.Errorf("%q is taken for the same name", other)
		}
	}
}

func TestNobodyIsCalledWhatStandsForWhoLeft(t *testing.T) {
	for _, name := range []string{"Somebody who left (ab12)", "somebody  who LEFT ab12", "S\u043emebody who left",
		"Somebody\u3164who left (ab12)"} {
		if checkMember(Person{Name: name, Role: Foreman}) == nil {
			t.Errorf("%+q is taken", name)
		}
	}
	for _, name := range []string{"\u3164", "\u2800 \ufe0f", "\u200b"} {
		if checkMember(Person{Name: name, Role: Foreman}) == nil {
			t.Errorf("%+q shows nothing and is taken", name)
		}
	}
	if err := checkMember(Person{Name: "Somerled Whole", Role: Foreman}); err != nil {
		t.Error(err)
	}
}
