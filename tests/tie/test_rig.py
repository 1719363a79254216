"""Legs and ring as drawn."""

from __future__ import annotations

import numpy as np
import pytest

from rafterstay import roof, tie
from rafterstay.core.errors import InputError
from tests.statics.roofs import FOOT, stated


def test_legs_run_from_bolt_to_the_crown_of_their_eye() -> None:
    """R (1 - Hc/Hr) - r, level. Source: geometry."""
    job = stated(tie__height="0.3")
    rig = tie.rig(job, roof.lay_out(job))
    assert rig.leg_lengths == pytest.approx(12 * FOOT * 0.7 - 0.5 * FOOT)
    assert rig.bolt_points[:, 2] == pytest.approx(1.8 * FOOT)
    sides = np.linalg.norm(np.roll(rig.ring_points, -1, axis=0) - rig.ring_points, axis=1)
    assert sides == pytest.approx(FOOT * np.sin(np.pi / 8))


def test_a_turnbuckle_hangs_a_quarter_screwed_in() -> None:
    """1/2 x 6 in jaw and jaw: 330 mm closed and 482 mm open (maker's sheet, read)."""
    job = stated()
    rig = tie.rig(job, roof.lay_out(job))
    assert rig.turnbuckle_set == pytest.approx(0.330 + 0.75 * 0.152, abs=1e-3)


def test_a_leg_with_no_room_for_its_turnbuckle_is_refused() -> None:
    """IN-060, with the leg and the room it has."""
    job = stated(roof__plate_radius="4 ft", tie__ring_radius="25 in")
    with pytest.raises(InputError, match=r"IN-060 tie\.ring_radius .*leg \d has 1'-11\""):
        tie.rig(job, roof.lay_out(job))


def test_a_band_runs_from_foot_to_foot() -> None:
    """Each leg is a side of the plate, 2 R sin(pi/n). Source: geometry."""
    job = stated("bandstand", roof__plate_radius="10'-3\"")
    frame = roof.lay_out(job)
    rig = tie.rig(job, frame)
    assert rig.leg_lengths == pytest.approx(2 * 10.25 * FOOT * np.sin(np.pi / 6))
    assert rig.starts.tolist() == [0, 1, 2, 3, 4, 5]
    assert rig.stops.tolist() == [1, 2, 3, 4, 5, 0]
    assert (rig.layout, rig.ring_radius) == ("band", 0.0)


def test_ties_across_join_opposite_bolts() -> None:
    """2 R (1 - Hc/Hr) through the middle. Source: geometry."""
    job = stated("pavilion", tie__height="0.27")
    frame = roof.lay_out(job)
    rig = tie.rig(job, frame)
    assert rig.leg_lengths == pytest.approx(2 * 9 * FOOT * 0.73)
    assert rig.stops.tolist() == [4, 5, 6, 7]
    assert rig.bolt_points + rig.ring_points == pytest.approx(
        np.tile([0.0, 0.0, 2 * 0.27 * 5 * FOOT], (4, 1)), abs=1e-12
    )


def test_a_gable_has_one_typical_tie() -> None:
    job = stated("gable-workshop", roof__span="21 ft", tie__height="0.2")
    rig = tie.rig(job, roof.lay_out(job))
    assert rig.leg_lengths == pytest.approx([21 * FOOT * 0.8])
    assert (rig.n, rig.starts.tolist(), rig.stops.tolist()) == (1, [0], [1])


def test_a_short_tie_across_is_refused() -> None:
    """IN-061, with the leg and the room it has."""
    job = stated("pavilion", roof__plate_radius="3 ft", tie__height="0.9")
    with pytest.raises(InputError, match=r"IN-061 parts\.turnbuckle .*leg 1 has 7 3/16\""):
        tie.rig(job, roof.lay_out(job))
