"""The state from readings: recovered, blunders named, every kind of reading used."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rafterstay.tuning import Reading
from rafterstay.tuning.estimate import estimate, travel_of
from rafterstay.tuning.seen import seen
from tests.tuning.ties import INCH, RINGS, model, off, prior, taken


@pytest.mark.parametrize("ring", RINGS)
def test_the_state_is_found_within_its_own_plus_and_minus(ring: str) -> None:
    """Forty pulls a ring: normalised errors have a mean square of about one."""
    tie = model(ring, n=8)
    rope = ring.startswith("rope")
    errors = []
    for seed in range(5):
        causes = off(tie, seed=seed, legs=3e-3 if rope else 2e-4)
        known = estimate(tie, taken(tie, causes, seed=100 + seed), prior(8))
        sigma = np.sqrt(np.diag(known.slopes[:8] @ known.spread @ known.slopes[:8].T))
        errors += list((known.stand.pull - tie.stand(causes).pull) / sigma)
        assert not known.blunders
    assert 0.3 < np.mean(np.square(errors)) < 1.8


def test_a_wrong_pull_on_a_rope_ring_is_named() -> None:
    """Half as much again: the ring's shape and the other legs tell."""
    tie = model("rope-seized")
    causes = off(tie, seed=2, legs=3e-3)
    readings = taken(tie, causes, seed=9)
    readings[4] = replace(readings[4], value=1.5 * readings[4].value)
    known = estimate(tie, readings, prior(8))
    assert [one.reading.named for one in known.blunders] == ["pull of leg 5"]
    true = float(tie.stand(causes).pull[4])
    assert known.blunders[0].expected == pytest.approx(true, rel=0.1)


def test_readings_may_be_missing() -> None:
    """Four pulls of eight and the ring's corners tell the other four, less surely."""
    tie = model("rope-sliding")
    causes = off(tie, seed=7, legs=3e-3)
    stand = tie.stand(causes)
    readings = taken(tie, causes, seed=1)[:4]
    for k in range(1, 9):
        one = Reading("corner", k, 0.0, 0.0175)
        readings.append(replace(one, value=seen(tie, stand, one)[0]))
    known = estimate(tie, readings, prior(8))
    assert known.stand.pull == pytest.approx(stand.pull, rel=0.08)


def test_an_opening_tells_of_the_body_and_a_turn_made_is_counted() -> None:
    """A quarter turn closes a body by two quarter pitches."""
    tie = model("point", walls=3e5)
    causes = off(tie, seed=4, legs=2e-4)
    before = taken(tie, causes, seed=3)
    open_ = tie.tie.turnbuckle_set - tie.tie.turnbuckle.closed
    read = Reading("opening", 3, open_ + 0.004, INCH / 64)
    turned = [Reading("turned", 3, 0.25, 0.005, stage=1)]
    tighter = causes.copy()
    tighter[2] -= 0.25 * travel_of(tie)
    after = [replace(one, stage=1) for one in taken(tie, tighter, seed=5)]
    known = estimate(tie, [*before, read, *turned, *after], prior(8))
    n, unknowns = 8, known.unknowns
    assert unknowns.stages == 2
    assert known.value[n + 2] == pytest.approx(0.004, abs=0.001)
    assert known.stand.pull == pytest.approx(tie.stand(tighter).pull, rel=0.1)


def test_one_test_turn_calibrates_the_frame() -> None:
    """A frame half as stiff: a quarter turn, read before and after, tells it from one as drawn."""
    tie = model("point", n=8)
    lay = tie.layout
    causes = np.zeros(lay.size)
    causes[lay.frame] = np.log(0.5)
    tighter = causes.copy()
    tighter[0] -= 0.25 * travel_of(tie)
    before = taken(tie, causes, seed=1, pull=0.01)
    after = [replace(one, stage=1) for one in taken(tie, tighter, seed=2, pull=0.01)]
    turn = Reading("turned", 1, 0.25, 0.003, stage=1)
    sure = {"rope_sigma": 0.02, "frame_sigma": 0.4}
    alone = estimate(tie, before, prior(8, **sure))
    both = estimate(tie, [*before, turn, *after], prior(8, **sure))
    width = [float(np.sqrt(one.spread[lay.frame, lay.frame])) for one in (alone, both)]
    assert width[0] > 0.35
    assert width[1] < 0.6 * width[0]
    assert both.causes[lay.frame] == pytest.approx(np.log(0.5), abs=2.5 * width[1])


def test_the_temperature_of_the_air_counts() -> None:
    """Read at 20 K above the setting: pulls low by that are no reason to tighten."""
    tie = model("point", walls=3e5)
    lay = tie.layout
    causes = np.zeros(lay.size)
    causes[lay.warmth] = 20.0
    warm = tie.stand(causes)
    readings = [Reading("pull", k + 1, float(warm.pull[k]), 10.0) for k in range(8)]
    readings.append(Reading("temperature", 0, tie.set_temperature + 20.0, 1.0))
    known = estimate(tie, readings, prior(8))
    assert known.causes[lay.warmth] == pytest.approx(20.0, abs=0.5)
    assert np.abs(known.causes[:8]).max() < 2e-4
