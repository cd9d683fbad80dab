// Package gate decides whether a stage of a room may be signed off, and who
// has to do what before it may. It is pure: one room's Record and a day go in,
// obstacles and tasks come out; no clock, no input or output.
//
// A gate belongs to a room and a stage. Its states and the only moves between
// them, drawn once:
//
//	           the stage before
//	           is signed off        Offer              SignOff
//	[waiting] ───────────────> [in hand] ──> [offered] ──────> [signed off]
//	    ^                       │     ^         │                 │
//	    │                       │     └─────────┼──── Reopen ─────┤
//	    └───────────────────────┴───────────────┴─────────────────┘
//	                  a stage before is reopened
//
// First fix has no stage before it and so is never waiting. Only SignOff asks
// the rules (see Rules); it is refused while a hard obstacle stands, or a soft
// one that nobody has accepted with a reason. Reopening a stage reopens what
// follows. A position added after the first-fix sign-off reopens first fix.
//
// What a signed stage was based on is frozen until it is reopened: see StageOf.
package gate
