"""Builds whose truth is not the program's model, tuned by its table and by two rivals."""

from __future__ import annotations

import numpy as np
import pytest

from rafterstay.tuning.friction import stuck
from tests.tuning.plans import all_at_once, one_table, own_leg, slackest_first
from tests.tuning.ties import LB, model
from tests.tuning.truth import INCH, best, builds

TARGET = 210 * LB
COUNT = 10


def test_the_truth_is_another_model_of_the_same_tie() -> None:
    """As drawn both agree within a tenth; a leg of the truth is one spring, without its body."""
    tie = model("rope-seized", walls=3e5, target=TARGET)
    found = builds(tie, 1, seed=4, matched=True)
    drawn = tie.tie.ring_points
    found.side[:] = np.linalg.norm(np.roll(drawn, -1, axis=0) - drawn, axis=1)
    low, high = -0.05, 0.05
    for _ in range(30):
        middle = (low + high) / 2
        found.leg[:] = tie.tie.leg_lengths + middle
        found.settle(free=True)
        low, high = (middle, high) if found.pulls().mean() > TARGET else (low, middle)
    before = found.pulls()
    turns = np.zeros((1, 8))
    turns[0, 0] = 0.25
    found.turn(turns)
    causes = np.zeros(tie.layout.size)
    causes[0] = -0.25 * found.travel
    ours = tie.stand(causes).pull - tie.stand(0 * causes).pull
    assert (found.pulls() - before)[0] == pytest.approx(ours, rel=0.12)


def test_friction_holds_the_ring_rope_back_within_its_bound() -> None:
    """At every eye the pulls before and after differ by no more than friction holds."""
    tie = model("rope-sliding", walls=3e5, target=TARGET)
    found, slick = builds(tie, 4, seed=2), builds(tie, 4, seed=2)
    slick.friction[:] = 0.0
    turns = np.tile([1.5, -1.0, 0.5, 0.0, -0.5, 0.0, 1.0, 0.5], (4, 1))
    steps = []
    for one in (found, slick):
        one.turn(turns)
        _, _, pull, _ = one._sides()
        steps.append(np.abs(pull - np.roll(pull, 1, axis=1)))
    assert (steps[0] <= 1.02 * found._grip() + 1.0).all()
    assert steps[1].max() < 0.01 * steps[0].max()


def test_backlash_is_lost_once_when_a_body_is_turned_back() -> None:
    """Slackened after it was tightened: the play is lost; on with it: nothing is."""
    tie = model("welded", walls=3e5, target=TARGET)
    found = builds(tie, 2, seed=6)
    leg, play = found.leg[:, 3].copy(), found.backlash[:, 3].copy()
    for turn in (-0.5, -0.25):
        turns = np.zeros((2, 8))
        turns[:, 3] = turn
        found.turn(turns)
    assert found.leg[:, 3] - leg == pytest.approx(found.travel * (0.75 - play), abs=1e-12)


@pytest.mark.parametrize("ring", ["rope-seized", "rope-sliding", "welded"])
def test_a_round_of_the_table_is_mostly_enough(ring: str) -> None:
    """A few builds here; five hundred of seized and welded in the soak, told in docs/soak.md."""
    tie = model(ring, walls=3e5, target=TARGET)
    tie = stuck(tie) if ring == "rope-sliding" else tie
    done = one_table(builds(tie, COUNT, seed=1), tie, np.random.default_rng(7))
    assert done.good[:, 0].sum() >= COUNT - 3
    assert done.good[:, 1].sum() >= COUNT - 1
    assert np.median(done.visits) <= 9


def test_the_rivals_come_to_their_ends() -> None:
    """Slackest first wanders on a stiff ring; all at once needs round after round."""
    tie = model("welded", walls=3e5, target=TARGET)
    own = own_leg(tie)
    first = slackest_first(builds(tie, 8, seed=1), TARGET, np.random.default_rng(7), own=own)
    assert np.median(first.visits) >= 20
    assert first.visits.max() <= 60
    every = all_at_once(builds(tie, 8, seed=1), TARGET, np.random.default_rng(7), own=own)
    assert every.rounds.max() <= 10
    assert np.median(every.rounds) > 1


def test_the_best_of_a_build_is_centred_and_level() -> None:
    """By differences on the truth itself: turns alone centre the ring."""
    tie = model("welded", walls=3e5, target=TARGET)
    centre, level = best(builds(tie, 2, seed=3), TARGET)
    assert np.abs(centre).max() < INCH / 64
    assert np.abs(level).max() < INCH / 8
