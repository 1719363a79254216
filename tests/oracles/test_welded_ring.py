"""Pull and bending of a welded ring against PyNiteFEA, the ring as a polygon of fine beams.

By symmetry half the piece between an eye and the middle is enough: at both ends the ring does
not turn and moves along its own radius only; half a leg's pull acts at the eye.
"""

from __future__ import annotations

from math import cos, pi, sin

import numpy as np
import pytest
from Pynite import FEModel3D

from rafterstay.core.errors import InputError
from rafterstay.statics.welded import (
    moment_at_eye,
    moment_between_eyes,
    pull_at_eye,
    pull_between_eyes,
)

PULL, RADIUS, PIECES = 3170.0, 0.172, 150


def _half(n: int) -> tuple[np.ndarray, np.ndarray]:
    """Pull and moment (sign of PyNite) at the eye and at the middle."""
    frame = FEModel3D()
    frame.add_material("steel", 200e9, 77e9, 0.3, 0.0)
    frame.add_section("bar", 1e-3, 1e-9, 1e-9, 1e-9)
    turn = pi / n
    angles = np.linspace(0.0, turn, PIECES + 1)  # 0 the eye, on the x axis
    for k, angle in enumerate(angles):
        frame.add_node(str(k), RADIUS * cos(angle), RADIUS * sin(angle), 0.0)
    for k in range(PIECES):
        frame.add_member(f"m{k}", str(k), str(k + 1), "steel", "bar")
    frame.def_support("0", False, True, True, True, True, True)
    # The middle slides on its radius: a stiff strut square to it.
    square = np.array([-sin(turn), cos(turn)])
    end = RADIUS * np.array([cos(turn), sin(turn)]) + square
    frame.add_node("ground", *end, 0.0)
    frame.def_support("ground", True, True, True, True, True, True)
    frame.add_section("strut", 1.0, 1e-12, 1e-12, 1e-12)
    frame.add_member("strut", str(PIECES), "ground", "steel", "strut")
    frame.def_releases("strut", Ryi=True, Rzi=True, Ryj=True, Rzj=True)
    frame.def_support(str(PIECES), False, False, True, True, True, True)
    frame.add_node_load("0", "FX", PULL / 2)
    frame.analyze(check_statics=False)
    first, last = frame.members["m0"], frame.members[f"m{PIECES - 1}"]
    ends = [first.f("Combo 1").ravel(), last.f("Combo 1").ravel()]
    return np.array([-ends[0][0], ends[1][6]]), np.array([ends[0][5], -ends[1][11]])


@pytest.mark.parametrize("n", range(3, 13))
def test_pull_and_moment_of_a_welded_ring(n: int) -> None:
    pull, moment = _half(n)
    expected = pull_at_eye(PULL, n), pull_between_eyes(PULL, n)
    assert np.abs(pull) == pytest.approx(expected, rel=0.012)
    bent = moment_at_eye(PULL, RADIUS, n), moment_between_eyes(PULL, RADIUS, n)
    assert np.abs(moment) == pytest.approx(bent, rel=0.02)
    assert moment[0] * moment[1] < 0


def test_two_legs_are_no_ring() -> None:
    with pytest.raises(InputError, match=r"ST-009 n_legs = 2, but it must be 3 or more"):
        moment_at_eye(PULL, RADIUS, 2)
