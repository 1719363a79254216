"""The law of the ring in hand: eight legs worked by hand, then the same on a rope ring."""

from __future__ import annotations

import numpy as np
import pytest

from rafterstay.roof.frame import Floats
from rafterstay.tuning import Reading
from rafterstay.tuning.aim import Aim, aim_at, moving
from rafterstay.tuning.estimate import estimate, travel_of
from tests.tuning.ties import INCH, LB, goal, on_fixed_bolts, prior

READ = np.array([251.0, 184.8, 231.6, 177.5, 219.0, 245.2, 178.4, 192.5]) * LB
RATE = 3720 * LB / INCH
TURN = 2 / 13 * INCH
AZIMUTH = 2 * np.pi * np.arange(8) / 8
SURE = {"rope_sigma": 1e-6, "frame_sigma": 1e-6, "walls_sigma": 1e-6, "side_sigma": 1e-6}


def _readings(sigma: float) -> list[Reading]:
    return [Reading("pull", k + 1, float(READ[k]), sigma * float(READ[k])) for k in range(8)]


def _without_mean_and_shift(turns: Floats) -> Floats:
    """Mean and first harmonic taken off: what is left neither tightens all nor moves the ring."""
    turns = turns - turns.mean()
    for wave in (np.cos(AZIMUTH), np.sin(AZIMUTH)):
        turns = turns - wave * (turns @ wave) / 4
    return turns


def test_a_point_equalised_by_hundredths_of_a_turn() -> None:
    """Fixed bolts: each leg is off by its own stretch, (210 - T)/(k p); a pocket calculator.

    The readings balance to 0.1 lb, so the ring hangs where it should and stays there.
    """
    tie = on_fixed_bolts("point", radius=0.0, leg=126 * INCH)
    known = estimate(tie, _readings(0.005), prior(8, **SURE))
    aim = Aim(tie, known.causes, goal(8, 210 * LB), travel_of(tie))
    reached = aim_at(aim, near=known.stand)
    printed = np.array([-0.072, 0.044, -0.038, 0.057, -0.016, -0.062, 0.055, 0.031])
    by_hand = (210 * LB - READ) / RATE / TURN
    assert by_hand == pytest.approx(printed, abs=6e-4)
    assert reached.stand.pull / LB == pytest.approx(np.full(8, 210.0), abs=0.05)
    assert not known.blunders
    back = (tie.tie.ring_points.mean(axis=0) - known.stand.eyes.mean(axis=0))[:2]
    assert np.linalg.norm(back) < INCH / 32
    equalise = reached.turns - moving(aim, reached, back)
    assert equalise == pytest.approx(printed, abs=4e-3)


def test_a_point_moved_by_whole_turns_without_a_change_of_pull() -> None:
    """1/4 in towards leg 1 is 13/8 turn times the cosine of the angle to leg 1."""
    tie = on_fixed_bolts("point", radius=0.0, leg=126 * INCH)
    stand = tie.stand(np.zeros(tie.layout.size))
    aim = Aim(tie, stand.causes, goal(8, 210 * LB), travel_of(tie))
    reached = aim_at(aim, near=stand)
    turns = moving(aim, reached, np.array([0.0, INCH / 4]))
    printed = [1.625, 1.149, 0.0, -1.149, -1.625, -1.149, 0.0, 1.149]
    assert turns == pytest.approx(printed, abs=4e-3)
    change = (reached.slopes @ turns)[:8]
    # One such turn of a single leg would change its pull by 430 lb.
    assert np.abs(change).max() < 2 * LB
    moved = tie.stand(aim.turned(reached.turns + turns), reached.stand)
    assert moved.eyes.mean(axis=0)[1] - stand.eyes.mean(axis=0)[1] == pytest.approx(
        INCH / 4, rel=5e-3
    )


def test_one_turn_on_a_point_and_on_a_seized_ring() -> None:
    """.75 -.18 0 .18 .25 of its own on a point; nearly the same for every leg of a rope ring."""
    found = {}
    for ring, radius in (("point", 0.0), ("rope-seized", 6 * INCH)):
        tie = on_fixed_bolts(ring, radius=radius, leg=120 * INCH)
        slopes = -tie.slopes(tie.stand(np.zeros(tie.layout.size)))[:8, 0]
        found[ring] = slopes / RATE
    share = np.array([0.75, -0.177, 0.0, 0.177, 0.25, 0.177, 0.0, -0.177])
    assert found["point"] == pytest.approx(share, abs=0.01)
    rope = found["rope-seized"]
    assert rope.min() > 0.8 * rope.mean()
    assert rope.max() < 1.3 * rope.mean()


def test_the_same_readings_on_a_seized_rope_ring_need_whole_turns() -> None:
    """Against an independent polygon of inextensible sides under the pulls as read.

    The other figures are those stated with the example, told as about so much.
    """
    tie = on_fixed_bolts("rope-seized", radius=6 * INCH, leg=120 * INCH)
    known = estimate(tie, _readings(0.002), prior(8, leg=0.03, **SURE))
    assert known.stand.pull / LB == pytest.approx(READ / LB, abs=0.6)
    aim = Aim(tie, known.causes, goal(8, 210 * LB), travel_of(tie))
    reached = aim_at(aim, near=known.stand)
    assert reached.stand.pull / LB == pytest.approx(np.full(8, 210.0), abs=0.1)
    turns = _without_mean_and_shift(reached.turns)
    assert turns == pytest.approx(_without_mean_and_shift(_polygon()), abs=0.04)
    assert turns == pytest.approx([-2.4, 0.1, 0.0, 2.0, -1.0, -2.3, 2.1, 1.4], abs=0.11)


def _polygon() -> Floats:
    """Turns from a closed polygon pulled at its corners: energy of constant pulls, stiff sides.

    Nothing here is the program's: positions by Newton on 16 unknowns, lengths by Hooke.
    """
    radius, leg, firm, n = 6 * INCH, 120 * INCH, 1e7 * LB / INCH, 8
    way = np.column_stack([np.sin(AZIMUTH), np.cos(AZIMUTH)])
    bolts, eyes = (radius + leg) * way, radius * way
    chord = 2 * radius * np.sin(np.pi / n)
    for _ in range(60):
        slope, stiff = np.zeros((n, 2)), np.zeros((n, 2, n, 2))
        for j in range(n):
            line = eyes[j] - bolts[j]
            long = np.linalg.norm(line)
            unit = line / long
            slope[j] += READ[j] * unit
            stiff[j, :, j] += READ[j] / long * (np.eye(2) - np.outer(unit, unit))
            k = (j + 1) % n
            line = eyes[k] - eyes[j]
            long = np.linalg.norm(line)
            unit = line / long
            pull = firm * (long - chord)
            slope[k] += pull * unit
            slope[j] -= pull * unit
            across = max(pull, 0.0) / long * (np.eye(2) - np.outer(unit, unit))
            both = firm * np.outer(unit, unit) + across
            stiff[j, :, j] += both
            stiff[k, :, k] += both
            stiff[j, :, k] -= both
            stiff[k, :, j] -= both
        step = -np.linalg.solve(stiff.reshape(16, 16), slope.ravel())
        step *= min(1.0, 0.3 * INCH / np.abs(step).max())
        eyes = eyes + step.reshape(n, 2)
        if np.abs(step).max() < 1e-12:
            break
    distance = np.linalg.norm(eyes - bolts, axis=1)
    return np.asarray((distance - READ / RATE - (leg - 210 * LB / RATE)) / TURN)
