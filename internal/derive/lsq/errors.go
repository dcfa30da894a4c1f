package lsq

import (
	"errors"
	"fmt"
)

// What is wrong with a [System]; errors of [Solve] wrap one of these or are an
// [*InconsistentError].
var (
	// ErrShape: numbers of rows, columns and values do not fit each other.
	ErrShape = errors.New("shapes do not fit")
	// ErrNotFinite: a NaN or an infinity went in, or would have come out.
	ErrNotFinite = errors.New("number is not finite")
	// ErrRange: a number other than 0 is beyond 1e-70 … 1e70 in size.
	ErrRange = errors.New("number is beyond 1e-70 … 1e70 in size")
	// ErrUncertainty: a standard uncertainty is zero or negative.
	ErrUncertainty = errors.New("standard uncertainty is not positive")
	// ErrCovariance: the covariance matrix is not positive definite.
	ErrCovariance = errors.New("covariance matrix is not positive definite")
	// ErrRankLimit: the rank limit is not between 0 and 1.
	ErrRankLimit = errors.New("rank limit is not between 0 and 1")
)

// InconsistentError says that the exact constraints contradict each other.
type InconsistentError struct {
	Constraint int     // row of C that contradicts those kept, from 0
	Gap        float64 // by how much, in the units of D
}

// Error names the constraint and the gap.
func (e *InconsistentError) Error() string {
	return fmt.Sprintf("constraint %d contradicts the others by %g", e.Constraint, e.Gap)
}
