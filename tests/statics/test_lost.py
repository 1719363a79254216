"""One leg or one side gone: what is left is in balance, or nothing holds and it is said."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rafterstay import roof, statics, tie
from rafterstay.roof import Frame
from rafterstay.statics.lost import lose_each
from rafterstay.tie import Tie
from tests.statics.roofs import PSF, half_loaded, stated


def _rigged(ring: str = "rope-seized", sides: int = 8) -> tuple[Frame, Tie]:
    job = stated("reading-room", tie__height="0.2", rafter__ply="2x12", roof__sides=sides)
    frame = roof.lay_out(job)
    return frame, replace(tie.rig(job, frame), ring=ring, target=0.0)


@pytest.mark.parametrize("ring", ["rope-seized", "welded"])
def test_what_is_left_of_the_legs_is_in_balance(ring: str) -> None:
    frame, rig = _rigged(ring, 9)
    loss = statics.lose_leg(frame, rig, half_loaded(frame, 22 * PSF, 40.0, 0.6), 3)
    assert loss.lost == "leg 4"
    assert loss.after is not None
    found = loss.after
    assert found.leg_pull[0, 3] == 0
    pull = found.leg_pull[0][:, None] * found.pull_direction[0]
    assert np.abs(pull.sum(axis=0)[:2]).max() < 1e-3 * found.leg_pull.max()
    gained = found.leg_pull[0] - loss.before.leg_pull[0]
    assert gained.max() > 0
    more = np.maximum(found.leg_pull[0], loss.before.leg_pull[0] + 2 * gained)
    assert loss.leg_pull[0] == pytest.approx(more, rel=1e-12)
    assert found.force_error[0] <= 1e-6 * found.leg_pull.max()


def test_four_legs_to_a_stiff_ring_lose_the_one_opposite_too() -> None:
    """Ring balance along the lost leg's line: the opposite leg has nothing to pull against."""
    frame, rig = _rigged("welded", 4)
    loss = statics.lose_leg(frame, rig, half_loaded(frame, 22 * PSF, 0.0, 1.0), 1)
    if loss.after is None:
        assert loss.loose
        return
    before, after = loss.before.leg_pull[0], loss.after.leg_pull[0]
    assert after[3] < 0.05 * before[3]
    assert after[[0, 2]] == pytest.approx(after[0], rel=1e-3)


def test_a_seized_ring_cut_once_stands_as_a_bow() -> None:
    """At the cut a leg pulls along the one side it still holds: three points in one line."""
    frame, rig = _rigged()
    loss = statics.lose_side(frame, rig, half_loaded(frame, 22 * PSF, 0.0, 1.0), 2)
    assert loss.after is not None
    assert loss.after.ring_pull[0, 2] == 0
    for leg, side in ((2, 1), (3, 3)):
        assert loss.after.ring_pull[0, side] == pytest.approx(loss.after.leg_pull[0, leg], rel=0.01)
    assert loss.after.leg_pull.max() > 1.3 * loss.before.leg_pull.max()


def test_a_sliding_ring_that_loses_a_leg_is_not_given_a_number() -> None:
    """Its eyes run together where the leg was: nothing smooth is left to solve."""
    frame, rig = _rigged("rope-sliding", 9)
    loss = statics.lose_leg(frame, rig, half_loaded(frame, 22 * PSF, 40.0, 0.6), 3)
    assert loss.loose
    assert np.isnan(loss.leg_pull).all()


def test_a_sliding_ring_cut_once_holds_nothing() -> None:
    frame, rig = _rigged("rope-sliding")
    loss = statics.lose_side(frame, rig, half_loaded(frame, 22 * PSF, 0.0, 0.7), 2)
    assert loss.lost == "ring side 3"
    assert loss.after is None
    assert loss.loose
    assert np.isnan(loss.leg_pull).all()
    assert (loss.before.leg_pull > 0).all()


def test_a_band_that_loses_a_piece_lets_go() -> None:
    """A polygon of ropes with a gap is no tie.

    A foot at the gap has one rope left, 18 deg off the wall in a ring of ten: T sin 18 deg takes
    its thrust, T cos 18 deg, three times as much, pulls it along the wall, and no tie is there.
    """
    job = stated("reading-room", tie__height="0", rafter__ply="2x12")
    frame = roof.lay_out(job)
    rig = tie.rig(job, frame)
    side = np.linalg.norm(np.roll(rig.bolt_points, -1, axis=0) - rig.bolt_points, axis=1)
    band = replace(rig, layout="band", leg_lengths=side, target=0.0)
    cases = half_loaded(frame, 22 * PSF, 0.0, 1.0)
    loss = statics.lose_leg(frame, band, cases, 0)
    assert loss.after is None
    assert "along the wall" in loss.loose
    assert np.isnan(loss.leg_pull).all()
    snow = replace(cases, cases=tuple(replace(one, equation="D+S") for one in cases.cases))
    (found,) = lose_each(frame, band, snow, statics.solve(frame, band, snow))
    assert (found.after, found.unheld) == (None, 1)
    assert found.loose == loss.loose
