package lsq

import (
	"errors"
	"fmt"
)

// What is wrong with a [System]; errors of [Solve] wrap one of these.
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
	// errInconsistent: an exact constraint contradicts those kept.
	errInconsistent = errors.New("constraints contradict each other")
)

// inconsistent says which row of C contradicts those kept, from 0, and by how
// much, in the units of D.
func inconsistent(row int, gap float64) error {
	return fmt.Errorf("%w: number %d by %.6g", errInconsistent, row, gap)
}
