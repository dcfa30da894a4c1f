// Package derive turns a Job into equations and solves them: the load on every
// support in four states, all in travelling condition, with uncertainties.
//
// The unknowns are the loads on the supports, the masses of the loads that
// were aboard in some readings only, the shares that nobody measured, and one
// relative error (gain) a scale. Mass is conserved exactly; every reading,
// declared mass, assumed share, gain and moment tie is an observation with a
// standard uncertainty. One file a kind of equation; the solver below knows no
// word about vehicles, and this package none about ratings, regions or text.
package derive
