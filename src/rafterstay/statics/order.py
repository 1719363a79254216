"""Where the entries of a batch lie in memory: state after state, or side by side.

An array of a batch has its states first. Where operations run over many states and few links,
they go several times faster when the entries of all states lie side by side; the shape stays,
only the strides differ. These functions keep an array in the order it came in.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rafterstay.roof.frame import Floats

__all__ = ["across", "flat", "picked", "product", "side_by_side", "states_first", "states_last"]


_TO_LAST = ((0,), (1, 0), (1, 2, 0), (1, 2, 3, 0), (1, 2, 3, 4, 0))
_TO_FIRST = ((0,), (1, 0), (2, 0, 1), (3, 0, 1, 2), (4, 0, 1, 2, 3))


def states_last(values: Floats) -> Floats:
    """A view with the states on the last axis.

    Args:
        values: [any] (n_batch, ...)

    Returns:
        The same. [any] (..., n_batch)
    """
    return values.transpose(_TO_LAST[values.ndim - 1])


def states_first(values: Floats) -> Floats:
    """A view with the states on the first axis.

    Args:
        values: [any] (..., n_batch)

    Returns:
        The same. [any] (n_batch, ...)
    """
    return values.transpose(_TO_FIRST[values.ndim - 1])


def side_by_side(values: Floats) -> Floats:
    """A copy whose states lie side by side; of the same shape.

    Args:
        values: [any] (n_batch, ...)

    Returns:
        The same values. [any] (n_batch, ...)
    """
    return states_first(np.array(states_last(values), order="C"))


def flat(values: Floats) -> Floats:
    """All entries of a state in one row.

    Args:
        values: [any] (n_batch, ...)

    Returns:
        Rows. [any] (n_batch, n)
    """
    if _lies_side_by_side(values):
        return states_last(values).reshape(-1, len(values)).T
    return values.reshape(len(values), -1)


def product(vectors: Floats, matrix: Floats) -> Floats:
    """The vector of every state times one matrix.

    Args:
        vectors: [any] (n_batch, n)
        matrix: [any] (n, m)

    Returns:
        Vectors. [any] (n_batch, m)
    """
    if _lies_side_by_side(vectors):
        return np.asarray((matrix.T @ vectors.T).T)
    return np.asarray(vectors @ matrix)


def across(table: Floats, values: Floats) -> Floats:
    """A table times the second axis.

    Args:
        table: [-] (n, m)
        values: [any] (n_batch, m, k)

    Returns:
        Sums. [any] (n_batch, n, k)
    """
    if _lies_side_by_side(values):
        m, each = values.shape[1:]
        lines = states_last(values).reshape(m, each * len(values))
        return states_first((table @ lines).reshape(len(table), each, len(values)))
    return np.asarray(table @ values)


def picked(values: Floats, index: NDArray[np.intp]) -> Floats:
    """Some of the second axis.

    Args:
        values: [any] (n_batch, n, ...)
        index: Which. (m,)

    Returns:
        Those. [any] (n_batch, m, ...)
    """
    if _lies_side_by_side(values):
        return values[:, index]
    return np.asarray(np.take(values, index, axis=1))


def _lies_side_by_side(values: Floats) -> bool:
    return values.strides[0] == values.itemsize
