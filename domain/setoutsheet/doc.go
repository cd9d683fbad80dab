// Package setoutsheet prints the set-out of a room for somebody who reads it
// off a phone, up a ladder: plain text, 44 columns, first what can cause injury
// or cost, then what to mark on each surface.
//
// It differs from the room sheet, which is read and written by programs and
// whose fields are fixed: this is for people, and its words may change. It
// calculates nothing; every figure is the adjustment's, in whole millimetres.
package setoutsheet
