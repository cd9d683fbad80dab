package gate

import (
	"fmt"
	"strings"
	"testing"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// crowded is a room in a stage with n downlights on its ceiling besides those of done.
func crowded(s words.Stage, n int) *sample {
	r := done()
	for _, later := range append(s.After(), s) {
		r.Gates[later] = room.Gate{Stage: later, State: words.Waiting}
	}
	r.Gates[s].State = words.InHand
	for k := range n {
		r.Positions = append(r.Positions, room.Position{ID: ref[id.Position](fmt.Sprintf("E%d", k+1)),
			Name: fmt.Sprintf("E%d", k+1), Surface: r.Surfaces[0].ID, Kind: "downlight"})
	}
	return r
}

// A list has a line for each surface and thing to do, however many positions there are,
// and stands for every task once.
func TestGroupsTellEveryTaskOnce(t *testing.T) {
	for _, s := range words.Stages {
		for _, n := range []int{1, 7, 40} {
			j := judge(crowded(s, n), today)
			for _, trade := range words.Trades {
				groups, sum := j.Groups(j.Tasks(trade)), 0
				for _, g := range groups {
					sum += g.N
					if len(g.Says) > 260 {
						t.Errorf("%s, %s: %d characters are no short line: %s", s, trade, len(g.Says), g.Says)
					}
					if !strings.HasSuffix(g.Says, ".") || strings.Contains(g.Says, "%") {
						t.Errorf("%s, %s: %q is no sentence", s, trade, g.Says)
					}
				}
				dropped := len(j.Tasks(trade)) - sum
				if dropped < 0 || dropped > 1 || len(groups) > 8 {
					t.Errorf("%s, %s, %d more: %d tasks, told %d in %d lines", s, trade, n, len(j.Tasks(trade)), sum, len(groups))
				}
			}
		}
	}
}

func TestGroupsSayWhatToDo(t *testing.T) {
	r := crowded(words.SecondFix, 5)
	r.Openings = nil
	says := func(t words.Trade) (out string) {
		j := judge(r, today)
		for _, g := range j.Groups(j.Tasks(t)) {
			out += g.Where + ": " + g.Says + "\n"
		}
		return out
	}
	want := "Ceiling: Cut D1, D2 and E1 to E5 (7 holes). Cut D1 first and record where its tail was " +
		"before you cut the rest."
	if got := says(words.Electrician); !strings.Contains(got, want) {
		t.Errorf("the electrician reads\n%swant\n%s", got, want)
	}
	if got := says(words.Electrician); strings.Count(got, "Cut D1 first") != 1 {
		t.Errorf("the first hole is not told once:\n%s", got)
	}
}

// While a tail is not seen free nobody is sent to put boards on without being told.
func TestDoNotClose(t *testing.T) {
	r := crowded(words.Boarding, 4)
	r.Record.Built = nil
	j := judge(r, today)
	const want = "Do not close the ceiling yet: 4 tails are not seen free (E1 to E4)."
	if got := j.DoNotClose(); len(got) != 1 || got[0] != want {
		t.Fatalf("it says %q, not %q", got, want)
	}
	if got := j.Next(words.DryLiner).Sentence; !strings.HasPrefix(got, want+" ") {
		t.Errorf("the dry liner reads %q", got)
	}
	if j.Closing(words.DryLiner) != want || j.Closing(words.Decorator) != "" {
		t.Errorf("told: dry liner %q, decorator %q", j.Closing(words.DryLiner), j.Closing(words.Decorator))
	}
	for _, p := range r.Positions {
		r.Seen = append(r.Seen, room.TailSeen{Position: p.ID, At: today})
	}
	if got := judge(r, today).DoNotClose(); len(got) != 0 {
		t.Errorf("with every tail seen it says %q", got)
	}
}

// What was lost stays on its trade's list until it is made good, the signed stage or not.
func TestLostTailsStayOnAList(t *testing.T) {
	lost := func(break_ func(*sample)) *Judged {
		r := done()
		r.Gates[words.Decoration] = room.Gate{Stage: words.Decoration, State: words.InHand}
		r.Openings[0].Outcome = words.NotFound
		r.patch(0, day(50), day(51))
		if break_ != nil {
			break_(r)
		}
		return judge(r, today)
	}
	told := func(j *Judged) (out []string) {
		for _, task := range j.Tasks(words.Electrician) {
			if task.Code == CodeLostTail {
				out = append(out, task.Why+". "+task.What)
			}
		}
		return out
	}
	const want = "the tail of D1 is lost behind the ceiling. Have second fix opened again, then find it, add a new " +
		"position, " +
		"or have the client leave it out"
	if got := told(lost(nil)); len(got) != 1 || got[0] != want {
		t.Errorf("the electrician reads %q, not %q", got, want)
	}
	if got := told(lost(func(r *sample) { r.Patches = nil; r.Gates[words.SecondFix].State = words.InHand })); len(
		got) != 0 {
		t.Errorf("without a patch it is told twice: %q", got)
	}
	for name, good := range map[string]func(*sample){
		"a new position": func(r *sample) { r.Openings[0].NewPosition = r.Positions[1].ID },
		"left out":       func(r *sample) { r.Positions[0].OmittedAt = day(52) },
		"found after all": func(r *sample) {
			r.Openings = append(r.Openings, room.Opening{ID: ref[id.Opening]("2nd"), Position: r.Positions[0].ID,
				Outcome: words.Found, At: day(53), RecordedAt: day(53)})
		},
		"a new one that is gone again": nil,
	} {
		if good == nil {
			if got := told(lost(func(r *sample) { r.Openings[0].NewPosition = ref[id.Position]("gone") })); len(got) != 1 {
				t.Errorf("%s: %q", name, got)
			}
			continue
		}
		if got := told(lost(good)); len(got) != 0 {
			t.Errorf("%s: still told %q", name, got)
		}
	}
	if got := lost(func(r *sample) { r.Gates[words.Decoration].State = words.SignedOff }).Tasks(words.Electrician); len(
		got) != 0 {
		t.Errorf("a finished room has tasks: %+v", got)
	}
}
