// Package sequence puts work in order: who comes on which day, so that nobody is in
// two places, everything waits for what it has to wait for, and the whole ends soon.
// It knows crews and days and nothing of rooms and trades.
package sequence
