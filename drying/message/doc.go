// Package message is how drying says things: words with quantities in their places. A writer puts the quantities into the reader's
// units and clock; nothing in here knows a unit, a decimal or a language of dates. The code that programs hold on to stands with the
// reason, the change or the care that the words are of.
//
// Not in here: plurals of other languages, and any wording. A sentence stands beside the rule that it is about.
package message
