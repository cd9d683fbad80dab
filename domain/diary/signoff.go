package diary

import (
	"encoding/json"
	"fmt"
)

// ActSignOff is the act of a sign-off; its detail has the member sha256.
const ActSignOff = "sign_off"

// Signed is the part of the detail of a sign-off's entry that the proof relies
// on.
type Signed struct {
	SHA256 string `json:"sha256"` // in hexadecimal, over what the sign-off was based on
	// Evidence is that of the evidence; the oldest sign-offs keep none.
	Evidence string `json:"evidence,omitempty"`
}

// CheckSignOffs compares what the sign-offs of a job hold today, by the number
// of their entry, with what the entries say.
func CheckSignOffs(entries []Entry, sums map[int64]Hash) []Break {
	var out []Break
	left := len(sums)
	for _, e := range entries {
		if e.Act != ActSignOff {
			continue
		}
		var d Signed
		sum, there := sums[e.Seq]
		switch {
		case !there:
			out = append(out, Break{e.Seq, fmt.Sprintf("the sign-off of entry %d is gone", e.Seq)})
			continue
		case json.Unmarshal(e.Detail, &d) != nil || d.SHA256 != sum.String():
			out = append(out, Break{e.Seq, fmt.Sprintf("the sign-off of entry %d does not hold what was signed", e.Seq)})
		}
		left--
	}
	if left > 0 {
		out = append(out, Break{0, fmt.Sprintf("%d sign-offs have no entry", left)})
	}
	return out
}
