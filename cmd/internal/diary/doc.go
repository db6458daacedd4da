// Package diary keeps the record of a job: what was read, laid, seen, weighed and handed over, and when. Entries are
// only ever added. A correction is an entry that amends an earlier one, and both stay in the file.
//
// # Format
//
// A diary is UTF-8 text, one JSON object to a line. The names of [Kinds] carry their unit, and numbers are SI:
//
//	{"n":3,"at":"2026-04-14T09:42:00+01:00","written":"2026-04-14T09:42:07+01:00","kind":"event","coat":1,
//	"what":"damp","note":"north end first","follows":"9f1b3a50c2d4e6f7","sum":"04ad51c07be83d29"}
//
// n is the entry's number, from 1; at, when it was so; written, when it was put down, both with the offset of the
// clock on site; amends, the number of the entry that it corrects. follows is the sum of the line before, empty in
// the first. sum is the last member: the first 16 hexadecimal digits of the SHA-256 of the line up to the comma
// before "sum". So a line that was changed contradicts its own sum, and where one was taken out or put in, the next
// one contradicts the line before it.
//
// # Keeping it
//
// [Book.Append] locks the file, reads it, adds one whole line in one write, and returns once the line, and a new
// file's name, are on the disk. The lock is the system's own on the open file, so it goes when its holder is killed.
// What stands in the file is never shortened, rewritten or removed: a last line that was cut off is ended and left,
// and the next entry follows it. [Read] names each line that cannot be trusted and reads every other.
//
// # Not here
//
// Proof against a forger: who can write the file can make the sums anew, or take its last lines off. Times of day
// without an offset, and what an entry means for lime, are the caller's.
package diary
