// Package setoutsheet prints the set-out of a room as it is read off a phone
// by somebody up a ladder: plain text, 44 columns, what can hurt or cost
// first, then per surface what to mark.
//
// It stands apart from the room sheet, which is read and written by programs
// and whose fields are fixed: this is for people, and its words may change. It
// works nothing out; every figure is the adjustment's, as whole millimetres.
package setoutsheet
