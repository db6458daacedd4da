// Package fetch is the one door to the network: a client that asks weather
// services politely, survives what they and the way to them do, and keeps their
// answers on disk.
//
// [Client.Get] is the whole of it. A question goes out only if the kept answer
// is no longer good; it goes out once, or again where that helps; and only an
// answer that has passed every check is handed on and kept. Where no answer is to
// be had, the kept one is, and says so. What went wrong is a [Fault], in words for
// the person at the wall.
//
// [Decode], [Number] and [Kind] are for the packages that read the answers: a
// null is never a zero, and a number without a known unit is refused.
//
// # What is kept, and for how long
//
// One file for a question, under a name that does not tell the question, readable by its owner alone. The
// service's own Expires less its own Date says how long an answer is good, so that a wrong
// clock on this computer does no harm; [Request.MaxAge] can only lengthen
// that. Before then the service is not asked. Afterwards it is asked with
// If-Modified-Since, whose text is the service's own.
//
// # Sources
//
// HTTP dates, conditions, Retry-After and ages: RFC 9110, sections 5.6.7,
// 10.2.3, 13.1.3 and 15; RFC 9111, sections 4.2 and 5.1. Status 511: RFC 6585, section
// 6. The waits (a minute, 2 to 10 s, 30 s) are choices of this program.
//
// # Not handled
//
//   - Entity tags, and Vary: no service here needs them.
//   - Passwords, cookies, and anything but GET.
//   - A login page that answers with well-formed JSON.
//   - Clearing the cache: an answer never asked for again stays where it is, some
//     100 kB for a place and service.
//   - Limits counted over several computers or runs: a service's refusal is
//     obeyed, not foreseen.
package fetch
