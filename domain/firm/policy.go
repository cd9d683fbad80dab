package firm

import "lathmark/domain/fault"

// Policy tells whether a person may do something: nil, or a fault of kind
// Refused with the reason.
type Policy func(Person) error

// The policies. Each service method names the one it asks.
var (
	// MayRunFirm: add people and standard build-ups.
	MayRunFirm = only("Only the owner of the firm may do that.", Owner)
	// MayRunJobs: create jobs and rooms, keep the schedule, sign off, reopen.
	MayRunJobs = only("Only the foreman may do that.", Owner, Foreman)
	// MayRecord: write down what was measured, put on, opened, offered.
	MayRecord = only("Only the people on site may do that.", Owner, Foreman, Trade)
	// MayRead: see rooms, measurements and the diary.
	MayRead = only("This is for the people on site.", Owner, Foreman, Trade)
)

func only(refusal string, roles ...Role) Policy {
	return func(p Person) error {
		for _, r := range roles {
			if p.Role == r {
				return nil
			}
		}
		return &fault.Error{Kind: fault.Refused, Msg: refusal}
	}
}
