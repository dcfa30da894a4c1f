// Package lsq solves linear least-squares problems whose observations have
// different uncertainties, whose unknowns obey exact linear constraints, and
// some of whose unknowns may not be observed at all.
//
// The problem is
//
//	minimise (y − A·x)ᵀ Σ⁻¹ (y − A·x)   subject to   C·x = d
//
// with Σ = diag(u²) or a full covariance matrix. It is solved by orthogonal
// factorisation throughout; normal equations, which square the condition
// number, are formed nowhere. The steps:
//
//  1. whiten: rows are divided by their uncertainty, and with a full
//     covariance also by the Cholesky factor of the correlation matrix;
//  2. scale the columns to length 1, so that the units of the unknowns have
//     no part in what counts as zero;
//  3. eliminate: a pivoted QR factorisation of the constraints' transpose
//     gives a basis of all that satisfies them; redundant ones are dropped,
//     inconsistent ones refused;
//  4. factorise what the observations say within that basis by QR with column
//     pivoting, or by singular values where the rank is in any doubt.
//
// What comes out is not a vector of numbers but what can be said: of a linear
// functional of the unknowns its value and uncertainty, and whether it is
// determined ([Solution.Estimate]), and for every observation how far the others
// check it (Baarda's reliability: [Solution.ResidualCovariance]).
//
// Sources: Å. Björck, Numerical Methods for Least Squares Problems, SIAM 1996,
// 2.7.3 (rank) and 5.1.3 (null-space method), from memory; W. Baarda, A testing procedure for use in
// geodetic networks, Netherlands Geodetic Commission 2(5), 1968; S. Narasimhan
// and C. Jordache, Data Reconciliation and Gross Error Detection, Gulf 2000.
package lsq
