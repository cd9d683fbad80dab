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
// A change of what an offered stage rests on withdraws the offer: from offered it is in
// hand again, and the diary says who changed what.
//
// The law, in the database as well (migrations/0020): whenever a transaction commits, every
// stage of a room that it wrote to and that is signed off
//
//   - meets its hard rules, as of the moment at which it was signed;
//   - rests on what it rested on then: see Evidence, and StageOf for which stage freezes
//     what. A reading belongs to every stage that was signed while it stood;
//   - was signed by the owner or the foreman, at the database's time, with its line in the
//     diary, and not before the stage that it stands on.
package gate
