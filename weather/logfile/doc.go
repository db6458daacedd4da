// Package logfile reads the CSV that a temperature and humidity logger, a
// spreadsheet or a careful hand wrote, whatever its encoding, separators, units
// and way of writing dates.
//
// [Read] is the whole of it. Nothing is guessed silently: what the file itself
// settles is decided and said in one line ([Decisions]); what it leaves open is
// refused with an [AmbiguityError] that names both readings and the option that
// settles it. Every decision can be pinned in [Options], and a pin that the file
// contradicts is a [PinError]. A sensor that stands still in wet air is a
// [StuckError]; everything else that is wrong is an [Error] with line, column
// and the text that stood there. All of them are a [Fault].
//
// # Rules
//
//   - Bytes: UTF-8, with or without a byte order mark; UTF-16 with one; anything
//     else is Windows-1252. Lines end in CRLF, LF or a lone CR. Records and
//     quotes are those of RFC 4180 (2005), section 2, read leniently.
//   - A file of [MaxSize] bytes is read, or of [MaxFast] from a logger that reads twice a minute
//     or more often: its readings are averaged to the minute while they are read, temperature and vapour
//     pressure each, and the mean of 06:29:00.1 to 06:30:00.0 stands at its last reading's time. Readings
//     of one time are averaged too where the times show no fractions of a second, or minutes only and four
//     readings or more in each. A row has 64 KiB at the most.
//   - A last row without a line end is left out, with a note, unless nothing more can have stood in the last
//     of its values that is read: see the rule in cut.go.
//   - Readings are judged up to [Options.At]; those later that cannot be believed are left out, with all after
//     them and a note.
//   - Lines that begin with # are comments. Up to [MaxPreamble] lines may stand
//     above the header. Rows without temperature and humidity (events of the
//     logger, trailers) are skipped and counted.
//   - The delimiter is the one of comma, semicolon, tab and bar under which the
//     header names a time, a temperature and a humidity, and the rows fit it.
//   - Decimals are decided per column, and the columns must agree. 1,234 alone is
//     ambiguous. A comma between the columns makes 21.345 a decimal point; a
//     semicolon makes several different numbers like 21,345 decimal commas.
//   - Dates are ISO 8601 (from memory), day first, month first or year first,
//     decided over the whole column; or Unix seconds or milliseconds; or the days
//     of a spreadsheet. Two-digit years run from 1969 to 2068 (POSIX strptime %y,
//     from memory). 24:00 is the next day's 00:00 (ISO 8601:2004, from memory).
//   - Zone: the offset in the time's text, else in the header, else
//     [Options.Zone], else [Options.SiteZone]. Local text that does not exist on
//     the day clocks go forward is an error; where they go back, the hour's first
//     pass is summer time and the second is not, and a single pass is ambiguous.
//   - A unit that is not stated is C, unless a value is above 45 or the file
//     writes dates or times as in the United States: then it is asked for.
//   - Relative humidity is over liquid water at every temperature. 100 to 105 % is
//     a wet sensor and counts as 100; the limits of all checks are constants of
//     this package and are common practice, no source, unless named there.
//
// # Not handled
//
//   - Files without a header; months as words; times without a day, or with points
//     (06.30); spreadsheet days in two columns; names of zones inside a time's text
//     (CET, EST).
//   - Absolute humidity, mixing ratio or dew point in place of relative humidity.
//     A dew point column only serves as a check.
//   - Wind, pressure and everything else a logger may record.
//   - Spreadsheet days counted from 1904, which look like those counted from 1900.
//   - A clock that was put forward: it leaves a gap, and looks like one. A logger
//     whose clock or calibration is wrong from the first row to the last.
//   - Two loggers in one file, whose rows share their times: they are refused, but where both read
//     every second and the times show no fractions; those are averaged as one.
//   - A decimal mark, a unit or an order of times that a fast logger changes after the first 64 KiB: refused.
//   - Gaps: they are noted and left. [weather.Series.FillGaps] and
//     [weather.Series.Hourly] do what is asked of them, in the open.
package logfile
