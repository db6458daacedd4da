// Package sheet writes the pages that are printed. [Write] writes the morning's answer, to be taken to the wall: the
// verdict, the coats with room to tick the real times off by hand, the day's drawing and its numbers, signs and
// cautions. [WriteRecord] writes the record of a job, to be handed over.
//
// A page needs nothing from outside: no script, no style attribute, no address; its one style element is named
// by its hash in the content policy that the page carries. The package decides nothing and words nothing but its headings.
package sheet
