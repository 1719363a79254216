"""Between which pulls the legs may be set, against docs/theory/pretension.md and the check."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rafterstay import design
from rafterstay.job import Job
from tests.statics.roofs import POUND, stated

STIFF = {"support__walls": "stiff", "support__wall_stiffness": ["1 kip/in", "4 kip/in"]}


def at(job: Job, pull: float) -> Job:
    return replace(job, pretension=replace(job.pretension, target=pull))


def status(job: Job, check_id: str) -> str:
    found = design.check(job, only={"D/dead", "D+S/balanced"})
    return next(c.status for c in found.checks.checks if c.id == check_id)


def test_without_help_the_most_is_the_dead_load_s_own_pull() -> None:
    """Eq. 1: past the thrust of the dead load over (1 - h) the hub leaves its prop."""
    job = stated("octagon", loads__dead="11 psf", pretension__target="auto")
    band = design.pretension(job)
    dead = design.check(at(job, 0.0)).forces.setting.lowered_pull.mean()
    assert band.high == pytest.approx(dead, rel=0.03)
    assert band.high <= dead
    assert band.high_because == "hub-prop"
    assert any("does not depend on pretension" in told for told in band.told)


def test_without_help_the_pull_under_load_is_the_same_whatever_is_set() -> None:
    job = stated("octagon", loads__dead="11 psf")
    pulls = [
        design.check(at(job, pull), only={"D+S/balanced"}).forces.leg_pull.max()
        for pull in (0.0, 800.0)
    ]
    assert pulls[1] == pytest.approx(pulls[0], rel=2e-3)


def test_nothing_on_the_roof_leaves_the_legs_snug() -> None:
    band = design.pretension(stated("octagon", pretension__target="auto"))
    assert (band.status, band.low, band.high) == ("found", 0.0, 0.0)


@pytest.fixture(scope="module")
def stiff() -> Job:
    return stated(
        "octagon", roof__sides=5, loads__dead="11 psf", pretension__target="auto", **STIFF
    )


@pytest.fixture(scope="module")
def checked(stiff: Job) -> design.Design:
    return design.check(stiff)


def test_the_ends_are_where_a_check_turns(stiff: Job, checked: design.Design) -> None:
    """Just inside passes, well outside does not: by the check itself, not by the search."""
    band = checked.band
    assert band is not None
    assert band.status == "found"
    assert band.low is not None
    assert band.high is not None
    assert 0.0 < band.low < band.high
    assert status(at(stiff, 1.001 * band.low), band.low_because) == "passes"
    assert status(at(stiff, 0.9 * band.low), band.low_because) == "fails"
    assert band.high_because == "walls-drawn-in"


def test_walls_are_drawn_in_by_the_pull_the_dead_load_does_not_take(stiff: Job) -> None:
    """Eq. 2: feet come in by (T (1 - h) - T0)/k; stiff hips, so within a tenth."""
    from rafterstay.sizing.drawn_in import drawn_in

    pull = 6000.0
    found = design.check(at(stiff, pull), only={"D/dead"})
    dead = design.check(at(stiff, 0.0)).forces.setting.lowered_pull.mean()
    assert stiff.support.wall_stiffness is not None
    inward = (pull - dead) / stiff.support.wall_stiffness[0]
    assert drawn_in(found) * stiff.limits.spread == pytest.approx(inward, rel=0.1)


def test_auto_sets_the_legs_inside_the_band(checked: design.Design) -> None:
    found = checked
    assert found.band is not None
    assert found.band.status == "found"
    assert found.band.low <= found.tie.target <= found.band.high  # type: ignore[operator]
    assert found.tie.target / POUND % 5.0 == pytest.approx(0.0, abs=1e-6)
    assert found.job.pretension.target == "auto"


def test_two_reasons_cross_where_there_is_no_band(stiff: Job) -> None:
    """A ring that must hang level within a hair, between walls that may hardly move."""
    tight = replace(stiff, limits=replace(stiff.limits, ring_sag=2e-3, spread=5e-4))
    found = design.check(tight)
    assert found.band is not None
    assert found.band.status == "none"
    assert (found.band.low_because, found.band.high_because) == ("ring-sag", "walls-drawn-in")
    assert found.checks.verdict == "fails"
    assert found.tie.target == found.band.high


def test_a_stated_pull_gets_its_band_and_is_kept() -> None:
    found = design.check(at(stated("octagon", loads__dead="11 psf"), 1234.0))
    assert found.band is not None
    assert found.tie.target == 1234.0


def test_snug_legs_and_first_looks_ask_for_no_band(stiff: Job) -> None:
    assert design.check(at(stiff, 0.0)).band is None
    assert design.check(stiff, only={"D+S/balanced"}).band is None
