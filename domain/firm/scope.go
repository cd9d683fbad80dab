package firm

import "slices"

// Scope is what a key for another program is good for; the role of the person
// who made it is a further limit. NoKey means that there is no key: the person
// asks directly.
type Scope string

// The scopes, as stored. Each includes the ones before it.
const (
	NoKey      Scope = ""
	KeyReads   Scope = "read"
	KeyRecords Scope = "record"
	KeyRuns    Scope = "run"
)

// Scopes lists all that a key can have, the least first.
var Scopes = []Scope{KeyReads, KeyRecords, KeyRuns}

// covers reports whether a key of scope s is good for what needs the scope
// least. No key is good for what needs NoKey.
func (s Scope) covers(least Scope) bool {
	have, need := slices.Index(Scopes, s), slices.Index(Scopes, least)
	return have >= 0 && need >= 0 && have >= need
}

// goodFor says what a key of each scope is good for.
var goodFor = map[Scope]string{NoKey: "nothing", KeyReads: "reading only", KeyRecords: "reading and recording",
	KeyRuns: "reading, recording and running jobs"}
