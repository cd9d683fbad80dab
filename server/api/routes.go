package api

// routes are all addresses of the API, in the order of the work.
func (a *api) routes() {
	a.document()
	a.sheets()

	get(a, "/me", "me", "Who asks", a.me)
	get(a, "/members", "members", "The people of the firm", a.members)
	get(a, "/build-ups", "buildUps", "The firm's standard build-ups", a.buildUps)
	put(a, "/build-ups/{build_up}", "saveBuildUp", "Adds or changes a standard build-up", a.saveBuildUp)

	get(a, "/jobs", "jobs", "The firm's open jobs, the newest first", a.jobs)
	post(a, "/jobs", "addJob", "Adds a job", a.addJob)
	get(a, "/jobs/{job}", "job", "One job, open or closed", a.job)
	put(a, "/jobs/{job}", "changeJob", "Changes what a job is called and where it is", a.changeJob, a.guarded)
	remove(a, "/jobs/{job}", "removeJob", "Takes a job out whose diary says only that it began", a.removeJob)
	get(a, "/jobs/{job}/still-open", "stillOpen", "The rooms of a job in which something is open", a.stillOpen)
	post(a, "/jobs/{job}/close", "closeJob", "Closes a job: nothing is written to it any more", a.closeJob)
	post(a, "/jobs/{job}/reopen", "reopenJob", "Opens a closed job again", a.reopenJob)
	get(a, "/jobs/{job}/rooms", "jobSheet", "A job's rooms against stages", a.jobSheet)
	post(a, "/jobs/{job}/rooms", "addRoom", "Adds a room, its surfaces and the faces round each", a.addRoom)
	get(a, "/jobs/{job}/diary", "diary", "A job's diary: who did what when", a.diary)
	post(a, "/jobs/{job}/client-link", "clientLink",
		"Makes the client's private link anew; the old one leads nowhere then", a.clientLink)
	remove(a, "/jobs/{job}/client-link", "endClientLink", "Ends the client's private link", a.endClientLink)
	get(a, "/client/{link}", "progress", "How the job behind a client's private link goes", a.progress, open)
	get(a, "/search", "search", "Jobs, rooms and positions by name, of closed jobs too", a.search)
	get(a, "/overview", "overview", "Every open job's rooms against stages", a.overview)
	get(a, "/tasks", "tasks", "What the person who asks has to do, across jobs", a.tasks)
	get(a, "/ready", "ready", "The rooms that are ready for the person who asks", a.ready)

	get(a, "/rooms/{room}", "room", "A room's own fields", a.room)
	put(a, "/rooms/{room}", "changeRoom", "Changes a room's own fields; its surfaces keep theirs", a.changeRoom, a.guarded)
	remove(a, "/rooms/{room}", "removeRoom", "Takes a room out in which nothing is recorded", a.removeRoom)
	get(a, "/rooms/{room}/record", "record", "Everything recorded of a room, with what the geometry and the gates say",
		a.record)
	post(a, "/rooms/{room}/surfaces", "addSurface", "Adds a surface and the faces round it", a.addSurface)
	post(a, "/rooms/{room}/datums", "addDatum", "Adds something to measure from", a.addDatum)
	remove(a, "/rooms/{room}/datums/{datum}", "removeDatum", "Takes a datum out that nothing was measured from",
		a.removeDatum)
	put(a, "/rooms/{room}/datums/{datum}/stays-bare", "staysBare", "Says whether nothing will go on a face", a.staysBare)
	put(a, "/rooms/{room}/surfaces/{surface}/build-up", "planBuildUp",
		"Plans layers on faces, in place of those planned before", a.planBuildUp)
	post(a, "/rooms/{room}/timbers", "addTimbers", "Draws timbers", a.addTimbers)
	remove(a, "/rooms/{room}/timbers/{timber}", "removeTimber", "Takes a timber out", a.removeTimber)
	post(a, "/rooms/{room}/ways", "addWay", "Records a cable's way through timbers", a.addWay)
	remove(a, "/rooms/{room}/ways/{way}", "removeWay", "Takes a cable's way out", a.removeWay)
	get(a, "/rooms/{room}/surfaces/{surface}/joist-limits", "joistLimits",
		"What may be cut in the timbers of a surface, and where, by each published rule", a.joistLimits)
	get(a, "/rooms/{room}/surfaces/{surface}/joists", "joists",
		"Joists at even spacing, to be sent as timbers; keeps nothing", a.joists)

	post(a, "/rooms/{room}/surfaces/{surface}/positions", "schedule", "Puts positions on the schedule", a.schedule)
	post(a, "/rooms/{room}/surfaces/{surface}/positions/lines", "pasteSchedule",
		"Puts positions on the schedule, from pasted lines", a.pasteSchedule)
	get(a, "/rooms/{room}/surfaces/{surface}/grid", "grid",
		"Positions spaced evenly, to be sent as positions; keeps nothing", a.grid)
	get(a, "/rooms/{room}/positions/{position}", "position", "One position", a.position)
	put(a, "/rooms/{room}/positions/{position}", "changePosition", "Changes what the schedule says of a position",
		a.changePosition, a.guarded)
	post(a, "/rooms/{room}/positions/{position}/hold", "hold", "Holds a position: no hole is cut for it", a.hold,
		a.guarded)
	post(a, "/rooms/{room}/positions/{position}/release", "release", "Takes a position off hold", a.release, a.guarded)
	post(a, "/rooms/{room}/positions/{position}/omit", "omit", "Notes that the client gave a position up", a.omit,
		a.guarded)
	post(a, "/rooms/{room}/positions/{position}/want-again", "wantAgain", "Takes back that a position was given up",
		a.wantAgain, a.guarded)

	post(a, "/rooms/{room}/measurements", "measure", "Writes a measurement down, and says what it still needs", a.measure)
	get(a, "/rooms/{room}/measurements/{measurement}", "measurement", "One measurement", a.measurement)
	put(a, "/rooms/{room}/measurements/{measurement}", "correct", "Puts right what was written down of a measurement",
		a.correct, a.guarded)
	post(a, "/rooms/{room}/measurements/{measurement}/strike", "strike",
		"Strikes a measurement out; it stays in the record", a.strike, a.guarded)

	put(a, "/rooms/{room}/positions/{position}/tail-seen", "seeTail", "Notes that a tail was seen free", a.seeTail)
	remove(a, "/rooms/{room}/positions/{position}/tail-seen", "unseeTail", "Takes back that a tail was seen free",
		a.unseeTail)
	post(a, "/rooms/{room}/photos", "photo", "Notes that a photo was taken, and where it is kept", a.photo)
	post(a, "/rooms/{room}/as-built", "putOn", "Records build-ups as they were put on", a.putOn)
	put(a, "/rooms/{room}/stages/{stage}/finished", "finish", "Writes down the day a stage's work was finished", a.finish)
	post(a, "/rooms/{room}/stages/{stage}/offer", "offer", "Says that a stage is done", a.offer)
	post(a, "/rooms/{room}/stages/{stage}/sign-off", "signOff",
		"Signs a stage off, with the soft obstacles that are accepted", a.signOff)
	post(a, "/rooms/{room}/stages/{stage}/reopen", "reopen", "Opens a signed stage again, and what follows it", a.reopen)
	get(a, "/rooms/{room}/sign-offs", "signOffs", "Every sign-off of a room, with what it was based on", a.signOffs)

	get(a, "/rooms/{room}/holes", "holes", "The holes that are still to be cut, the one to open first first", a.holes)
	post(a, "/rooms/{room}/openings", "openHole", "Writes down a hole with its outcome", a.openHole)
	put(a, "/rooms/{room}/openings/{opening}/outcome", "correctOutcome", "Puts right what was written down of a hole",
		a.correctOutcome)
	put(a, "/rooms/{room}/openings/{opening}/patch", "owePatch", "Says that a hole has to be made good", a.owePatch)
	put(a, "/rooms/{room}/openings/{opening}/patch/filled", "fillPatch", "Says when a patch was filled", a.fillPatch)
	put(a, "/rooms/{room}/openings/{opening}/patch/dry", "dryPatch", "Says from when a patch is dry", a.dryPatch)
	post(a, "/rooms/{room}/snags", "noteSnag", "Notes a fault that has to be put right", a.noteSnag)
	put(a, "/rooms/{room}/snags/{snag}/closed", "closeSnag", "Says that a snag was put right", a.closeSnag)
}
