// Package derive turns a Job into equations and solves them: the load on every
// support in four states, all in travelling condition, with uncertainties.
//
// The unknowns are the loads on the supports, the masses of the loads that
// were on board in some readings only, the shares that nobody measured, one
// relative error (gain) per scale, and its zero where its empty deck was read.
// Mass is conserved exactly; every reading, stated mass, assumed share, gain,
// zero and moment tie is an observation with a standard uncertainty. There is
// one file per kind of equation; the solver below knows nothing of vehicles, and
// this package nothing of ratings, regions or text.
//
// What a Solution hands over is rounded (door.go), masses to 1e-6 kg and the
// rest to 1e-9, and all that is compared, ranked or chosen starts from there.
package derive
