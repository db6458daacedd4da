// Package practice sets exercises in the timing of lime coats, marks what is answered, and says why. It holds everything of
// an exercise but how it is shown and read: [New] draws one, Wants says what kind of answer it takes,
// [Exercise.Mark] marks one. [Foretell] holds an apprentice's guess at a sample board against what was seen of it and what
// the model has, [Cards] works out a set of timing cards, and [Standing] tells what an apprentice has done and what is
// worth doing next.
//
// An exercise is known by its level, seed and number and is the same whenever and wherever it is drawn. Its set-up is drawn
// at random; its answer never is: it comes from running the model on that set-up (drying.Ladder, drying.Follow,
// drying.Check; of a wall with a helper, crew.New), with the band that eight cases in ten fall in. A set-up whose answer
// would not be clear, because two times lie too close together or a reading a little off would change the verdict, is drawn
// again. Reasons come from running it again with one thing changed at a time: what moves the time most is named first.
//
// Texts are [message.Text], in SI units: whoever shows them writes them in the reader's.
//
// # Not here
//
// Units of people, reading of typed text, files, pictures and the clock: those are cmd's. Points and marks out of ten:
// an answer is right, near or not, and says how far off it was. The hand: nothing here can see whether an edge was kept
// wet. What a sign means at the blade is common practice, without a source; the model only says when its state comes.
package practice
