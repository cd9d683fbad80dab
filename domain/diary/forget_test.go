package diary

import (
	"testing"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// forgotten returns a chain of which the first n entries are without their author's
// name, with the entries that vouch for them at its end.
func forgotten(t *testing.T, es []Entry, n int, by firm.Person) []Entry {
	t.Helper()
	without, vouching, err := Forget(by, es[:n], "Somebody who left (1234)", time.Date(2026, 9, 1, 0, 0, 0, 0, time.UTC))
	if err != nil {
		t.Fatal(err)
	}
	out := append(without, es[n:]...)
	last := es[len(es)-1]
	for _, v := range vouching {
		last = Seal(v, last)
		out = append(out, last)
	}
	return out
}

// A chain holds without the names that were taken out, also where somebody who
// took one out is forgotten later, and where one entry cannot vouch for all.
func TestAChainHoldsWithoutNames(t *testing.T) {
	owner := firm.Person{Firm: id.New[id.Firm](), ID: id.New[id.Member](), Name: "Ada Fell"}
	es := forgotten(t, chain(t, 1200), 1100, owner)
	if broken := Check(es); len(broken) > 0 || len(es) != 1203 {
		t.Fatalf("%d entries: %v", len(es), broken)
	}
	for _, e := range es[:1100] {
		if e.Who != "Somebody who left (1234)" {
			t.Fatalf("entry %d is by %q", e.Seq, e.Who)
		}
	}
	// The owner's three, with somebody else's at the end.
	without, vouching, err := Forget(firm.Person{Firm: owner.Firm, ID: id.New[id.Member](), Name: "Ivo Fell"}, es[1200:],
		"Somebody who left (5678)", time.Now())
	if err != nil {
		t.Fatal(err)
	}
	es = append(append(es[:1200:1200], without...), Seal(vouching[0], es[1202]))
	if broken := Check(es); len(broken) > 0 {
		t.Error(broken)
	}
}

// Taking a name out cannot hide a change of anything else.
func TestForgettingChangesNothingElse(t *testing.T) {
	owner := firm.Person{Firm: id.New[id.Firm](), ID: id.New[id.Member](), Name: "Ada Fell"}
	for name, spoil := range map[string]func(es []Entry) []Entry{
		"says":              func(es []Entry) []Entry { es[2].Says = "Nothing happened."; return es },
		"another name":      func(es []Entry) []Entry { es[2].Who = "Nobody"; return es },
		"another member":    func(es []Entry) []Entry { es[2].Member = id.New[id.Member](); return es },
		"one more":          func(es []Entry) []Entry { es[6].Who = es[2].Who; return es },
		"nobody vouches":    func(es []Entry) []Entry { return es[:10] },
		"the voucher":       func(es []Entry) []Entry { es[10].Says = "x"; return es },
		"the voucher's act": func(es []Entry) []Entry { es[10].Act = "note"; return es },
		"sealed again":      func(es []Entry) []Entry { es[2] = Seal(es[2], es[1]); return es },
	} {
		if broken := Check(spoil(forgotten(t, chain(t, 10), 5, owner))); len(broken) == 0 {
			t.Errorf("%s: not seen", name)
		}
	}
}
