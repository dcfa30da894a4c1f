// Package mistakes names the single mistakes of a form that would explain why
// its readings contradict each other: a digit, a unit, two figures exchanged, the
// bars of the hitch, a load or a person on board, the setup or the deck, a total
// typed as a reading, a length, the zero of a scale.
//
// It uses a [derive.Solution] from outside. Each hypothesis is a changed copy of
// the Job, solved again; none is ever applied. A linear estimate on
// the residuals decides which hypotheses are worth solving (prefilter.go); a table
// says how likely each is before the readings are looked at (priors.go). There is
// one file per kind of mistake. The package knows nothing of ratings and text.
package mistakes
