"""Beams against the handbook."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rafterstay.statics.beams import Beams, deform_map, deformation, line_load, natural_stiffness

EI, LENGTH = 4.1e6, 3.7
DOWN = np.array([0.0, 0.0, -1.0])
RIGIDITY = np.array([[9e8, EI, 1.3e6, 2.2e5]])


def _beam(*, pinned: tuple[bool, bool], towards: tuple[float, float, float]) -> Beams:
    free = np.array([pinned])
    axis = np.array(towards) / np.linalg.norm(towards)
    up = np.cross(np.cross(axis, (0.0, 0.0, 1.0)), axis)
    return Beams(
        ends=np.array([[0, 1]]),
        up=(up / np.linalg.norm(up))[None],
        length=np.array([LENGTH]),
        stiffness=natural_stiffness(RIGIDITY, np.array([LENGTH]), pinned=free, loose=free),
        pinned=free,
        loose=free,
    )


def _points(towards: tuple[float, float, float]) -> np.ndarray:
    return np.array([[0.3, -0.2, 0.1], [0.3, -0.2, 0.1]]) + np.outer(
        [0, LENGTH], np.array(towards) / np.linalg.norm(towards)
    )


def test_a_cantilever_sags_as_the_handbook_says() -> None:
    """End load P L3 / 3EI, and a triangle of load with its most at the root w L4 / 30EI.

    Source: Roark's Formulas for Stress and Strain, cantilever rows (values from memory, 98 %).
    """
    towards = (1.0, 0.0, 0.0)
    beam = _beam(pinned=(False, False), towards=towards)
    shape = deform_map(beam, _points(towards))[0]
    stiffness = shape.T @ beam.stiffness[0] @ shape
    free = stiffness[6:, 6:]
    tip = np.linalg.solve(free, [0, 0, -500.0, 0, 0, 0])
    assert tip[2] == pytest.approx(-500.0 * LENGTH**3 / (3 * EI), rel=1e-12)
    ends, work = line_load(beam, _points(towards), np.array([[730.0, 0.0]])[..., None] * DOWN)
    load = shape.T @ work[0]
    load[:3] += ends[0, 0]
    load[6:9] += ends[0, 1]
    tip = np.linalg.solve(free, load[6:])
    assert tip[2] == pytest.approx(-730.0 * LENGTH**4 / (30 * EI), rel=1e-12)


@pytest.mark.parametrize(("pinned", "times"), [((True, False), 3.0), ((False, False), 4.0)])
def test_turning_one_end_meets_the_slope_deflection_stiffness(
    pinned: tuple[bool, bool], times: float
) -> None:
    """3EI/L with the far end free, 4EI/L with it held. Source: slope-deflection equations."""
    stiffness = natural_stiffness(
        RIGIDITY, np.array([LENGTH]), pinned=np.array([pinned]), loose=np.array([pinned])
    )
    assert stiffness[0, 2, 2] == pytest.approx(times * EI / LENGTH)


def test_moving_as_a_rigid_body_deforms_nothing() -> None:
    """Small in every direction and rotation for the map; large shifts for the exact form."""
    towards = (0.4, -0.8, 0.5)
    beam, points = _beam(pinned=(False, True), towards=towards), _points(towards)
    turn, shift = np.array([3e-7, -5e-7, 2e-7]), np.array([1e-3, 2e-3, -4e-3])
    move = np.concatenate([np.concatenate([np.cross(turn, p) + shift, turn]) for p in points])
    assert np.abs(deform_map(beam, points)[0] @ move).max() < 1e-15
    assert np.abs(deformation(beam, points, move.reshape(1, 2, 6))).max() < 1e-12


def test_a_load_line_on_a_sloping_beam_weighs_what_it_should() -> None:
    """Source: equilibrium; the end forces are those of a simple beam."""
    towards = (0.4, -0.8, 0.5)
    beam, points = _beam(pinned=(True, True), towards=towards), _points(towards)
    ends, work = line_load(beam, points, np.array([[310.0, 95.0]])[..., None] * DOWN)
    assert -ends.sum() == pytest.approx(LENGTH * (310 + 95) / 2)
    assert -ends[0, 1, 2] * LENGTH == pytest.approx(LENGTH**2 * (95 / 2 - (95 - 310) / 6))
    assert not work.any()


def test_letting_go_of_an_end_equals_condensing_it_out() -> None:
    """Fixed beam with its start's rotations eliminated by hand, stiffness and load alike."""
    towards = (0.2, 0.9, -0.3)
    fixed, points = _beam(pinned=(False, False), towards=towards), _points(towards)
    free = replace(
        fixed,
        stiffness=_beam(pinned=(True, False), towards=towards).stiffness,
        pinned=np.array([[True, False]]),
        loose=np.array([[True, False]]),
    )
    line = np.array([[[30.0, -80.0, -120.0], [15.0, 65.0, -410.0]]])
    _, whole = line_load(fixed, points, line)
    _, left = line_load(free, points, line)
    stiffness = fixed.stiffness[0]
    out, stay = [1, 3], [0, 2, 4, 5]
    follow = np.linalg.solve(stiffness[np.ix_(out, out)], stiffness[np.ix_(out, stay)])
    condensed = stiffness[np.ix_(stay, stay)] - stiffness[np.ix_(stay, out)] @ follow
    assert free.stiffness[0][np.ix_(stay, stay)] == pytest.approx(condensed)
    assert left[0, stay] == pytest.approx(whole[0, stay] - follow.T @ whole[0, out])
