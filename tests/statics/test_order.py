"""A batch laid side by side is the same batch, and comes out of everything the same."""

from collections.abc import Callable

import numpy as np
import pytest

from rafterstay.roof.frame import Floats
from rafterstay.statics.order import (
    across,
    flat,
    picked,
    product,
    side_by_side,
    states_first,
    states_last,
)

RNG = np.random.default_rng(5)
VALUES = RNG.normal(size=(7, 5, 3))
VECTORS = RNG.normal(size=(7, 15))
TABLE, MATRIX = RNG.normal(size=(4, 5)), RNG.normal(size=(15, 6))
TURNED = np.array([3, 1, 1, 4])


def test_same_values_other_places() -> None:
    laid = side_by_side(VALUES)
    assert np.array_equal(laid, VALUES)
    assert laid.strides[0] == laid.itemsize != VALUES.strides[0]
    assert np.array_equal(states_first(states_last(VALUES)), VALUES)


OPERATIONS: dict[str, tuple[Callable[[Floats], Floats], Floats, Floats]] = {
    "flat": (flat, VALUES, VALUES.reshape(7, 15)),
    "picked": (lambda v: picked(v, TURNED), VALUES, VALUES[:, TURNED]),
    "across": (lambda v: across(TABLE, v), VALUES, np.einsum("nm,bmi->bni", TABLE, VALUES)),
    "product": (lambda v: product(v, MATRIX), VECTORS, np.einsum("bk,km->bm", VECTORS, MATRIX)),
}


@pytest.mark.parametrize("name", OPERATIONS)
def test_each_operation_keeps_values_and_order(name: str) -> None:
    operation, values, expected = OPERATIONS[name]
    for one in (values, side_by_side(values), values[:1], side_by_side(values[:1])):
        found = operation(one)
        assert np.allclose(found, expected[: len(one)], rtol=1e-13, atol=1e-14)
    assert operation(side_by_side(values)).strides[0] == values.itemsize
    assert operation(values).strides[0] != values.itemsize
