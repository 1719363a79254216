"""Whether a check says leg, hip, foot or head of what it means, and rafter on a gable."""

from __future__ import annotations

import re

import pytest

from rafterstay import design, job
from rafterstay.checks.nouns import Check
from rafterstay.job.examples import example
from tests.statics.roofs import stated

OF_HIPS = {
    "rafter-bending": "hip",
    "rafter-stability": "hip",
    "rafter-shear": "hip",
    "rafter-deflection": "hip",
    "ply-buckling": "hip",
    "wood-splitting": "hip",
    "wood-net": "hip",
    "rafter-bearing": "foot",
    "wall-spread": "foot",
    "hub-shear": "head",
}


def said(check: Check) -> str:
    return " ".join([check.why, *(line.formula for line in check.working)])


@pytest.fixture(scope="module")
def across() -> dict[str, Check]:
    """Eight hips, four ties straight across, loaded from every side."""
    read = stated("octagon", tie__layout="cross", tie__height="0.25", rafter__ply="2x12")
    return {check.id: check for check in design.check(read).checks.checks}


@pytest.mark.parametrize(("check_id", "noun"), OF_HIPS.items())
def test_what_belongs_to_a_hip_is_called_by_it(
    across: dict[str, Check], check_id: str, noun: str
) -> None:
    check = across[check_id]
    assert re.search(rf"\b{noun} [1-8] in ", said(check)), said(check)
    assert not re.search(r"\b[Ll]eg \d", said(check)), said(check)
    assert check.leg in (1, 2, 3, 4)  # the tie that hangs on it


def test_pulls_are_those_of_legs(across: dict[str, Check]) -> None:
    for check_id in ("rope-strength", "turnbuckle-load", "bolt-yield"):
        assert re.search(r"\b[Ll]eg [1-4]\b", said(across[check_id]))


def test_a_gable_has_rafters_and_a_ridge() -> None:
    for check in design.check(job.loads(example("gable-workshop"))).checks.checks:
        assert not re.search(r"\b([Hh]ips?|[Hh]ub)\b", said(check)), said(check)
