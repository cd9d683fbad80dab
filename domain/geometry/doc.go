// Package geometry works out where each position on a surface is today from
// what was taped when the surface was open, how sure that is, and what a hole
// there would meet.
//
// Everything happens in the plane of one surface with its own frame (u, v) in
// millimetres. The unknowns are the positions, the shift of each datum from
// where it is drawn, and the thickness of each layer; datums and layers carry
// priors. All measurements and priors are adjusted together by weighted least
// squares (Gauss-Newton where a straight distance makes it non-linear), and
// everything else is read off the adjustment's joint covariance.
//
// The package is pure: no clock, no input or output, no global state. All
// functions may be called from many goroutines, and return the same
// for the same input, to the last bit.
//
// In scope: surfaces with straight faces, fixed lines and fixed points, up to
// a few hundred positions. Not in scope: curved faces, anything out of the
// surface's plane beyond the lean of a face, and whether a room may be signed
// off (that is the gate's).
package geometry
