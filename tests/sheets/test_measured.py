"""Sheets of a crooked roof: what is measured says so, and rings of steel stay true to 0.1 mm."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from rafterstay import design, roof, sheets, shop
from rafterstay.cli.survey_frame import read_frame
from rafterstay.design import Design
from rafterstay.job import Job
from rafterstay.sheets.nouns import Sheet

from ..cli.run import EXAMPLES
from ..roof.test_as_built import _surveyed
from ..statics.roofs import Value
from ..tie.rings import plated, welded
from .test_every import crossed, judge
from .test_true_size import TRUE, in_dxf, in_svg, named

INCH = 25.4  # [mm]
SMALL: dict[str, Value] = {"tie__ring_radius": "3.6 in"}
RAISED: dict[str, Value] = {
    **SMALL,
    "tie__height": "0.3",
    "roof__hub": "ring",
    "roof__hub_radius": "13 in",
    "roof__hub_width": "2 3/4 in",
    "roof__hub_depth": "8 3/8 in",
}
MOVED = {
    "2": (0.031, 0.012, -0.021),
    "t2": (0.018, 0.009, -0.012),
    "5": (-0.008, -0.044, 0.017),
    "t5": (0.004, -0.027, 0.013),
    "7": (-0.052, 0.006, 0.009),
    "t7": (-0.033, 0.003, 0.005),
    "hub": (0.015, -0.022, 0.047),
}


def by_tape(job: Job) -> Design:
    """On the readings of the example: feet alone."""
    path = EXAMPLES / "readings" / "octagon.csv"
    return design.check(job, built=read_frame(job, roof.lay_out(job), path))


def moved(job: Job) -> Design:
    """On readings to feet, bolts and hub of a roof that stands crooked by up to 2 in."""
    return design.check(job, built=_surveyed(job, MOVED))


@pytest.fixture(scope="module")
def crooked() -> dict[str, Design]:
    return {
        "welded": by_tape(welded(tie__ring_bar="5/8 in", tie__ring_radius="2.3 in")),
        "plate": by_tape(plated(**SMALL)),
        "plate, raised": moved(plated(**RAISED)),
        "welded, raised": moved(welded(**{**RAISED, "tie__ring_radius": "2.3 in"})),
    }


def drawn(done: Design, paper: sheets.Paper = "letter") -> tuple[Sheet, ...]:
    return sheets.draw(done, paper=paper, cut=shop.cut(done.job, done.tie, done.forces))


def words(sheet: Sheet) -> str:
    return " ".join(text.text for text in sheet.scene.texts())


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("name", ["welded", "plate", "plate, raised", "welded, raised"])
def test_nothing_lies_on_anything(
    crooked: dict[str, Design], name: str, paper: sheets.Paper
) -> None:
    made = drawn(crooked[name], paper)
    judge(made)
    for sheet in made:
        assert crossed(sheet) == [], sheet.name
        assert sheet.left_out == (), sheet.name


def turned(done: Design, regular: float) -> np.ndarray:
    """Where a regular ring's places lie, turned so that squares of what legs miss are least. [rad]

    The turn is searched for, not computed.
    """
    n = done.tie.n
    out = np.asarray(done.tie.bolt_points)[:, :2] - np.asarray(done.frame.ring_centre)[:2]
    ways = np.arctan2(out[:, 0], out[:, 1])
    step = 2 * math.pi * np.arange(n) / n
    tries = np.linspace(-0.2, 0.2, 400_001)
    fit = sum(np.cos(way - at - tries) for way, at in zip(ways, step, strict=True))
    return np.asarray(step + tries[int(np.argmax(fit))] + regular)


@pytest.mark.parametrize("reader", [in_svg, in_dxf], ids=["svg", "dxf"])
@pytest.mark.parametrize("name", ["plate", "plate, raised"])
def test_holes_of_a_plate_are_true_on_a_crooked_roof(
    crooked: dict[str, Design], name: str, reader: object
) -> None:
    """Crown 3.6 in less 36 mm of shackle and half a hole of 7/16 + 1/32 in, every 45 deg."""
    sheet = named(drawn(crooked[name]), "template-ring")
    _, circles = reader(sheet)  # type: ignore[operator]
    bore = (7 / 16 + 1 / 32) * INCH
    rim = max(circles, key=lambda circle: circle[2])
    holes = np.array([c[:2] for c in circles if abs(c[2] - bore / 2) < TRUE]) - rim[:2]
    radius = 3.6 * INCH - 36.0 - bore / 2
    turn = turned(crooked[name], 0.0)
    places = radius * np.column_stack([np.sin(turn), np.cos(turn)])
    assert len(holes) == 8
    for place in places:
        assert np.linalg.norm(holes - place, axis=1).min() < TRUE
    assert rim[2] == pytest.approx(radius + 1.25 * INCH, abs=TRUE)


@pytest.mark.parametrize("reader", [in_svg, in_dxf], ids=["svg", "dxf"])
@pytest.mark.parametrize(("name", "bar"), [("welded", 0.625), ("welded, raised", 0.5)])
def test_a_welded_ring_is_true_on_a_crooked_roof(
    crooked: dict[str, Design], name: str, bar: float, reader: object
) -> None:
    """Its bar outside the crowns; crosses of the eyes on the bar's axis, every 45 deg."""
    sheet = named(drawn(crooked[name]), "template-ring")
    lines, circles = reader(sheet)  # type: ignore[operator]
    outer = max(circles, key=lambda circle: circle[2])
    sizes = sorted(circle[2] for circle in circles)[-2:]
    assert sizes == pytest.approx([2.3 * INCH, (2.3 + bar) * INCH], abs=TRUE)
    turn = turned(crooked[name], 0.0)
    axis = (2.3 + bar / 2) * INCH * np.column_stack([np.sin(turn), np.cos(turn)])
    arm = 2 * (bar / 2 * INCH + 4.0)
    middles = np.array(
        [
            line.mean(axis=0) - outer[:2]
            for line in lines
            if len(line) == 2 and abs(np.linalg.norm(line[1] - line[0]) - arm) < TRUE
        ]
    )
    for place in axis:
        # Both arms of a cross have their middle on the place.
        assert (np.linalg.norm(middles - place, axis=1) < TRUE).sum() == 2


def test_legs_on_the_plan_run_from_bolt_to_crown(crooked: dict[str, Design]) -> None:
    """Bolt to the centre of the ring, less the ring where the leg leaves it."""
    from rafterstay.core.quantities import show

    done = crooked["welded"]
    turn = turned(done, 0.0)
    centre = np.asarray(done.frame.ring_centre)
    crowns = np.column_stack([np.sin(turn), np.cos(turn), np.zeros(8)]) * 2.3 * 0.0254 + centre
    long = np.linalg.norm(np.asarray(done.frame.nodes[done.frame.bolts]) - crowns, axis=1)
    least, most = (show(float(x), "length", "us") for x in (long.min(), long.max()))
    said = words(named(drawn(done), "-plan"))
    assert f"{least} to {most}" in re.sub(r"\s+", " ", said)
    assert "bolt to eye crown" in said


def test_azimuths_stay_under_360(crooked: dict[str, Design]) -> None:
    for done in crooked.values():
        said = [text.text for text in named(drawn(done), "-pulls").scene.texts()]
        assert "360" not in said
        assert "000" in said


def test_heights_of_a_crooked_roof_say_from_where(crooked: dict[str, Design]) -> None:
    """The hub was found 47 mm over its 6 ft, the feet 1 mm up in the mean: 6'-1 13/16"."""
    made = drawn(crooked["plate, raised"])
    heads = crooked["plate, raised"].frame.nodes[crooked["plate, raised"].frame.heads, 2]
    assert heads.mean() == pytest.approx(6 * 0.3048 + 0.047, abs=0.003)
    for part in ("-hub", "-ring", "-elevation"):
        assert "the mean of the feet" in re.sub(r"\s+", " ", words(named(made, part))), part
    (hub,) = re.findall(r"bearing centre (\S+ \S+) above", words(named(made, "-hub")))
    assert hub == "6'-1 13/16\""
    assert f"Hr {hub}" in words(named(made, "-elevation"))
    assert "of all 8 hips" in re.sub(r"\s+", " ", words(named(made, "-section")))
    assert "At leg 1, drawn" in re.sub(r"\s+", " ", words(named(made, "-bolt")))
