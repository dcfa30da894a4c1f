#!/usr/bin/python3
"""Solve the systems of a day's jobs with numpy, one after the other.

    solve.py SYSTEMS.bin

SYSTEMS.bin holds what `systems record` writes. Of each system: the unknowns and
which of them are determined, their covariance, the residuals and their tests,
by singular values as numpy offers them; nothing is read from forms, compared
with ratings or written.
They are solved once to warm up and then some times more. Prints the number of
systems, the seconds of one such pass by the clock and of the processor, each the
median, and a sum of the results, so that they can be compared.
"""
import statistics
import struct
import sys
import time

import numpy as np

PASSES = 3  # after one that is not counted


def systems(path):
    with open(path, "rb") as f:
        while head := f.read(16):
            rows, cols, cons, _ = struct.unpack("<4i", head)
            f.read(8)  # the rank limit of the other solver
            a = np.frombuffer(f.read(8 * rows * cols)).reshape(rows, cols)
            y = np.frombuffer(f.read(8 * rows))
            u = np.frombuffer(f.read(8 * rows))
            c = np.frombuffer(f.read(8 * cons * cols)).reshape(cons, cols)
            if np.frombuffer(f.read(8 * cons)).any():
                sys.exit("a constraint that is not c·x = 0")
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
    wall, cpu = [], []
    for _ in range(1 + PASSES):
        start, busy = time.perf_counter(), time.process_time()
        total = 0.0
        for a, y, u, c in every:
            residuals = solve(a, y, u, c)[3]
            total += float(residuals @ residuals)
        wall.append(time.perf_counter() - start)
        cpu.append(time.process_time() - busy)
    seconds, busy = statistics.median(wall[1:]), statistics.median(cpu[1:])
    print(f"{len(every)} {seconds:.6f} {busy:.6f} {total:.6f}")


main()
