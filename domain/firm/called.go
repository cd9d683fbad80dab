package firm

import "strings"

// Does says what a person does: "owner", "electrician".
func (p Person) Does() string {
	if p.Role == Trade {
		return p.Trade.String()
	}
	return string(p.Role)
}

// Becomes says what an invitation makes of whoever uses it: "electrician on 14
// Orchard Row".
func (i Invitation) Becomes() string {
	switch {
	case i.Role == Foreman:
		return "foreman"
	case i.EveryJob:
		return i.Trade.String() + " on every job"
	}
	return i.Trade.String() + " on " + strings.Join(i.JobNames, ", ")
}

// GoodFor says what a key of a scope is good for.
func (s Scope) GoodFor() string {
	return map[Scope]string{KeyReads: "reading", KeyRecords: "reading and recording",
		KeyRuns: "reading, recording and running jobs"}[s]
}
