// Package calendar writes a day's things to do as iCalendar (RFC 5545): one event for each, in UTC, with an alarm
// where one is asked for. An event without an end takes no time: only its beginning is known. A season's dates are whole
// days, in no zone.
//
// Not done: time zones (times are in UTC, and a calendar shows them by its own clock), repeated events,
// invitations.
package calendar
