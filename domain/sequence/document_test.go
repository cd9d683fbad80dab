package sequence

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"lathmark/domain/fault"
)

const twoPieces = `{"format":"lathmark-programme/1","crews":[{"id":"R1","size":12}],"work":[
	{"id":"a","days":8,"needs":{"R1":4},"after":[{"id":"b","lag":2}]},{"id":"b","days":1e0}],
	"schedules":50,"seed":18446744073709551615}`

func TestReadTakesTheFormat(t *testing.T) {
	p, err := Read(strings.NewReader("\uFEFF" + twoPieces))
	if err != nil {
		t.Fatal(err)
	}
	a, err := Plan(t.Context(), p)
	if err != nil || a.Days != 11 || a.Work[0] != (Placed{"a", 3, 11}) || a.Work[1] != (Placed{"b", 0, 1}) {
		t.Errorf("%+v, %v", a, err)
	}
	if p.Schedules != 50 || p.Seed != 1<<64-1 {
		t.Errorf("%+v", p)
	}
}

// What is not in the format is refused by its path.
func TestReadNamesWhatIsWrong(t *testing.T) {
	for _, c := range []struct{ old, new, path, says string }{
		{`"days":8`, `"day":8`, "$.work[0].day", "no field day"},
		{`"days":8`, `"days":8,"days":8`, "$.work[0].days", "twice"},
		{`"days":8,`, ``, "$.work[0].days", "no days"},
		{`"days":8`, `"days":"8"`, "$.work[0].days", "a text, not a whole number"},
		{`"days":8`, `"days":8.5`, "$.work[0].days", "8.5 is not a whole number"},
		{`"days":8`, `"days":1e99`, "$.work[0].days", "1e99"},
		{`"days":8`, `"days":null`, "$.work[0].days", "null"},
		{`"days":8`, `"days":-8`, "$.work[0].days", "-8"},
		{`"lag":2`, `"lag":-2`, "$.work[0].after[0].lag", "-2"},
		{`{"R1":4}`, `{"R1":-4}`, "$.work[0].needs.R1", "-4"},
		{`{"R1":4}`, `{"R1":4,"R1":4}`, "$.work[0].needs.R1", "twice"},
		{`{"R1":4}`, `{"R2":4}`, "$.work[0].needs.R2", "no such crew"},
		{`{"R1":4}`, `{"R1":13}`, "$.work[0].needs.R1", "size is 12"},
		{`{"R1":4}`, `[]`, "$.work[0].needs", "a list, not an object"},
		{`"lag":2`, `"lag":true`, "$.work[0].after[0].lag", "true or false"},
		{`"id":"b","lag"`, `"id":"c","lag"`, "$.work[0].after[0].id", "no such piece"},
		{`"id":"b","lag"`, `"id":"a","lag"`, "$.work[0].after", "comes after itself"},
		{`[{"id":"R1","size":12}]`, `{}`, "$.crews", "an object, not a list"},
		{`18446744073709551615`, `-1`, "$.seed", "-1"},
		{`"schedules":50`, `"schedules":-50`, "$.schedules", "-50"},
		{`programme/1`, `programme/2`, "$.format", "programme/2"},
		{`"seed"`, `seed`, "$", "not JSON at line 3"},
		{`615}`, `615} 1`, "$", "something after"},
		{`615}`, `615`, "$", "ends too soon"},
		{`"a"`, "\"\xff\"", "$", "UTF-8"},
	} {
		_, err := Read(strings.NewReader(strings.Replace(twoPieces, c.old, c.new, 1)))
		if fault.KindOf(err) != fault.BadInput || !strings.Contains(err.Error(), "\n"+c.path+": ") ||
			!strings.Contains(err.Error(), c.says) {
			t.Errorf("%s for %s: %v", c.new, c.old, err)
		}
	}
}

// Whatever the bytes, Read ends with a project or a fault, and Plan keeps what is read
// or is stopped by its context.
func FuzzRead(f *testing.F) {
	f.Add(twoPieces)
	f.Add(strings.Replace(twoPieces, `"days":8`, `"days":199000`, 1))
	f.Add(`{"format":"lathmark-programme/1","crews":[],"work":[{"id":"a","days":0,"after":[{"id":"a"}]}]}`)
	f.Add(`[[[[{"`)
	f.Fuzz(func(t *testing.T, document string) {
		p, err := Read(strings.NewReader(document))
		if err != nil {
			if fault.KindOf(err) != fault.BadInput {
				t.Error(err)
			}
			return
		}
		p.Schedules = 1 + p.Schedules%20
		ctx, stop := context.WithTimeout(t.Context(), 10*time.Second)
		defer stop()
		a, err := Plan(ctx, p)
		if err != nil {
			t.Fatal(err)
		}
		keeps(t, p, a)
	})
}

// A context that has ended ends the plan.
func TestPlanEndsWithItsContext(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, err := Plan(ctx, site(60)); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}
