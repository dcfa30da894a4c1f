"""Solve dumped systems by singular values, as a second opinion.

One JSON object a line comes in: rows, values, u, balance (each row . x = 0)
and quantities (rows). One goes out: rank, chi_square, redundancy, and for
each quantity [determined, value, u]. Nothing here is shared with the program:
the constraints' null space and the fit both come from numpy's SVD.
"""

import json
import sys

import numpy

RANK = 1e-9  # of the largest singular value
LEAN = 1e-6  # |row . null space| of a determined row, of |row|


def null_space(c):
    """An orthonormal basis of the vectors that every row of c leaves at 0."""
    if c.shape[0] == 0:
        return numpy.eye(c.shape[1])
    _, s, vt = numpy.linalg.svd(c)
    return vt[int((s > RANK * s[0]).sum()):].T


def solve(job):
    n = len(job["quantities"][0])
    a = numpy.array(job["rows"], float).reshape(-1, n)
    u = numpy.array(job["u"], float)
    c = numpy.array(job["balance"], float).reshape(-1, n)
    white = a / u[:, None]
    y = numpy.array(job["values"], float) / u
    scale = numpy.sqrt((white ** 2).sum(0) + (c ** 2).sum(0))
    scale[scale == 0] = 1.0
    z = null_space(c / scale)
    left, s, vt = numpy.linalg.svd((white / scale) @ z, full_matrices=True)
    rank = int((s > RANK * s[0]).sum()) if s.size else 0
    kept = left[:, :rank]
    # x = t . y, its covariance t . t'
    t = ((z @ vt[:rank].T) / s[:rank] @ kept.T) / scale[:, None]
    free = (z @ vt[rank:].T) / scale[:, None]
    if free.shape[1]:
        free, _ = numpy.linalg.qr(free)
        t = t - free @ (free.T @ t)
    x = t @ y
    rest = y - kept @ (kept.T @ y)
    out = []
    for q in job["quantities"]:
        row = numpy.array(q)
        lean = numpy.linalg.norm(row @ free) if free.shape[1] else 0.0
        out.append([bool(lean <= LEAN * numpy.linalg.norm(row)), row @ x, float(numpy.linalg.norm(row @ t))])
    return {
        "rank": rank,
        "chi_square": float(rest @ rest),
        "redundancy": list(1 - (kept ** 2).sum(1)),
        "quantities": out,
    }


for line in sys.stdin:
    print(json.dumps(solve(json.loads(line))))
