// Package view holds answers as people read them: in that order, made once, and told alike by every writer. A view knows what applies;
// a writer only how it is laid out.
//
// [Printer] alone knows the reader's units, decimals and words of time; [Time.Shown] alone rounds a moment. The writers (text, sheet,
// page, drawing, calendar) know a view and no lime; JSON has the exact moments.
//
// Not in here: any threshold, limit or choice of what is said, which are drying's, and any layout.
package view
