// Package mistakes names the single mistakes of a form that would explain why
// its readings contradict each other: a digit, a unit, two figures exchanged, the
// bars of the hitch, a load or a person on board, the setup or the deck, a total
// typed as a reading, a length, the zero of a scale.
//
// It uses a [derive.Solution] from outside. Each hypothesis is a changed copy of
// the Job, solved again; none is ever applied. Which hypotheses are worth solving
// a linear estimate on the residuals decides (prefilter.go); how likely each is
// before the readings are looked at is a table (priors.go). There is one file per
// kind of mistake. Ratings and text are unknown here.
package mistakes
