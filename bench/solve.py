#!/usr/bin/python3
"""Solve the systems of a day's jobs with numpy, one after the other.

    solve.py SYSTEMS.bin

SYSTEMS.bin holds what bench/systems writes. Of each system: the unknowns and
which of them are determined, their covariance, the residuals and their tests,
by singular values as numpy offers them; nothing is read from forms, held
against ratings or written.
Prints the number of systems, the seconds that solving took, and a sum of the
results, so that they can be compared.
"""
import struct
import sys
import time

import numpy as np


def systems(path):
    with open(path, "rb") as f:
        while head := f.read(16):
            rows, cols, cons, _ = struct.unpack("<4i", head)
            a = np.frombuffer(f.read(8 * rows * cols)).reshape(rows, cols)
            y = np.frombuffer(f.read(8 * rows))
            u = np.frombuffer(f.read(8 * rows))
            c = np.frombuffer(f.read(8 * cons * cols)).reshape(cons, cols)
            yield a, y, u, c


def solve(a, y, u, c):
    """Weighted least squares under c·x = 0, by the null space of c."""
    aw, yw = a / u[:, None], y / u
    scale = np.sqrt((aw**2).sum(axis=0) + (c**2).sum(axis=0))
    scale[scale == 0] = 1
    if len(c):
        _, s, vt = np.linalg.svd(c / scale)
        free = vt[(s > 1e-11 * s[0]).sum():].T
    else:
        free = np.eye(a.shape[1])
    b = (aw / scale) @ free
    left, s, vt = np.linalg.svd(b)
    rank = int((s > 1e-9 * s[0]).sum())
    left = left[:, :rank]
    back = (free @ (vt[:rank].T / s[:rank])) / scale[:, None]
    null, _ = np.linalg.qr((free @ vt[rank:].T) / scale[:, None])
    x = back @ (left.T @ yw)
    determined = np.sqrt((null**2).sum(axis=1)) <= 1e-6
    residuals = (yw - left @ (left.T @ yw)) * u
    redundancy = 1 - (left**2).sum(axis=1)
    tested = redundancy >= 0.01
    root = np.sqrt(redundancy[tested])
    standardised = residuals[tested] / (u[tested] * root)
    smallest = 4.1321 * u[tested] / root
    covariance = back @ back.T
    return x, determined, covariance, residuals, standardised, smallest


def main():
    every = list(systems(sys.argv[1]))
    start = time.perf_counter()
    total = 0.0
    for a, y, u, c in every:
        residuals = solve(a, y, u, c)[3]
        total += float(residuals @ residuals)
    seconds = time.perf_counter() - start
    print(f"{len(every)} {seconds:.6f} {total:.6f}")


main()
