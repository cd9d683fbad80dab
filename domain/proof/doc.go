// Package proof shows whether a job's records are what its diary says was written, and
// whether what stands signed is what was signed. It looks at the stored records alone,
// so it also sees what somebody changed who could turn the database's triggers off.
//
// A job's diary is read twice, some entries at a time: as a chain from the first entry
// to the last, and room by room. The entries of a room are told, one after the other,
// to what it should be (told), which has a row for each record, as large as the room and
// no larger; then that is compared with the room as it is stored. What each act of the
// diary means is one table: see acts. Then every stage that stands signed is compared
// with its sign-off, and asked its hard rules as of the time of that.
package proof

// Shows is what a check can show and what it cannot.
const Shows = "It shows that between its first entry and its last nothing in a job's diary was changed, removed, " +
	"added or moved, that the records of its rooms are what the diary says was written, and that every stage that " +
	"stands signed is what was signed and meets its hard rules; it cannot show that a chain was rehashed up to its " +
	"end, nor that its end was cut off, unless a mark was kept elsewhere, nor that what somebody added at its end, or " +
	"what people wrote, was true."
