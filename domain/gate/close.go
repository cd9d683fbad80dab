package gate

import (
	"slices"
	"strings"

	"lathmark/domain/id"
	"lathmark/domain/words"
)

// DoNotClose says of each surface that hides a tail which nobody has seen free yet: "Do
// not close the ceiling yet: 11 tails are not seen free (W1, H1, D1 to D9)." Empty where
// the boards may go up, and once boarding is signed off.
func (j *Judged) DoNotClose() (out []string) {
	if j.Gates[words.Boarding].State == words.SignedOff {
		return nil
	}
	names := map[id.Surface][]string{}
	for _, o := range j.obstacles[words.Boarding] {
		if o.Code == CodeTailNotSeen {
			names[o.Surface] = append(names[o.Surface], o.About.Name)
		}
	}
	for _, s := range j.Surfaces {
		if all := names[s.ID]; len(all) > 0 {
			are := " are"
			if len(all) == 1 {
				are = " is"
			}
			out = append(out, "Do not close "+words.InWords(s.Name)+" yet: "+words.Count(len(all), "tail")+are+
				" not seen free ("+words.Runs(all)+").")
		}
	}
	return out
}

// closing returns DoNotClose where tasks of a trade put boards on, else nothing.
func (j *Judged) closing(tasks []Task) string {
	boards := func(t Task) bool { return t.Stage == words.Boarding && t.Code == CodeNotAsBuilt }
	if !slices.ContainsFunc(tasks, boards) {
		return ""
	}
	return strings.Join(j.DoNotClose(), " ")
}

// Closing returns what a trade that is to put boards on reads before all else, "" where
// it has none to put on, or may.
func (j *Judged) Closing(t words.Trade) string { return j.closing(j.tasks[t]) }
