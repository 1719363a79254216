"""A batch comes to rest where each of its states does alone."""

from __future__ import annotations

import numpy as np
import pytest

from rafterstay import loads, roof, tie
from rafterstay.statics.blocks import Adding
from rafterstay.statics.nearby import FEWEST
from rafterstay.statics.newton import settle
from tests.statics.roofs import stated
from tests.statics.states import problem_of


@pytest.mark.parametrize("ring", ["rope-seized", "rope-sliding"])
def test_where_the_states_go_together_and_where_each_goes_alone(ring: str) -> None:
    """From almost no load to full snow on one side: some are near their mean, some are not."""
    job = stated("reading-room", tie__height="0.27", roof__sides=7, tie__ring=ring)
    frame = roof.lay_out(job)
    problem, start = problem_of(frame, tie.rig(job, frame), loads.gather(job, frame))
    push = problem.frame.push
    push *= np.linspace(0.05, 1.0, len(push))[:, None]
    assert len(push) > 3 * FEWEST
    together = settle(problem, start).pulls.leg_pull
    for row in range(0, len(push), 5):
        here = np.array([row])
        alone = settle(problem.only(here), start.rows(here)).pulls.leg_pull[0]
        assert together[row] == pytest.approx(alone, abs=1e-8 * alone.max())


def test_one_part_of_a_part_follows_as_the_whole() -> None:
    job = stated("reading-room", roof__sides=5)
    frame = roof.lay_out(job)
    problem, _ = problem_of(frame, tie.rig(job, frame), loads.gather(job, frame))
    rng = np.random.default_rng(3)
    kept = rng.normal(size=(len(problem.weight), len(problem.bones.kept)))
    whole = problem.frame.all_movements(problem.bones, kept)
    some = np.array([9, 2, 5, 4])
    part = problem.frame.only(some).only(np.array([3, 0]))
    assert part.all_movements(problem.bones, kept[[4, 9]]) == pytest.approx(whole[[4, 9]])


@pytest.mark.parametrize("n_batch", [1, 4])
def test_entries_that_share_a_place_add_up(n_batch: int) -> None:
    places = np.array([3, 0, 3, 5, 3, 0])
    entries = np.arange(6.0)[:, None] + 10.0 * np.arange(n_batch)
    into = np.ones((7, n_batch))
    expected = into.copy()
    np.add.at(expected, places, entries)
    each = into.T.copy()
    Adding(places).add(entries, into)
    Adding(places).add_each(entries.T, each)
    assert np.array_equal(into, expected)
    assert np.array_equal(each.T, expected)
