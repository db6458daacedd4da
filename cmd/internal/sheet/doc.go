// Package sheet writes the morning's answer as one page of HTML to be printed and taken to the wall: the verdict,
// the coats with room to tick the real times off by hand, the day's drawing and its numbers, signs and cautions.
//
// The page needs nothing from outside: no script, no style attribute, no address; its one style element is named
// by its hash in the content policy that the page carries. It decides nothing and words nothing but its headings.
package sheet
