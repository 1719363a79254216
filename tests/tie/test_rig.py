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
    with pytest.raises(InputError, match=r"IN-060 tie\.ring_radius .*leg \d has 0\.584 m"):
        tie.rig(job, roof.lay_out(job))
