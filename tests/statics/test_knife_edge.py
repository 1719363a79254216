"""A tie at rest that nothing would bring back is refused (ST-003), and the limit stands where told.

Source: a taut rope resists sideways with its pull over its length, any text on strings; the limit
of docs/theory/sense.md eq. 2. No program.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rafterstay import roof, statics, tie
from rafterstay.core.errors import Mechanism
from rafterstay.statics.sense import require_sense
from tests.statics.anchored import at_rest, tie_between
from tests.statics.roofs import PSF, half_loaded, stated

LIMIT = 1e-7  # of a rope piece's own stiffness: docs/theory/sense.md eq. 2


def _settled(n: int, share: float) -> None:
    """Level legs to one point, whose upright stiffness n T/L is ``share`` of the limit."""
    leg, ea = 2.7, 1.98e6
    pull = share * LIMIT * ea / (leg / 3) * leg / n
    problem, rest = at_rest(tie_between(n, radius=0.0, leg=leg, ring="body", pull=pull))
    assert rest.pulls.leg_pull.min() == pytest.approx(pull, rel=1e-3)
    require_sense(problem, rest, ["still"])


@pytest.mark.parametrize("n", [3, 5, 8])
def test_legs_all_but_slack_hold_no_ring(n: int) -> None:
    with pytest.raises(Mechanism, match=r"ST-003 still.*ring can move") as caught:
        _settled(n, 0.8)
    assert caught.value.loose == "ring"


@pytest.mark.parametrize("n", [3, 5, 8])
def test_a_little_pull_holds_it(n: int) -> None:
    _settled(n, 1.3)


@pytest.mark.parametrize("ring", ["plate", "welded"])
def test_a_ring_whose_legs_all_meet_in_its_centre_spins(ring: str) -> None:
    """Eight legs to one pin through the middle of a plate: no pull has an arm about the pin.

    The same legs to the same point of a body that cannot spin, a shackle, hold.
    """
    job = stated(tie__height="0.2")
    frame = roof.lay_out(job)
    rig = tie.rig(job, frame)
    centre = rig.ring_points.mean(axis=0)
    to_centre = replace(
        rig,
        ring=ring,
        ring_points=np.tile(centre, (rig.n, 1)),
        leg_lengths=np.linalg.norm(rig.bolt_points - centre, axis=1),
    )
    cases = half_loaded(frame, 31 * PSF, 0.0, 1.0)
    with pytest.raises(Mechanism, match=r"ST-003 S/half-000.*ring can move") as caught:
        statics.solve(frame, to_centre, cases)
    assert caught.value.loose == "ring"
    assert statics.solve(frame, replace(to_centre, ring="point"), cases).leg_pull.min() > 0
