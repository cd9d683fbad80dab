// Package sequence puts work in order: who comes on which day, so that nobody is in
// two places, everything waits for what it has to wait for, and the whole ends soon.
// It knows crews and days and nothing of rooms and trades.
//
// # The problem
//
// It is the resource-constrained project scheduling problem: pieces of work with whole
// days, crews of a size, waits between the end of one piece and the start of another.
// Beside it: days on which a crew is away (work rests and goes on afterwards), drying
// by the calendar, first days, pins and promises. Days are whole numbers from 0; a day
// is one on which somebody works, and Project.Calendar says which day of the calendar
// it is. A span of days has its first day and the day after its last.
//
// Pins and promises come before the end of the whole: a schedule is better than
// another whose pins slip and promises fail more, and of equals the one that ends
// sooner is.
//
// # The method
//
// Serial schedule generation (J. E. Kelley 1963; R. Kolisch 1996) takes the pieces in
// an order in which each stands behind what it comes after, and starts each as early as
// the pieces before it leave room. Every order leads to a schedule that keeps
// everything, and some order leads to the best one where only the end counts. So the
// search is one over orders: a genetic one (S. Hartmann 1998) with two-point crossover,
// tournaments of two, and children that take the place of the worse parent (crowding,
// K. De Jong 1975) unless they are like somebody there. A child has some pieces moved
// to any place between what they come after and what waits for them.
//
// Before it is built forwards each child is built backwards from the end of the best
// schedule known, everything as late as can be; the order of those starts is what the
// forward pass takes (forward-backward improvement: K. Y. Li, R. J. Willis 1992;
// V. Valls, F. Ballestín, S. Quintanilla 2005). The backward pass may lead to days
// before the first: only its order is used. Promises are its ends where they are
// earlier. Each pass over all the work counts as one schedule.
//
// The first members are orders by latest starts, from the critical path (Kelley and
// M. R. Walker 1959), strayed from at random. The search ends before its schedules are
// used up where nothing can be better: at the critical path, or with a crew that never
// pauses.
//
// The authors and years are from memory; the figures to compare with are the optima
// published with PSPLIB (testdata/reference/psplib): some 0.17 % over them with 1,000
// schedules, 0.06 % with 5,000, mean of 240 instances.
//
// # Laws
//
// The same project and seed give the same answer, on every machine and with every
// release of Go. The package is pure: no clock, no input or output but Read's source,
// no global state. A schedule of n pieces costs some n log n steps.
package sequence
