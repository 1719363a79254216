"""What is said of feet that stand in the wrong place. Frames invented."""

from __future__ import annotations

import numpy as np
import pytest

from rafterstay.core.errors import InputError
from rafterstay.survey import Reading, adjust
from rafterstay.survey.nouns import Kind, Standing
from rafterstay.survey.plan import Layout, plan
from rafterstay.survey.standing import compare
from tests.survey.shapes import IN, Shape, crooked, gable, read_off, ring


def stood(design: Shape, truth: Shape, layout: Layout = "ring") -> dict[str, Standing]:
    built = adjust(read_off(truth, plan(design, layout=layout).readings), design)
    outward = None
    if layout == "pairs":
        outward = {name: (np.sign(design[name][0]), 0.0) for name in design}
    return {s.id: s for s in compare(built, design, outward)}


def test_feet_where_they_should_be() -> None:
    found = stood(ring(8), ring(8))
    assert len(found) == 8
    assert all(
        s.words.endswith("where it should be, within the ± of the survey.") for s in found.values()
    )


def test_feet_that_have_all_spread_alike_show_it() -> None:
    # Every foot 1 in out: a fit that stretched the design would hide it.
    found = stood(ring(8, 3.6576), ring(8, 3.6576 + IN))
    for standing in found.values():
        assert standing.outward == pytest.approx(IN, abs=1e-9)
        assert standing.sideways == pytest.approx(0.0, abs=1e-9)
        assert '1" (± ' in standing.words
        assert "outward: a tie may pull it back" in standing.words


def test_a_foot_inward_cannot_be_pushed_out() -> None:
    design = ring(8)
    x, y, z = design["3"]
    found = stood(design, design | {"3": (x - 2 * IN, y, z)})
    # The fit gives a little of it to the other feet.
    assert -2 * IN < found["3"].outward < -1.6 * IN
    assert "inward: a tie only pulls inward and cannot push it out." in found["3"].words
    assert abs(found["7"].outward) < 0.4 * IN


def test_sideways_and_height_are_not_a_ties_work() -> None:
    design = ring(8)
    x, y, z = design["1"]  # due north: clockwise is east
    found = stood(design, design | {"1": (x + 3 * IN, y, z - IN)})
    first = found["1"]
    assert first.sideways > 1.5 * IN
    assert first.up == pytest.approx(-IN * 7 / 8, abs=1e-6)  # against the mean of eight
    assert "sideways, clockwise: not a tie's work" in first.words
    assert "low: not a tie's work" in first.words


def test_outward_of_a_gable_is_square_to_the_plate() -> None:
    design = gable(4)
    x, y, z = design["8"]
    found = stood(design, design | {"8": (x + IN, y, z)}, "pairs")
    assert found["8"].outward > 0.6 * IN
    assert abs(found["8"].sideways) < 0.3 * IN


def test_nothing_is_said_of_heights_not_read() -> None:
    design = ring(8)
    truth = crooked(design, 5)
    listed = plan(design, heights=False).readings
    found = compare(adjust(read_off(truth, listed), design), design)
    assert all(s.up == 0.0 and s.up_sigma == 0.0 for s in found)
    assert not any("high" in s.words or "low:" in s.words for s in found)


def test_sigmas_do_not_depend_on_where_the_survey_was_laid() -> None:
    design = ring(7)
    readings = read_off(crooked(design, 7), plan(design).readings, seed=1)
    given = compare(adjust(readings, design), design)
    free = compare(adjust(readings), design)
    for a, b in zip(given, free, strict=True):
        assert b.outward == pytest.approx(a.outward, abs=1e-8)
        assert b.outward_sigma == pytest.approx(a.outward_sigma, rel=1e-4)
        assert b.sideways_sigma == pytest.approx(a.sideways_sigma, rel=1e-4)
        assert b.up_sigma == pytest.approx(a.up_sigma, rel=1e-4)


def test_si_words() -> None:
    design = ring(8)
    built = adjust(read_off(ring(8, 3.6576 + 0.03), plan(design).readings), design)
    assert "30 mm" in compare(built, design, system="si")[0].words


def test_a_foot_in_the_middle_needs_a_direction() -> None:
    design = ring(4) | {"5": (0.0, 0.0, 0.0)}
    listed = [Reading(r.start, r.end, r.kind, 1.0) for r in plan(ring(4)).readings]
    kinds: tuple[Kind, ...] = ("level", "height")
    listed += [Reading(foot, "5", kind, 1.0) for foot in "1234" for kind in kinds]
    built = adjust(read_off(design, listed), design)
    with pytest.raises(InputError, match="SV-035 feet = 1, 2, 3, 4, 5"):
        compare(built, design)
    assert len(compare(built, design, dict.fromkeys("12345", (0.0, 1.0)))) == 5


def test_a_shape_without_the_point() -> None:
    design = ring(5)
    built = adjust(read_off(design, plan(design).readings), design)
    with pytest.raises(InputError, match="SV-025"):
        compare(built, ring(4))
