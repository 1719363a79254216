"""A ring rope that slides: friction on its pull, and eyes that may run together.

Source: belt friction, e^(mu a) - 1 with mu 0.1 to 0.2 over 45 degrees is 8 to 17 % (Euler and
Eytelwein); a sliding rope's pull is one all round, docs/theory/sliding-ring.md.
"""

from __future__ import annotations

from math import exp, pi

import numpy as np
import pytest

from rafterstay import design
from tests.statics.roofs import stated

CHANGES = {"tie__ring": "rope-sliding", "tie__height": "0.2"}


def test_friction_over_45_degrees() -> None:
    assert exp(0.1 * pi / 4) - 1 == pytest.approx(0.08, abs=0.005)
    assert exp(0.2 * pi / 4) - 1 == pytest.approx(0.17, abs=0.005)


def test_a_sliding_ring_is_checked_with_friction_and_where_its_eyes_came_to() -> None:
    done = design.check(stated("reading-room", **CHANGES))
    forces = done.forces
    assert np.ptp(forces.ring_pull, axis=1).max() == 0
    found = {check.id: check for check in done.checks.checks}
    assert found["ring-pull"].demand == pytest.approx(1.17 * forces.ring_pull.max())
    least = forces.side_length.min()
    chord = 2 * done.tie.ring_radius * np.sin(pi / done.tie.n)
    assert least < chord  # one-sided load slides the eyes
    assert found["ring-clearance"].capacity == pytest.approx(least)
    symbols = [line.symbol for line in found["ring-clearance"].working]
    assert "c_least" in symbols


def test_a_seized_ring_knows_nothing_of_it() -> None:
    done = design.check(stated("reading-room", tie__height="0.2"))
    found = {check.id: check for check in done.checks.checks}
    assert found["ring-pull"].demand == pytest.approx(done.forces.ring_pull.max())
    assert "c_least" not in [line.symbol for line in found["ring-clearance"].working]
