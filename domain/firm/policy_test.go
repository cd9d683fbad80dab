package firm_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
)

// The whole policy as it is meant: o owner, f foreman, t trade, c client;
// without a key, and with a key that reads, that records, that runs.
const policy = `
run firm     o--- ---- ---- ----
run teams    of-- ---- ---- ----
invite       of-- ---- ---- ----
run jobs     of-- ---- ---- of--
record       oft- ---- oft- oft-
read         oft- oft- oft- oft-
follow       oftc oftc oftc oftc
make keys    oft- ---- ---- ----
be oneself   oftc ---- ---- ----
`

func TestThePolicyIsAsMeant(t *testing.T) {
	names := []string{"run firm", "run teams", "invite", "run jobs", "record", "read", "follow", "make keys", "be oneself"}
	if len(names) != len(firm.Acts) {
		t.Fatalf("%d acts, %d of them named", len(firm.Acts), len(names))
	}
	got := "\n"
	for i, act := range firm.Acts {
		got += fmt.Sprintf("%-12s", names[i])
		for _, key := range append([]firm.Scope{firm.NoKey}, firm.Scopes...) {
			got += " "
			for j, role := range firm.Roles {
				err := firm.May(act)(firm.Person{Role: role, Key: key})
				switch {
				case err == nil:
					got += "oftc"[j : j+1]
				case fault.KindOf(err) != fault.Refused || len(err.Error()) < 20:
					t.Errorf("%s by the %s with %q: %v", names[i], role, key, err)
				default:
					got += "-"
				}
			}
		}
		got += "\n"
	}
	if got != policy {
		t.Errorf("the policy is\n%s", got)
	}
}

// Nobody may do what is not in the table.
func TestWhatIsNotInTheTableIsRefused(t *testing.T) {
	for _, p := range []firm.Person{{}, {Role: "boss"}, {Role: firm.Owner, Key: "everything"}} {
		for _, act := range firm.Acts {
			if firm.May(act)(p) == nil {
				t.Errorf("%+v may do act %d", p, act)
			}
		}
	}
	if firm.May(firm.Act(len(firm.Acts)))(firm.Person{Role: firm.Owner}) == nil {
		t.Error("an act that is none is allowed")
	}
	if !slices.Equal(firm.Roles, []firm.Role{firm.Owner, firm.Foreman, firm.Trade, firm.Client}) || strings.Count(policy,
		"\n") != len(firm.Acts)+1 {
		t.Error("the table above is not complete")
	}
}
