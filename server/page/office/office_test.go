package office

import (
	"net/url"
	"testing"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
)

// Law: a time that is shown in a unit and read again is the same time.
func TestTimesAreReadAsTheyAreShown(t *testing.T) {
	for _, d := range []time.Duration{time.Minute, 90 * time.Minute, 2 * time.Hour, 24 * time.Hour, 30 * 24 * time.Hour} {
		n, unit := inUnits(d)
		f := &kit.Form{Form: &deed.Form{Values: url.Values{"idle": {n}, "idle_in": {unit}}}}
		if got := lasting(f, "idle"); got != d || f.Err() != nil {
			t.Errorf("%s is shown as %s %s and read as %s, %v", d, n, unit, got, f.Err())
		}
	}
}

func TestWhatSomebodyIs(t *testing.T) {
	for as, want := range map[string]firm.Person{"owner": {Role: firm.Owner}, "foreman": {Role: firm.Foreman},
		"client": {Role: firm.Client}, "plumber": {Role: firm.Trade, Trade: words.Plumber}} {
		said, err := particulars(&kit.Form{Form: &deed.Form{Values: url.Values{"name": {"Ola Brandt"}, "as": {as}}}})
		if err != nil || said.Role != want.Role || said.Trade != want.Trade {
			t.Errorf("%s is read as %s, %s: %v", as, said.Role, said.Trade, err)
		}
	}
	if _, err := particulars(&kit.Form{Form: &deed.Form{Values: url.Values{"jobs": {"x"}}}}); fault.KindOf(err) == "" {
		t.Errorf("a job that is none is answered by %v", err)
	}
}
