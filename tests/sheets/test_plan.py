"""The plan: nothing lies on anything else, and what is lettered is what was found."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest
from shapely import LineString, Polygon

from rafterstay.sheets.as_svg import to_svg
from rafterstay.sheets.plan import draw_plan
from rafterstay.sheets.scene import Circle, Path, Scene, Text, overlap

from .designs import Built, built

SIZES = [
    (3, {}),
    (4, {"height": 0.66, "plate_radius": 2.1}),
    (5, {"height": 0.0}),
    (8, {"height": 0.0, "plate_radius": 3.66}),
    (10, {}),
    (11, {"pull": 61_000.0}),
    (16, {"plate_radius": 5.2, "ring_radius": 0.4, "show": "si"}),
    (24, {"plate_radius": 6.0, "ring_radius": 0.5, "height": 0.5}),
    (37, {"plate_radius": 7.3, "ring_radius": 0.7, "height": 0.2}),
    (64, {"plate_radius": 9.0, "ring_radius": 1.1}),
    (64, {"plate_radius": 14.0, "ring_radius": 1.1, "pull": 61_000.0, "show": "si"}),
]


@pytest.fixture(params=SIZES, ids=lambda size: f"n={size[0]}")
def drawn(request: pytest.FixtureRequest) -> tuple[Built, Scene]:
    n, size = request.param
    design = built(n, **size)
    return design, draw_plan(design)


def leg_labels(scene: Scene) -> list[Text]:
    """Lettering along the legs: the only text of the text layer that is turned or centred."""
    return [text for text in scene.texts() if text.layer == "text" and text.anchor == "middle"]


def test_no_lettering_overlaps(drawn: tuple[Built, Scene]) -> None:
    texts = drawn[1].texts()
    clashes = [
        (one.text, other.text)
        for count, one in enumerate(texts)
        for other in texts[count + 1 :]
        if overlap(one.box(), other.box())
    ]
    assert clashes == []


def test_no_lettering_leaves_the_frame(drawn: tuple[Built, Scene]) -> None:
    scene = drawn[1]
    frame = next(s for s in scene.shapes if isinstance(s, Path) and s.layer == "border")
    outside = [
        text.text for text in scene.texts() if not Polygon(frame.points).covers(Polygon(text.box()))
    ]
    assert outside == []


def test_leg_labels_lie_clear_of_what_is_drawn(drawn: tuple[Built, Scene]) -> None:
    scene = drawn[1]
    inked = [
        LineString([*shape.points, *shape.points[: 1 if shape.closed else 0]])
        for shape in scene.shapes
        if isinstance(shape, Path) and shape.layer not in ("hatch", "clear", "border", "rule")
    ]
    boxes = [Polygon(text.box(-0.05)) for text in leg_labels(scene)]
    assert [line for line in inked if any(line.intersects(box) for box in boxes)] == []


def test_leg_numbers_do_not_touch(drawn: tuple[Built, Scene]) -> None:
    design, scene = drawn
    rings = [s for s in scene.shapes if isinstance(s, Circle) and s.layer == "number"]
    assert len(rings) == design.frame.n
    for one, other in zip(rings, [*rings[1:], rings[0]], strict=True):
        assert math.dist(one.centre, other.centre) > one.radius + other.radius


def test_each_leg_is_lettered_with_its_own_pull(drawn: tuple[Built, Scene]) -> None:
    """Label k lies nearest to leg k, and tells its pull in the state that is drawn."""
    design, scene = drawn
    n = design.frame.n
    pulls = design.forces.leg_pull
    row = 1 + int(pulls[1:].max(axis=1).argmax())
    plate = next(s for s in scene.shapes if isinstance(s, Path) and s.layer == "plate")
    centre = np.mean(plate.points, axis=0)
    for leg, label in enumerate(leg_labels(scene)):
        middle = np.mean(label.box(), axis=0) - centre
        turn = math.degrees(math.atan2(middle[0], middle[1])) % 360
        off = abs((turn - 360 * leg / n + 180) % 360 - 180)
        assert off < 180 / n
        figure = float(re.match(r"[\d.]+", label.text)[0])
        unit = 1000.0 if design.job.show == "si" else 4.4482216
        assert figure * unit == pytest.approx(pulls[row, leg], abs=0.51 * min(unit, 10.0))


def test_legs_number_clockwise_from_the_top() -> None:
    scene = draw_plan(built(7))
    numbers = [text for text in scene.texts() if text.layer == "number"]
    assert [text.text for text in numbers] == list("1234567")
    top = numbers[0].at
    assert all(text.at[1] < top[1] for text in numbers[1:])
    assert numbers[1].at[0] > top[0] > numbers[-1].at[0]


@pytest.mark.parametrize("towards", [0.0, 18.0, 54.0])
def test_the_hatch_lies_on_the_snow_side(towards: float) -> None:
    design = built(10)
    states = design.forces.states
    row = next(i for i, s in enumerate(states) if s.case.direction_deg == towards)
    pulls = np.array(design.forces.leg_pull)
    pulls[row] *= 3.0
    scene = draw_plan(replace(design, forces=replace(design.forces, leg_pull=pulls)))
    plate = next(s for s in scene.shapes if isinstance(s, Path) and s.layer == "plate")
    cx, cy = np.mean(plate.points, axis=0)
    toward = (math.sin(math.radians(towards)), math.cos(math.radians(towards)))
    lines = [s for s in scene.shapes if isinstance(s, Path) and s.layer == "hatch"]
    assert len(lines) > 20
    for line in lines:
        for x, y in line.points:
            assert (x - cx) * toward[0] + (y - cy) * toward[1] > -1e-9
    assert any(f"D+S/unbalanced-{towards:03.0f}" in text.text for text in scene.texts())


def test_without_one_sided_snow_nothing_is_hatched() -> None:
    design = built(6)
    forces = design.forces
    one = {
        name: getattr(forces, name)[:1] for name in forces.__dataclass_fields__ if name != "setting"
    }
    scene = draw_plan(replace(design, forces=replace(forces, **one)))
    assert not [s for s in scene.shapes if isinstance(s, Path) and s.layer == "hatch"]
    assert any(text.text == "Pulls are those of D+S/balanced." for text in scene.texts())


def test_a_slack_leg_says_so() -> None:
    design = built(9)
    slack = np.array(design.forces.slack)
    slack[:, 4] = True
    scene = draw_plan(replace(design, forces=replace(design.forces, slack=slack)))
    assert leg_labels(scene)[4].text == "slack"
    assert len([s for s in scene.shapes if s.layer == "slack"]) == 1


@pytest.mark.parametrize(
    ("n", "words"),
    [
        # By hand, R = 3.45 m: 2 R = 6.9 m = 271.65 in; R (1 + cos(180/7)) = 6.5583 m = 258.20 in.
        (10, "across corners 22'-7 5/8\""),
        (7, "corner to far side 21'-6 3/16\""),
    ],
)
def test_the_dimension_can_be_taped(n: int, words: str) -> None:
    scene = draw_plan(built(n, plate_radius=3.45))
    assert [text.text for text in scene.texts() if text.layer == "dimension"] == [words]


def test_drawn_to_the_scale_that_is_lettered() -> None:
    design = built(8, plate_radius=3.45)
    scene = draw_plan(design)
    said = next(text.text for text in scene.texts() if text.text.startswith("1 : "))
    plate = next(s for s in scene.shapes if isinstance(s, Path) and s.layer == "plate")
    across = math.dist(plate.points[0], plate.points[4])
    assert across * int(said.removeprefix("1 : ")) == pytest.approx(2 * 3450.0)


def test_the_sheet_says_verdict_geometry_and_caution() -> None:
    said = [text.text for text in draw_plan(built(8)).texts()]
    assert {"Does not pass", "As designed, not measured."} <= set(said)
    assert any(line.startswith("This is not an engineer's approval") for line in said)


@pytest.mark.parametrize(("show", "paper"), [("us", (279.4, 215.9)), ("si", (297.0, 210.0))])
def test_paper_follows_the_units(show: str, paper: tuple[float, float]) -> None:
    scene = draw_plan(built(8, show=show))
    assert (scene.width, scene.height) == paper


@pytest.mark.parametrize(
    "title",
    ["", "a" * 120, "<b>&amp; [red]room[/red] {x}", "many short words " * 7, "屋根の部屋" * 12],
)
def test_any_title_stays_in_its_place(title: str) -> None:
    scene = draw_plan(built(8, title=title))
    texts = scene.texts()
    for count, one in enumerate(texts):
        assert not any(overlap(one.box(), other.box()) for other in texts[count + 1 :])
        assert max(x for x, _ in one.box()) < scene.width - 8.0
    to_svg(scene)
