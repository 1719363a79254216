"""The table of turns: whole steps, few legs, order, limits, doubts, the trade."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rafterstay.tuning import Advice, Reading, advise
from rafterstay.tuning.estimate import travel_of
from rafterstay.tuning.nouns import STEPS
from tests.tuning.ties import INCH, RINGS, goal, model, off, prior, taken


def _advised(ring: str, seed: int = 4, **more: float) -> tuple[Advice, np.ndarray]:
    tie = model(ring, walls=3e5)
    causes = off(tie, seed=seed, legs=2e-3 if ring.startswith("rope") else 1.2e-4)
    readings = taken(tie, causes, seed=seed, pull=0.01)
    return advise(tie, readings, goal=goal(8, **more), prior=prior(8)), causes


@pytest.mark.parametrize("ring", RINGS)
def test_turns_are_whole_steps_of_few_legs_that_keep_the_goal(ring: str) -> None:
    """On the truth the readings came from, not only as predicted."""
    done, causes = _advised(ring)
    tie = model(ring, walls=3e5)
    assert done.kept
    assert done.step in STEPS
    assert done.turns / done.step == pytest.approx(np.round(done.turns / done.step))
    assert (done.turns != 0).sum() <= len(done.outside) + 2
    after = causes.copy()
    after[:8] -= travel_of(tie) * done.turns
    stand = tie.stand(after)
    assert stand.pull == pytest.approx(np.full(8, 934.0), rel=0.1)
    assert done.predicted == pytest.approx(stand.pull, rel=0.08)
    assert np.linalg.norm((stand.eyes - tie.tie.ring_points).mean(axis=0)[:2]) < INCH / 4


def test_a_stiff_ring_is_calibrated_by_one_turn_first() -> None:
    """Named for the slackest leg; not on a ring of rope, and not once bodies were turned."""
    tie = model("welded", walls=3e5)
    causes = off(tie, seed=4, legs=1.2e-4)
    readings = taken(tie, causes, seed=4, pull=0.01)
    done = advise(tie, readings, goal=goal(8), prior=prior(8))
    slackest = int(done.state.pull.argmin()) + 1
    said = [note for note in done.notes if "by 1/4 turn" in note]
    assert len(said) == 1
    assert f"tighten leg {slackest}, the slackest" in said[0]
    low = advise(tie, readings, goal=goal(8, most=1.1 * done.state.pull.max()), prior=prior(8))
    assert not [note for note in low.notes if "by 1/4 turn" in note]
    turned = [*readings, Reading("turned", 2, 0.25, 0.02, stage=1)]
    again = advise(tie, turned, goal=goal(8), prior=prior(8))
    assert not [note for note in again.notes if "by 1/4 turn" in note]
    assert not [note for note in _advised("rope-seized")[0].notes if "by 1/4 turn" in note]


@pytest.mark.parametrize("ring", RINGS)
def test_the_order_makes_up_the_turns_and_pairs_opposite_legs(ring: str) -> None:
    done, _ = _advised(ring)
    made = np.zeros(8)
    for step in done.steps:
        made[step.leg - 1] += step.turns
    assert made == pytest.approx(done.turns)
    legs = [step.leg - 1 for step in done.steps]
    for k, leg in enumerate(legs):
        other = (leg + 4) % 8
        if other in legs:
            assert abs(legs.index(other) - k) == 1
    assert done.steps[-1].pull == pytest.approx(done.predicted)


def test_the_order_asks_less_than_going_round() -> None:
    """Beside the same turns made from leg 1 to leg 8: the largest pull on the way is no larger."""
    done, causes = _advised("rope-seized", seed=6)
    tie = model("rope-seized", walls=3e5)
    stand, largest = tie.stand(causes), 0.0
    for leg in range(8):
        causes[leg] -= travel_of(tie) * done.turns[leg]
        stand = tie.stand(causes, stand)
        largest = max(largest, float(stand.pull.max()))
    assert done.safe
    assert max(float(step.pull.max()) for step in done.steps) <= 1.1 * largest


def test_a_plan_that_no_order_makes_safe_is_told() -> None:
    """A limit below the goal itself cannot be kept, from legs that pull less than it now."""
    tie = model("rope-seized", walls=3e5)
    causes = np.zeros(tie.layout.size)
    causes[:8] = 0.001
    readings = taken(tie, causes, seed=1, pull=0.01)
    done = advise(tie, readings, goal=goal(8, most=700.0), prior=prior(8))
    assert done.state.pull.max() < 700.0
    assert not done.safe


def test_walls_past_plumb_stop_a_plan() -> None:
    """Walls that stand inside of plumb already are not drawn in any further."""
    tie = model("rope-seized", walls=3e5)
    causes = np.zeros(tie.layout.size)
    causes[:8] = 0.002
    readings = taken(tie, causes, seed=1, pull=0.01)
    upright = replace(goal(8), standing=np.full(8, 0.01))
    leaning = replace(goal(8), standing=np.full(8, -0.01))
    assert advise(tie, readings, goal=upright, prior=prior(8)).safe
    assert not advise(tie, readings, goal=leaning, prior=prior(8)).safe


def test_a_body_is_not_turned_past_its_stop() -> None:
    """Leg 1 is far too long, and its body is read as all but closed."""
    tie = model("rope-seized", walls=3e5)
    causes = np.zeros(tie.layout.size)
    causes[0] = 0.012
    readings = taken(tie, causes, seed=2, pull=0.01)
    readings.append(Reading("opening", 1, 0.001, 0.0003))
    done = advise(tie, readings, goal=goal(8), prior=prior(8, leg=0.02))
    assert done.exact[0] > 1.5
    assert done.turns[0] * travel_of(tie) <= 0.0022


def test_nothing_is_turned_where_all_is_well() -> None:
    tie = model("point", walls=3e5)
    readings = taken(tie, np.zeros(tie.layout.size), seed=8, pull=0.01)
    done = advise(tie, readings, goal=goal(8), prior=prior(8))
    assert done.steps == ()
    assert done.kept
    assert done.step == 0.0


def test_doubt_names_what_to_read_next() -> None:
    """Legs 5 to 8 of a point not read: one of them, or the frame, is asked for."""
    tie = model("point", walls=3e5)
    readings = taken(tie, off(tie, seed=4, legs=1e-4), seed=4)
    some = [one for one in readings if one.what != "pull" or one.where <= 4]
    done = advise(tie, some, goal=goal(8), prior=prior(8))
    assert any(f"pull of leg {k}" in done.unsure_of for k in (5, 6, 7, 8))
    assert done.read_next
    told = advise(tie, readings, goal=goal(8), prior=prior(8))
    assert told.predicted_sigma.max() < done.predicted_sigma.max()


def test_uneven_sides_make_a_trade() -> None:
    """A side of the ring 3/4 in too long: equal pull or a regular ring, not both."""
    tie = model("rope-seized", walls=3e5)
    causes = np.zeros(tie.layout.size)
    causes[8 + 2] = 0.75 * INCH
    wide = prior(8, side_sigma=INCH)
    done = advise(tie, taken(tie, causes, seed=5, pull=0.01), goal=goal(8), prior=wide)
    assert [one.wish for one in done.trade] == ["equal pull", "regular ring"]
    equal, regular = done.trade
    assert equal.pull_off < regular.pull_off
    assert regular.shape_off < equal.shape_off


def test_a_goal_of_nil_keeps_the_mean() -> None:
    tie = model("point", walls=3e5)
    causes = off(tie, seed=1, legs=1e-4)
    readings = taken(tie, causes, seed=1, pull=0.01)
    done = advise(tie, readings, goal=goal(8, pull=0.0), prior=prior(8))
    assert done.goal.pull == pytest.approx(tie.stand(causes).pull.mean(), rel=0.02)


def test_moving_and_equalising_are_kept_apart() -> None:
    """A ring off its centre with equal pulls asks for moving alone."""
    tie = model("point", walls=3e5)
    causes = np.zeros(tie.layout.size)
    causes[:8] = -0.008 * np.cos(2 * np.pi * np.arange(8) / 8)
    done = advise(tie, taken(tie, causes, seed=3, pull=0.002), goal=goal(8), prior=prior(8, 0.02))
    assert np.abs(done.moving).max() > 1.0
    assert np.abs(done.exact - done.moving).max() < 0.1
