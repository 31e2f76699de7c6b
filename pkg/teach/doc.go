// Package teach works lessons out: a question a class votes on, a board or a
// piece, a thing to change, and the answer from the same sums that a check makes.
// No answer is written down; data hold the questions and the way to tell figures.
//
// # What is missing
//
//  1. Lessons in other languages.
//  2. Experiments with their own measured results beside the prediction.
package teach
