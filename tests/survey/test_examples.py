"""The readings that come with the project: two evenings on an octagon, one on a gable."""

from __future__ import annotations

from pathlib import Path

import pytest

from rafterstay.survey import adjust, read
from tests.survey.shapes import IN, Shape, gable, ring

FOLDER = Path(__file__).parents[2] / "examples" / "readings"
OCTAGON = ring(8, 144 * IN)
GABLE = gable(6, 288 * IN, 48 * IN)


@pytest.mark.parametrize(("name", "shape"), [("octagon", OCTAGON), ("gable", GABLE)])
@pytest.mark.parametrize("given", [True, False])
def test_good_readings_name_no_blunder(name: str, shape: Shape, given: bool) -> None:
    built = adjust(read(FOLDER / f"{name}.csv", points=list(shape)), shape if given else None)
    assert built.blunders == ()
    assert built.widened == 1.0
    assert 0.4 * IN < built.smallest_hidden < 0.5 * IN


def test_the_wrong_figure_is_named_with_its_line() -> None:
    built = adjust(read(FOLDER / "octagon-slip.csv", points=list(OCTAGON)), OCTAGON)
    (blunder,) = built.blunders
    assert (blunder.start, blunder.end, blunder.line) == ("6", "8", 24)
    assert blunder.likely_slip == "an inch too short"
    assert blunder.likely_value == pytest.approx(203.3125 * IN, abs=1e-9)
    assert blunder.suspects == ()
