// Package jobs is the lists across rooms and the pages of a job: tasks, ready rooms, visits, team, diary.
package jobs

import "lathmark/server/page/kit"

// Pages are the handlers.
type Pages struct{ *kit.House }
