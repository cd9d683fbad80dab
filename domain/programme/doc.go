// Package programme says when: which trade is in which room of the firm's open jobs on
// which day, what each stage waits for, how sure its day is, and what a delay costs.
//
// The gates say whether a room may go on (domain/gate); nothing here opens or shuts one. A
// programme is worked out from the rooms' standings and from what the firm has said
// (Given), by domain/sequence, in the background and never in the transaction of a deed.
// It is an answer of a moment (Programme): what becomes of it when something changes is in
// Programme.Moved.
//
// Frame and units. A day is its midnight in UTC, as everywhere (words.Zone). Work is
// counted in slots: a quarter of a working day, two hours. Amounts are square metres or
// positions. Drying and lead times run on every day of the calendar, work on working days.
package programme
