package firm

import (
	"slices"

	"lathmark/domain/fault"
)

// Act is a kind of thing that people do. Each service method names the one that
// it looks up in the table.
type Act int

// The acts.
const (
	RunFirm    Act = iota // add people, end them, end their sessions, set the limits
	RunTeams              // decide who works on which job
	Invite                // invite a trade by a code; inviting a foreman needs RunFirm
	RunJobs               // create jobs and rooms, keep the schedule, sign off, reopen
	Record                // write down what was measured, put on, opened, offered
	Read                  // see rooms, measurements and the diary
	Follow                // see how a job goes, without names, measurements or mistakes
	MakeKeys              // let another program act in one's own name
	ManageSelf            // see and end one's own sessions and keys, export one's own data
)

// Acts lists all of them.
var Acts = []Act{RunFirm, RunTeams, Invite, RunJobs, Record, Read, Follow, MakeKeys, ManageSelf}

// rule is a line of the table.
type rule struct {
	roles   []Role
	key     Scope  // the least scope that a key needs; NoKey: no key will do
	refusal string // what people with other roles are told
}

// table is the whole policy: which role may do what, and which scope a key
// needs. People may do it on their own jobs: see Person.EveryJob. Nobody may do
// what is not in the table.
var table = map[Act]rule{
	RunFirm:  {[]Role{Owner}, NoKey, "Only the owner of the firm may do that."},
	RunTeams: {[]Role{Owner, Foreman}, NoKey, "Only the foreman may do that."},
	Invite:   {[]Role{Owner, Foreman}, NoKey, "Only the foreman may do that."},
	RunJobs:  {[]Role{Owner, Foreman}, KeyRuns, "Only the foreman may do that."},
	Record:   {[]Role{Owner, Foreman, Trade}, KeyRecords, "Only people who work on site may do that."},
	Read:     {[]Role{Owner, Foreman, Trade}, KeyReads, "Only people who work on site may see this."},
	Follow: {[]Role{Owner, Foreman, Trade, Client}, KeyReads,
		"Only the firm's people and its clients may see this."},
	MakeKeys:   {[]Role{Owner, Foreman, Trade}, NoKey, "Only people who work on site may do that."},
	ManageSelf: {[]Role{Owner, Foreman, Trade, Client}, NoKey, "Only the firm's people and its clients may see this."},
}

// Policy checks that a person may do something: nil, or a fault of kind Refused
// with the reason.
type Policy func(Person) error

// May returns the policy of an act.
func May(a Act) Policy {
	return func(p Person) error {
		r, known := table[a]
		switch {
		case !known || !slices.Contains(r.roles, p.Role):
			return &fault.Error{Kind: fault.Refused, Msg: r.refusal}
		case p.Key != NoKey && !p.Key.covers(r.key):
			return &fault.Error{Kind: fault.Refused, Msg: "This key may not do that.",
				Fields: []fault.Field{{Wrong: "the key may do " + goodFor[p.Key],
					Mend: "Make a key that may do more, or do it yourself on the page"}}}
		}
		return nil
	}
}

// The policies that services use most.
var (
	MayRunFirm    = May(RunFirm)
	MayRunTeams   = May(RunTeams)
	MayRunJobs    = May(RunJobs)
	MayRecord     = May(Record)
	MayRead       = May(Read)
	MayFollow     = May(Follow)
	MayMakeKeys   = May(MakeKeys)
	MayManageSelf = May(ManageSelf)
)
