// Package intake is how a question is read: a job's file, the air, the moment, what was seen and what was learned become the
// [drying.Job], [drying.Ask] and [drying.Seen] that are worked out, with what was taken for granted. Flags, page, wall, season, cards
// and sample plan all ask through it, so that one question has one answer.
//
// It takes plain values, neither flags nor forms, and is handed its clock and the services it may ask. Refusals are an [Error] or a
// fault.List, or those of the packages that it reads with.
//
// Not in here: how a question is typed, what is answered, and any rule about lime, which are drying's.
package intake
