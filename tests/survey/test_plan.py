"""Is the list of readings rigid, with spares, and can it be walked?"""

from __future__ import annotations

import numpy as np
import pytest

from rafterstay.core.errors import InputError
from rafterstay.survey import Plan, adjust, parse, rigid
from rafterstay.survey.plan import CHECKED_ENOUGH, Layout, form, plan
from tests.survey.shapes import IN, SIGMA, Shape, crooked, gable, read_off, ring

FRAMES: list[tuple[str, Shape, Layout]] = [
    ("triangle", ring(3), "ring"),
    ("square", ring(4), "ring"),
    ("pentagon", ring(5), "ring"),
    ("octagon, bolts, hub and centre", ring(8, bolts=True, hub=True, centre=True), "ring"),
    ("nonagon", ring(9, bolts=True), "ring"),
    ("sixteen sides", ring(16, 5.2), "ring"),
    ("two pairs", gable(2), "pairs"),
    ("seven pairs", gable(7), "pairs"),
]


def pairs_of(planned: Plan, kind: str) -> set[frozenset[str]]:
    return {frozenset((r.start, r.end)) for r in planned.readings if r.kind == kind}


@pytest.mark.parametrize(("shape", "layout"), [f[1:] for f in FRAMES], ids=[f[0] for f in FRAMES])
def test_every_plan_is_rigid_and_checked(shape: Shape, layout: Layout) -> None:
    planned = plan(shape, layout=layout)
    found = rigid(planned.readings, shape)
    assert found.is_rigid
    assert planned.redundancy == len(planned.readings) - found.needed
    assert float(planned.checked.min()) >= CHECKED_ENOUGH
    assert set(planned.sigma) == set(shape)
    feet = [name for name in shape if name.isdigit()]
    assert max(planned.sigma[name] for name in feet) <= 4.0 * SIGMA


@pytest.mark.parametrize(("shape", "layout"), [f[1:] for f in FRAMES], ids=[f[0] for f in FRAMES])
def test_any_one_reading_may_be_lost(shape: Shape, layout: Layout) -> None:
    readings = plan(shape, layout=layout).readings
    for k in range(0, len(readings), 3):
        assert rigid([*readings[:k], *readings[k + 1 :]], shape).is_rigid


@pytest.mark.parametrize(("shape", "layout"), [f[1:] for f in FRAMES], ids=[f[0] for f in FRAMES])
def test_the_plan_foretells_what_the_adjustment_finds(shape: Shape, layout: Layout) -> None:
    planned = plan(shape, layout=layout)
    built = adjust(read_off(shape, planned.readings), shape)
    assert np.allclose(built.checked, planned.checked, atol=1e-7)
    assert np.allclose(built.hidden, planned.hidden, rtol=1e-6)
    for point in built.points:
        assert point.sigma == pytest.approx(planned.sigma[point.id], rel=1e-6)
    assert built.inseparable == ()
    assert built.unchecked == ()


def test_the_octagon_on_plan_is_the_twenty_of_the_trade() -> None:
    planned = plan(ring(8), heights=False)
    assert len(planned.readings) == 20
    assert planned.redundancy == 7
    steps = [(int(r.end) - int(r.start)) % 8 for r in planned.readings]
    assert sorted(min(s, 8 - s) for s in steps) == [1] * 8 + [2] * 8 + [4] * 4
    hidden = planned.hidden / IN
    # (3.29 + 0.84) / 16 in over the square root of the share checked: 0.41 to 0.47 in.
    assert 0.405 <= hidden.min() <= hidden.max() < 0.475


def test_walking_order_goes_round_before_it_goes_across() -> None:
    planned = plan(ring(8))
    starts = [int(r.start) for r in planned.readings]
    assert starts == [*sorted(starts[:32]), 1, 2, 3, 4]
    lengths = [r.expected for r in planned.readings if r.kind == "level"]
    assert max(lengths[:16]) < min(lengths[16:])


def test_heights_by_water_level_reach_every_foot() -> None:
    for shape, layout in ((ring(6), "ring"), (gable(4), "pairs")):
        heights = pairs_of(plan(shape, layout=layout), "height")  # type: ignore[arg-type]
        assert {name for pair in heights for name in pair} == set(shape)
        # One more than feet would close one ring; each foot needs a spare to check it.
        assert len(heights) > len(shape)


def test_expected_readings_are_those_of_the_designed_shape() -> None:
    planned = plan(gable(3, span=7.3, bay=1.22), layout="pairs")
    first = planned.readings[0]
    assert (first.start, first.end, first.expected) == ("1", "6", pytest.approx(7.3))
    assert first.how == "Plumb both marks, tape level from foot 1 to foot 6."


def test_a_repeat_is_taken_from_the_other_end() -> None:
    planned = plan(ring(4))
    again = [r for r in planned.readings if r.repeat]
    assert again
    for r in again:
        assert r.how.startswith("Again from the other end.")
        assert (r.end, r.start, r.kind) in [(o.start, o.end, o.kind) for o in planned.readings]


def test_the_form_comes_back_as_readings_once_filled_in() -> None:
    shape = ring(8, bolts=True)
    planned = plan(shape)
    text = form(planned)
    with pytest.raises(InputError, match="SV-009"):
        parse(text)
    filled = iter(read_off(crooked(shape, 3), planned.readings))
    lines = [
        line if line.startswith(("#", "from")) else f"{line[:-1]}{next(filled).value} m,"
        for line in text.splitlines()
    ]
    readings = parse("\n".join(lines), points=list(shape))
    assert [(r.start, r.end, r.kind) for r in readings] == [
        (r.start, r.end, r.kind) for r in planned.readings
    ]
    assert adjust(readings, shape).blunders == ()


@pytest.mark.parametrize(
    ("shape", "layout", "code"),
    [
        ({"1": (0, 0, 0), "2": (1, 0, 0)}, "ring", "SV-031"),
        ({"1": (0, 0, 0), "2": (1, 0, 0), "4": (1, 1, 0)}, "ring", "SV-031"),
        (ring(5), "pairs", "SV-031"),
        (ring(4) | {"t5": (0, 0, 1)}, "ring", "SV-032"),
        (ring(4) | {"ridge": (0, 0, 1)}, "ring", "SV-032"),
        (ring(4) | {"t1": (0.0, 3.6576, 0.0)}, "ring", "SV-032"),
    ],
)
def test_a_shape_that_cannot_be_planned(shape: Shape, layout: Layout, code: str) -> None:
    with pytest.raises(InputError, match=code):
        plan(shape, layout=layout)
