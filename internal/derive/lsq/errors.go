package lsq

import (
	"errors"
	"fmt"
)

// What is wrong with a [System]; errors of [Solve] wrap one of these or are an
// [*inconsistentError].
var (
	// errShape: numbers of rows, columns and values do not fit each other.
	errShape = errors.New("shapes do not fit")
	// errNotFinite: a NaN or an infinity went in, or would have come out.
	errNotFinite = errors.New("number is not finite")
	// errRange: a number other than 0 is beyond 1e-70 … 1e70 in size.
	errRange = errors.New("number is beyond 1e-70 … 1e70 in size")
	// errUncertainty: a standard uncertainty is zero or negative.
	errUncertainty = errors.New("standard uncertainty is not positive")
	// errCovariance: the covariance matrix is not positive definite.
	errCovariance = errors.New("covariance matrix is not positive definite")
	// errRankLimit: the rank limit is not between 0 and 1.
	errRankLimit = errors.New("rank limit is not between 0 and 1")
)

// inconsistentError says that the exact constraints contradict each other.
type inconsistentError struct {
	Constraint int     // row of C that contradicts those kept, from 0
	Gap        float64 // by how much, in the units of D
}

// Error names the constraint and the gap.
func (e *inconsistentError) Error() string {
	return fmt.Sprintf("constraint %d contradicts the others by %g", e.Constraint, e.Gap)
}
