// Package domain holds the rules of the trade; start reading here.
//
// # Words
//
// A job is a site and has rooms. A room has surfaces (ceiling, slope, wall,
// floor). On a surface lie datums, from which people measure: faces, which
// layers may cover, and fixed lines and points, which no layer covers. The
// layers planned on a face are its build-up; its state is the outermost layer
// that is on, bare before any. Timbers are joists, rafters, studs and noggins.
// The schedule is the list of positions where something will come through, each
// with a tail behind it. A measurement is an offset of a position from a datum
// in a state, a distance between positions, a span between faces, or a
// thickness.
//
// A room goes through five stages, each with a gate: waiting, in hand, offered
// by a trade, signed off by the foreman. An obstacle is a rule of a gate that
// is not met: nobody gets past a hard one, and the foreman may accept a soft
// one with a reason. What a signed stage is based on is frozen. Everything done
// is in the job's diary, from which nothing is ever removed but the name of
// somebody who left.
//
// # Layers
//
//	fault, words, geometry, sequence, roomsheet, caution  pure: no clock, no database
//	id, firm <- diary <- job                    the nouns, with their services
//	room <- gate <- standing <- deed            a room's record; its rules; all that is said of it; what changes it
//	sums, subjectdata                           a phone without signal; what is held about a person
//	persistence                                 SQL for the ports of the nouns
//	server, web                                 pages and API over the services
//
// A noun's store.go (or the top of its only file) declares the port that it
// needs, Tx; firm.In runs a function in one transaction of whoever asks. The
// transaction is passed on, never hidden in a context. A service
// checks the policy first, then locks and loads, then calls a pure function,
// then saves, then writes the diary: all in one transaction, with one reading
// of the clock.
//
// Whatever changes a room is a deed and goes through deed.Desk, which takes the
// room's lock, and judges the room as it is afterwards: it must still make a
// room sheet, and no signed stage may be left with a hard obstacle. The lock
// of a job's diary is taken last.
//
// The hard rules of the gates, their order and what they freeze are enforced a
// second time by triggers in the database (migrations/0004 and 0005), so that
// no other path gets around them. A test runs random histories against both.
//
// # Faults
//
// Whatever a person can cause or mend is a *fault.Error of one of five kinds:
// BadInput (with every field that is wrong), NotFound (also for what belongs to
// another firm), Refused (the person may not), Conflict (somebody else was
// first; another version), Obstacle (a gate or a frozen record). Its Msg is for
// people, its cause for the log. All other errors go to the log only.
//
// Each service method's comment says who may call it and which kinds of fault
// it returns.
//
// # The same write twice
//
// Whoever sends a record may choose its id (UUID version 7). Sending the same
// record again is no error and adds nothing, not even to the diary; another
// record under the same id is a Conflict. What two people can edit has a
// version: pass the one that was read, and a change made meanwhile is a
// Conflict; 0 skips the check.
package domain
