package diary

import (
	"testing"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
)

func chain(t *testing.T, n int) []Entry {
	t.Helper()
	by := firm.Person{Firm: id.New[id.Firm](), ID: id.New[id.Member](), Name: "Ida\nFell"}
	job := id.New[id.Job]()
	var last Entry
	var out []Entry
	for i := range n {
		e, err := New(by, job, id.New[id.Room](), "boarding", "note", "Something\nhappened.", map[string]int{"n": i},
			time.Date(2026, 3, 4, 5, 6, 7, i*1001, time.FixedZone("x", 3600)))
		if err != nil {
			t.Fatal(err)
		}
		last = Seal(e, last)
		out = append(out, last)
	}
	return out
}

func TestAnUntouchedChainHolds(t *testing.T) {
	if broken := Check(chain(t, 20)); len(broken) > 0 {
		t.Error(broken)
	}
}

// Whatever is done to one entry shows at that entry or at the next.
func TestEveryChangeShows(t *testing.T) {
	for name, spoil := range map[string]func(es []Entry) []Entry{
		"says":     func(es []Entry) []Entry { es[5].Says = "Nothing happened."; return es },
		"who":      func(es []Entry) []Entry { es[5].Who = "Nobody"; return es },
		"member":   func(es []Entry) []Entry { es[5].Member = id.New[id.Member](); return es },
		"at":       func(es []Entry) []Entry { es[5].At = es[5].At.Add(time.Hour); return es },
		"act":      func(es []Entry) []Entry { es[5].Act = "other"; return es },
		"room":     func(es []Entry) []Entry { es[5].Room = id.Room{}; return es },
		"stage":    func(es []Entry) []Entry { es[5].Stage = ""; return es },
		"detail":   func(es []Entry) []Entry { es[5].Detail = []byte(`{"n":9}`); return es },
		"took out": func(es []Entry) []Entry { return append(es[:5:5], es[6:]...) },
		"swapped":  func(es []Entry) []Entry { es[5], es[6] = es[6], es[5]; return es },
		"sealed again": func(es []Entry) []Entry {
			es[5].Says = "Nothing happened."
			es[5] = Seal(es[5], es[4])
			return es
		},
		"first gone": func(es []Entry) []Entry { return es[1:] },
	} {
		if broken := Check(spoil(chain(t, 10))); len(broken) == 0 {
			t.Errorf("%s: not seen", name)
		}
	}
}
