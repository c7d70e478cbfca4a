"""Products of matrices in pieces.

Libraries of linear algebra split large products among threads. For the sizes met here that gains
little on an idle machine, and on a busy one the threads wait for each other: the same product was
seen to take thirty times as long. Pieces below `ALONE` multiplications are left to one thread, and
`matmul` runs through a stack of them without coming back to Python. All products here are of whole
numbers whose sums a float holds exactly, so pieces do not change a single bit.
"""

from __future__ import annotations

import numpy as np

ALONE = 64 * 64 * 64
"""Multiplications of one piece; OpenBLAS keeps to one thread up to 2**18 of them."""

WIDE = 32
"""Columns of a piece come in so many: what is left beyond whole vectors is slow."""


def across(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """a @ b.T, (n, m) of (n, f) and contiguous (m, f)."""
    result = np.empty((len(a), len(b)), dtype=a.dtype)
    depth = a.shape[1]
    tall = max(1, ALONE // (WIDE * depth) // WIDE * WIDE)
    for start in range(0, len(a), tall):
        lines = a[start : start + tall]
        out = result[start : start + tall]
        wide = max(1, ALONE // (len(lines) * depth * WIDE)) * WIDE
        main = len(b) // wide * wide
        if main:
            stack = b[:main].reshape(-1, wide, depth).transpose(0, 2, 1)
            pieces = out[:, :main].reshape(len(lines), -1, wide).transpose(1, 0, 2)
            np.matmul(lines, stack, out=pieces)
        if main < len(b):
            out[:, main:] = lines @ b[main:].T
    return result


def through(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """a @ b, (n, m) of (n, f) and (f, m), where b is small."""
    depth, width = b.shape
    tall = max(1, ALONE // (depth * width))
    main = len(a) // tall * tall
    result = np.empty((len(a), width), dtype=np.result_type(a, b))
    if main:
        stack = np.ascontiguousarray(a[:main]).reshape(-1, tall, depth)
        np.matmul(stack, b, out=result[:main].reshape(-1, tall, width))
    if main < len(a):
        result[main:] = a[main:] @ b
    return result
