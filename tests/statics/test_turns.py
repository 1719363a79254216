"""What turning one leg does, sliding rings, weights and stiff rings, in closed form."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rafterstay import catalog
from rafterstay.statics.derivatives import derivatives
from rafterstay.statics.network import Network
from rafterstay.statics.problem import Problem
from rafterstay.statics.tangent import tangent
from tests.statics.anchored import at_rest, shorter, tie_between
from tests.statics.roofs import FOOT, POUND

INCH = FOOT / 12
LEG = catalog.find("rope", "7x19 galvanized 1/4 in")
RING = catalog.find("rope", "7x19 galvanized 5/16 in")


def _shares(problem: Problem) -> np.ndarray:
    """Change of every pull by leg 1 drawn up, over EA/L of a leg."""
    problem, rest = at_rest(problem)
    found = derivatives(problem, rest).turnbuckle.leg_pull[0, 0]
    per = 1 / (1 / problem.links.leg_rate[0, 0]).sum()
    return -found / per


@pytest.mark.parametrize("turns", [False, True])
def test_a_turn_on_a_stiff_ring_or_a_point(turns: bool) -> None:
    """.75, -.1768, 0, .1768, .25 for eight legs: docs/theory/rigid-ring.md eq. 5."""
    radius = 0.15 if turns else 0.0
    shares = _shares(tie_between(8, radius=radius, leg=3.1, ring="body", turns=turns, pull=0.5))
    expected = [0.75, -0.1768, 0.0, 0.1768, 0.25, 0.1768, 0.0, -0.1768]
    assert shares == pytest.approx(expected, abs=1e-4)


def test_a_turn_on_any_number_of_legs() -> None:
    """1 - 2/n and -(2/n) cos: docs/theory/rigid-ring.md eq. 5."""
    for n in (3, 5, 12):
        shares = _shares(tie_between(n, radius=0.0, leg=2.3, ring="body", pull=0.1))
        angle = 2 * np.pi * np.arange(n) / n
        expected = -2 / n * np.cos(angle) + np.eye(n)[0]
        assert shares == pytest.approx(expected, abs=1e-5)


def test_a_turn_on_a_seized_ring_reaches_every_leg() -> None:
    """About .14 .10 .12 .12 .12 for a ring of 6 in and legs of 10 ft.

    Every eye gives way a little, so the ring shares a turn out nearly evenly, 1/n = 0.125 each.
    """
    shares = _shares(
        tie_between(
            8,
            radius=6 * INCH,
            leg=10 * FOOT,
            ring="eyes",
            leg_ea=LEG.stiffness,
            ring_ea=RING.stiffness,
            pull=200 * POUND,
        )
    )
    assert shares[:5] == pytest.approx([0.14, 0.10, 0.12, 0.12, 0.12], abs=0.007)
    assert shares.sum() == pytest.approx(1.0, abs=0.06)


def test_a_sliding_ring_has_one_pull_and_legs_that_halve_its_corners() -> None:
    """T_leg = 2 T_ring cos(corner/2) on a ring drawn out of shape: sliding-ring.md eq. 2."""
    problem = tie_between(7, radius=0.4, leg=2.8, ring="eyes", sliding=True, pull=900.0)
    uneven = problem
    for leg, by in ((0, 0.05), (2, -0.03), (3, 0.02), (5, 0.06)):
        uneven = shorter(uneven, leg, by)
    _, rest = at_rest(uneven)
    held = rest.pulls
    assert np.ptp(held.side_pull[0]) == 0
    eyes = held.ends[0]
    before, after = np.roll(eyes, 1, axis=0) - eyes, np.roll(eyes, -1, axis=0) - eyes
    cosine = (before * after).sum(axis=1)
    cosine /= np.linalg.norm(before, axis=1) * np.linalg.norm(after, axis=1)
    corner = np.arccos(cosine)
    assert np.degrees(np.ptp(corner)) > 10  # or the ring is not out of shape
    expected = 2 * held.side_pull[0, 0] * np.cos(corner / 2)
    assert held.leg_pull[0, :, 2] == pytest.approx(expected, rel=1e-9)


def _weighed(links: Network, weight: float) -> Network:
    return replace(links, ring_weight=np.array([weight]))


def test_a_ring_sags_by_its_weight_over_eight_legs() -> None:
    """W L / (8 T) = 20 x 120 / (8 x 200) = 1.50 in with 200 lb after loading."""
    problem = tie_between(
        8, radius=6 * INCH, leg=10 * FOOT, ring="body", leg_ea=LEG.stiffness, pull=200 * POUND
    )
    # 200 lb after: let out until that is so.
    low, high = 0.0, 200 * POUND
    for _ in range(60):
        pull = (low + high) / 2
        eased = tie_between(
            8, radius=6 * INCH, leg=10 * FOOT, ring="body", leg_ea=LEG.stiffness, pull=pull
        )
        _, rest = at_rest(replace(eased, links=_weighed(eased.links, 20 * POUND)))
        after = rest.pulls.leg_pull[0, 0, 0]
        low, high = (pull, high) if after < 200 * POUND else (low, pull)
    assert after == pytest.approx(200 * POUND, rel=1e-6)
    assert -rest.pulls.ends[0, :, 2].mean() / INCH == pytest.approx(1.50, abs=0.005)
    # 200 lb before: the sag stretches the legs.
    _, rest = at_rest(replace(problem, links=_weighed(problem.links, 20 * POUND)))
    assert -rest.pulls.ends[0, :, 2].mean() / INCH == pytest.approx(1.32, abs=0.005)
    assert rest.pulls.leg_pull[0, 0, 0] / POUND == pytest.approx(227, abs=0.5)


@pytest.mark.parametrize("n", [3, 8, 11])
def test_tilt_and_spin_of_a_stiff_ring(n: int) -> None:
    """(n/2) T0 r (1 + r/L) and n T0 r (1 + r/L): docs/theory/rigid-ring.md eq. 4."""
    radius, leg, pull = 0.17, 2.6, 730.0
    problem, rest = at_rest(
        tie_between(n, radius=radius, leg=leg, ring="body", turns=True, pull=pull)
    )
    stiff = tangent(problem, rest.pulls, pose=rest.pose, damping=np.zeros(1)).reduced[0]
    # The ring's own stiffness with its centre held; the anchors do not move.
    turning = stiff[-3:, -3:]
    unit = n * pull * radius * (1 + radius / leg)
    assert turning == pytest.approx(np.diag([unit / 2, unit / 2, unit]), abs=2e-5 * unit)
