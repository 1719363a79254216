"""Legs of a surveyed frame: to a regular ring about the best centre."""

from __future__ import annotations

import numpy as np
import pytest

from rafterstay.core.errors import InputError
from rafterstay.roof.frame import Floats
from rafterstay.shop.allowances import UNMEASURED
from rafterstay.shop.measured import as_drawn, as_surveyed, bolt_names
from rafterstay.survey import AsBuilt, Reading, adjust
from tests.shop.benches import designed

WALK = [(a, b) for a in range(1, 8) for b in range(a + 1, 8)]


def survey(points: Floats, mark: str) -> AsBuilt:
    """A survey without a single wrong reading: every side, across and height."""
    readings = []
    for a, b in WALK:
        start, end = points[a - 1], points[b - 1]
        level = float(np.hypot(*(end - start)[:2]))
        names = (f"{mark}{a}", f"{mark}{b}")
        readings.append(Reading(*names, "level", level))
        readings.append(Reading(*names, "height", float(end[2] - start[2])))
    shape = {f"{mark}{k + 1}": tuple(map(float, at)) for k, at in enumerate(points)}
    return adjust(readings, shape)


def test_a_frame_as_drawn_gives_the_legs_as_drawn() -> None:
    done = designed("seven")
    bolts = done.frame.nodes[done.frame.bolts]
    legs = as_surveyed(done.frame, done.tie, survey(bolts, "t"))
    drawn = as_drawn(done.tie)
    assert legs.measured
    assert not drawn.measured
    assert legs.distances == pytest.approx(drawn.distances, abs=1e-6)
    assert set(drawn.sigmas) == {UNMEASURED}
    assert all(0 < sigma < UNMEASURED for sigma in legs.sigmas)


def test_a_moved_turned_and_bent_frame_by_its_coordinates() -> None:
    """The ring is turned with the frame; legs differ by what the bolts were moved outwards."""
    done = designed("seven")
    bolts = done.frame.nodes[done.frame.bolts]
    middle = bolts.mean(axis=0)
    out = (bolts - middle) / np.linalg.norm(bolts - middle, axis=1)[:, None]
    # Moves with no first harmonic: the best centre stays where it is.
    angle = 2 * np.pi * np.arange(7) / 7
    moves = 0.021 * np.cos(2 * angle) + 0.006
    turn = np.radians(31.0)
    spin = np.array([[np.cos(turn), -np.sin(turn), 0], [np.sin(turn), np.cos(turn), 0], [0, 0, 1]])
    bent = (bolts + out * moves[:, None]) @ spin.T + np.array([3.1, -1.7, 0.4])
    legs = as_surveyed(done.frame, done.tie, survey(bent, "t"))
    wanted = done.tie.leg_lengths + moves
    assert legs.distances == pytest.approx(tuple(wanted), abs=3e-5)


def test_feet_are_the_bolts_where_the_tie_is_at_the_plate() -> None:
    assert bolt_names(designed("octagon").frame) == tuple("12345678")
    assert bolt_names(designed("seven").frame)[0] == "t1"


def test_a_bolt_that_was_not_surveyed_is_named() -> None:
    done = designed("seven")
    built = survey(done.frame.nodes[done.frame.feet], "")
    with pytest.raises(InputError, match="SV-040 tie bolts surveyed = all but t1, t2"):
        as_surveyed(done.frame, done.tie, built)
