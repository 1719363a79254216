"""What turning, mirroring and renumbering a roof must leave alone."""

from __future__ import annotations

import numpy as np
import pytest

from rafterstay import roof, statics, tie
from tests.statics.roofs import PSF, half_loaded, stated


@pytest.mark.parametrize("hub", ["point", "disc"])
def test_turning_the_snow_by_one_side_turns_the_pulls_by_one_leg(hub: str) -> None:
    """Seven sides, so that no direction has a twin."""
    radius = "0 in" if hub == "point" else "10 in"
    job = stated(
        "reading-room",
        roof__sides=7,
        roof__hub=hub,
        roof__hub_radius=radius,
        tie__height="0.38",
        rafter__ply="2x12",
    )
    frame = roof.lay_out(job)
    rig = tie.rig(job, frame)
    pulls = [
        statics.solve(frame, rig, half_loaded(frame, 21 * PSF, turn * 360 / 7 + 11.0, 0.37))
        for turn in range(3)
    ]
    for turn, forces in enumerate(pulls):
        expected = np.roll(pulls[0].leg_pull[0], turn)
        assert forces.leg_pull[0] == pytest.approx(expected, rel=1e-6)
    assert np.ptp(pulls[0].leg_pull[0]) > 1.0  # the pattern is not flat


def test_mirrored_snow_mirrors_the_pulls() -> None:
    """Leg 1 lies on the mirror: leg k changes place with leg n + 2 - k."""
    job = stated("reading-room", roof__sides=9, tie__height="0.3")
    frame = roof.lay_out(job)
    rig = tie.rig(job, frame)
    right = statics.solve(frame, rig, half_loaded(frame, 24 * PSF, 33.0, 0.2)).leg_pull[0]
    left = statics.solve(frame, rig, half_loaded(frame, 24 * PSF, -33.0, 0.2)).leg_pull[0]
    assert left == pytest.approx(np.roll(right[::-1], 1), rel=1e-6)


def test_a_roof_twice_as_large_pulls_as_its_area_times_its_pressure() -> None:
    """Doubling all lengths of roof and ring at the same pressure: four times, first order."""
    small = stated(roof__plate_radius="9 ft", roof__rise="5 ft", tie__ring_radius="5 in")
    large = stated(roof__plate_radius="18 ft", roof__rise="10 ft", tie__ring_radius="10 in")
    found = []
    for job in (small, large):
        frame = roof.lay_out(job)
        cases = half_loaded(frame, 6 * PSF, 10.0, 1.0)
        found.append(statics.solve(frame, tie.rig(job, frame), cases).first_order[0])
    assert found[1] == pytest.approx(4 * found[0], rel=3e-3)
