"""Slopes of pulls, eyes and feet against central differences of whole solutions."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rafterstay.core.errors import Mechanism, NotConverged
from tests.tuning.ties import RINGS, model, off


@pytest.mark.parametrize("walls", [0.0, 3e5])
@pytest.mark.parametrize("ring", RINGS)
def test_slopes_are_those_of_differences(ring: str, walls: float) -> None:
    """Every cause: legs, sides, EA of legs and ring, stiffness of frame and walls."""
    tie = model(ring, n=7, walls=walls)
    lay = tie.layout
    causes = off(tie, seed=3, legs=1e-3 if ring.startswith("rope") else 3e-4)
    at = tie.stand(causes)
    found = tie.slopes(at)
    kinds = {1, lay.n + lay.sides - 1, lay.rope, lay.ring, lay.frame}
    for cause in kinds | ({lay.wall} if walls else set()):
        step = np.zeros(lay.size)
        step[cause] = 1e-6 if cause < lay.rope else 1e-3
        up, down = tie.stand(causes + step, at).seen, tie.stand(causes - step, at).seen
        differences = (up - down) / (2 * step[cause])
        largest = max(np.abs(differences).max(), 1e-6)
        assert np.abs(found[:, cause] - differences).max() <= 2e-5 * largest, cause


def test_a_quick_rest_is_the_rest() -> None:
    """Starting near by, or from the drawing: pulls agree to a millionth."""
    tie = model("rope-seized")
    causes = off(tie, seed=5, legs=2e-3)
    near = tie.stand(causes + 1e-4)
    assert tie.stand(causes, near).pull == pytest.approx(tie.stand(causes).pull, rel=1e-6)


def test_warmth_slackens_by_the_difference_of_expansions() -> None:
    """A hot day: rope grows more than timber, so every leg loses pull."""
    tie = model("point", walls=3e5)
    slope = tie.by_warmth(tie.stand(np.zeros(tie.layout.size)))
    assert (slope[:8] < 0).all()


def test_pulls_that_nothing_holds_are_refused() -> None:
    """TU-031: no dead load lies on the roof and the walls give no help."""
    tie = model("rope-seized")
    light = replace(tie.case, hip_load=0 * tie.case.hip_load, head_load=0 * tie.case.head_load)
    with pytest.raises(Mechanism, match="TU-031"):
        replace(tie, case=light).stand(np.zeros(tie.layout.size))


def test_a_tie_that_finds_no_rest_is_refused() -> None:
    """TU-030: every leg half a metre short."""
    tie = model("rope-seized")
    causes = np.zeros(tie.layout.size)
    causes[:8] = -0.5
    with pytest.raises(NotConverged, match="TU-030"):
        tie.stand(causes)
