package diary

import "lathmark/domain/id"

// Change says that a diary has grown: ids and a number, and nothing of what was
// written. Whoever hears of one reads the diary with their own rights.
type Change struct {
	Firm id.Firm `json:"-"`
	Job  id.Job  `json:"job"`           // none: any job of the firm
	Room id.Room `json:"room,omitzero"` // none: about the whole job
	Seq  int64   `json:"seq"`           // the number of the newest entry
}

// Changes sums entries up, in their order: each room, and each job as a whole,
// appears once, with its newest entry.
func Changes(entries []Entry) []Change {
	type about struct {
		job  id.Job
		room id.Room
	}
	newest := map[about]int64{}
	for _, e := range entries {
		at := about{e.Job, e.Room}
		newest[at] = max(newest[at], e.Seq)
	}
	var out []Change
	for _, e := range entries {
		if newest[about{e.Job, e.Room}] == e.Seq {
			out = append(out, Change{e.Firm, e.Job, e.Room, e.Seq})
		}
	}
	return out
}
