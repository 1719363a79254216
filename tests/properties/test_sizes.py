"""Sizes that are told pass the check, and one size down they do not, whatever the roof."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rafterstay import design, sizing
from rafterstay.checks import Check
from rafterstay.core.errors import RafterstayError
from rafterstay.job import Job
from rafterstay.sizing.reads import reads
from tests.statics.roofs import stated

# Of each roof what lets sizes decide: light loads, and the joints the user builds stated.
ROOFS: dict[str, dict[str, str | bool]] = {
    "octagon": {
        "tie__height": "0.3",
        "limits__spread": "3/4 in",
        "rafter__ply": "2x12",
        "rafter__tail": "7 in",
        "roof__hub_shear_allowable": "2 kip",
    },
    "pavilion": {},
    "gable-workshop": {},
}


def judged(job: Job) -> dict[str, Check] | str:
    """Deciding checks of a job by id, or the code of why there is no answer."""
    try:
        found = design.check(job).checks.checks
    except RafterstayError as fault:
        return fault.findings[0].code
    return {check.id: check for check in found if check.decides}


def smaller(job: Job, down: sizing.Down) -> Job:
    assert down.name is not None
    if down.part == "ply":
        return replace(job, rafter=replace(job.rafter, ply=down.name))
    named: dict[str, Any] = {down.part: down.name}
    return replace(job, parts=replace(job.parts, **named))


@pytest.mark.parametrize("name", ROOFS)
@settings(max_examples=2)
@given(dead=st.floats(7.0, 13.0), gap=st.sampled_from(["7/8 in", "1 1/2 in"]), ply=st.booleans())
def test_told_sizes_pass_and_one_size_down_does_not(
    name: str, dead: float, gap: str, ply: bool
) -> None:
    job = stated(name, loads__dead=f"{dead:.3f} psf", rafter__gap=gap, **ROOFS[name])
    sizes = design.size(job, with_ply=ply)
    taken = judged(sizes.job)
    assert isinstance(taken, dict)
    told = {one.check for one in sizes.unmet}
    for check in taken.values():
        # What fails is told as met by no size, or no part that is sized can mend it.
        if check.status == "fails":
            assert check.id in told or not reads(check.id) & set(sizes.sized), check.id
    for down in sizes.downs:
        if down.name is None:
            continue
        found = judged(smaller(sizes.job, down))
        if isinstance(found, str):
            assert found == down.check
        else:
            assert taken[down.check].status == "passes", down
            assert found[down.check].status == ("refer" if down.refers else "fails"), down
