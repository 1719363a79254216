"""Every sheet of every example and of 200 random jobs: nothing lies on anything, nothing leaves."""

from __future__ import annotations

import random
import re
from dataclasses import replace
from itertools import combinations
from pathlib import Path as File

import numpy as np
import pytest
from shapely import LineString, Point, Polygon

from rafterstay import design, sheets, shop
from rafterstay.core.errors import InputError, Mechanism, NotConverged
from rafterstay.design import Design
from rafterstay.job.examples import example
from rafterstay.sheets.nouns import Sheet
from rafterstay.sheets.scene import CAPITAL, Circle, Path, Text, overlap
from rafterstay.shop import Cutting

from ..contract.tree import ROOT
from ..statics.roofs import stated
from .whole import designed

EXAMPLES = sorted(path.stem for path in File(ROOT / "examples").glob("*.toml"))
ODD = [
    'Bob\'s "big" <b>roof</b> & co. {x} \\P %%c',
    "\U0001f600 roof \U0001f3da\ufe0f 屋根 крыша",
    "שלום \u202eabc\u202c سقف",
    "x" * 10_000,
    "a b " * 2_500,
    "\t\n \x00 \x1b[31m",
    "",
]


def cutting(done: Design) -> Cutting | None:
    try:
        return shop.cut(done.job, done.tie, done.forces)
    except InputError:
        return None


def bounds(corners: tuple[tuple[float, float], ...]) -> tuple[float, float, float, float]:
    points = np.array(corners)
    return (*points.min(axis=0), *points.max(axis=0))


def overlapping(texts: tuple[Text, ...]) -> list[tuple[str, str]]:
    boxes = [(text.text, text.box(), bounds(text.box())) for text in texts]
    return [
        (one[0], two[0])
        for one, two in combinations(boxes, 2)
        if one[2][0] < two[2][2]
        and two[2][0] < one[2][2]
        and one[2][1] < two[2][3]
        and two[2][1] < one[2][3]
        and overlap(one[1], two[1])
    ]


def outside(sheet: Sheet) -> list[str]:
    """Lettering outside the outermost frame; of a tile, whose strip has none, outside the paper."""
    frame = next(s for s in sheet.scene.shapes if isinstance(s, Path) and s.layer == "border")
    left, low, right, high = bounds(frame.points)
    if "template" in sheet.name:
        left, low, right, high = 6.0, 6.0, sheet.width_mm - 6.0, sheet.height_mm - 6.0
    return [
        text.text
        for text in sheet.scene.texts()
        for x0, y0, x1, y1 in [bounds(text.box())]
        if x0 < left or y0 < low or x1 > right or y1 > high
    ]


def beyond(sheet: Sheet) -> list[str]:
    """Layers of lines and circles that leave the frame; of a template, the paper's printed part."""
    frame = next(s for s in sheet.scene.shapes if isinstance(s, Path) and s.layer == "border")
    left, low, right, high = bounds(frame.points)
    if "template" in sheet.name:
        left, low, right, high = 6.0, 6.0, sheet.width_mm - 6.0, sheet.height_mm - 6.0
    found = []
    for shape in sheet.scene.drawn():
        if isinstance(shape, Text):
            continue
        if isinstance(shape, Circle):
            (x, y), r = shape.centre, shape.radius
            box = (x - r, y - r, x + r, y + r)
        else:
            box = bounds(shape.points)
        slip = 1e-6
        inside = box[0] >= left - slip and box[1] >= low - slip
        if not (inside and box[2] <= right + slip and box[3] <= high + slip):
            found.append(f"{shape.layer} {np.round(box, 1)}")
    return found


def crossed(sheet: Sheet) -> list[str]:
    """Lettering that a line or circle runs through; hatching and frames do not count."""
    lines = []
    for shape in sheet.scene.drawn():
        if isinstance(shape, Text) or shape.layer in ("hatch", "grain", "clear"):
            continue
        if isinstance(shape, Circle):
            lines.append(Point(shape.centre).buffer(shape.radius).exterior)
        else:
            lines.append(LineString([*shape.points, *shape.points[: 1 if shape.closed else 0]]))
    boxes = [(text.text, Polygon(text.box(-0.25))) for text in sheet.scene.texts()]
    return [words for words, box in boxes if any(line.intersects(box) for line in lines)]


def judge(drawn: tuple[Sheet, ...]) -> None:
    assert len({sheet.name for sheet in drawn}) == len(drawn)
    for sheet in drawn:
        texts = sheet.scene.texts()
        assert overlapping(texts) == [], sheet.name
        assert outside(sheet) == [], sheet.name
        assert beyond(sheet) == [], sheet.name
        least = 5.0 if "card" in sheet.name else 2.5
        assert min(text.size for text in texts) * CAPITAL >= least, sheet.name


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("name", EXAMPLES)
def test_examples(name: str, paper: sheets.Paper) -> None:
    done = designed(stated(name) if name == "octagon" else _example(name))
    drawn = sheets.draw(done, paper=paper, cut=cutting(done), revision="C", date="1 May 2026")
    judge(drawn)
    for sheet in drawn:
        assert crossed(sheet) == [], sheet.name
        assert sheet.left_out == (), sheet.name


def _example(name: str) -> design.Job:
    from rafterstay import job

    return job.loads(example(name))


def random_design(seed: int) -> Design | None:
    """A roof of 3 to 24 sides, its measures, parts, units and title drawn by a fixed seed."""
    toss = random.Random(seed)
    sides = toss.randint(3, 24)
    layout = toss.choice(["ring", "ring", "ring", "band", "cross"])
    if layout == "cross":
        sides += sides % 2
    changes = {
        "job__show": toss.choice(["us", "si"]),
        "roof__sides": sides,
        "roof__plate_radius": f"{toss.uniform(5.0, 26.0):.2f} ft",
        "roof__rise": f"{toss.uniform(3.0, 14.0):.2f} ft",
        "tie__layout": layout,
        "tie__height": "0" if layout == "band" else f"{toss.uniform(0.0, 0.6):.2f}",
        "tie__ring_radius": f"{toss.uniform(4.0, 30.0):.1f} in",
        "rafter__ply": toss.choice(["2x8", "2x10", "2x12"]),
        "parts__eye_spacers": toss.random() < 0.5,
    }
    if toss.random() < 0.5:
        changes |= {"roof__hub": "disc", "roof__hub_radius": f"{toss.uniform(3.0, 14.0):.1f} in"}
    title = toss.choice([*ODD, f"Roof {seed}", "long " * toss.randint(1, 60)])
    try:
        return titled(design.check(stated("octagon", **changes), only={"D+S/balanced"}), title)
    except (InputError, Mechanism, NotConverged):
        return None


def titled(done: Design, title: str) -> Design:
    """The same under a title that the job file would refuse."""
    return replace(done, job=replace(done.job, title=title))


@pytest.mark.parametrize("block", range(8))
def test_random_jobs(block: int) -> None:
    """200 jobs that stand; those the statics refuse are drawn anew from the next seed."""
    drawn, seed = 0, 10_000 * block
    while drawn < 25:
        seed += 1
        done = random_design(seed)
        if done is None:
            continue
        drawn += 1
        paper: sheets.Paper = "letter" if seed % 2 else "a4"
        made = sheets.draw(done, paper=paper, cut=cutting(done) if seed % 3 else None)
        try:
            judge(made)
        except AssertionError as fault:
            raise AssertionError(f"seed {seed}, {paper}") from fault


@pytest.mark.parametrize("words", ODD)
def test_odd_words_are_printed_or_cut_with_a_mark(words: str) -> None:
    done = titled(designed(stated("octagon")), words)
    drawn = sheets.draw(done, revision=words, date=words, cut=cutting(done))
    judge(drawn)
    shown = "".join(c if c.isprintable() else ascii(c)[1:-1] for c in words.replace("\n", " "))
    first = (shown.split() or [""])[0][:12]
    for sheet in drawn:
        texts = [text.text for text in sheet.scene.texts()]
        assert any(first in text for text in texts)
        if len(words) > 200:
            assert "job.title" in sheet.shortened
            assert any(text.endswith("...") for text in texts)
    assert b"%PDF" in sheets.pdf(drawn[:2])[:8]
    assert all(re.match(r"[\w-]+$", sheet.name) for sheet in drawn)


def test_every_kind_of_sheet_is_there() -> None:
    done = designed(stated("octagon"))
    names = {re.sub(r"^\d+-|-\d+$", "", s.name) for s in sheets.draw(done, cut=cutting(done))}
    assert names == {
        *("plan", "section", "elevation", "bolt", "eye", "ring", "hub", "turnbuckle", "loads"),
        *("pulls", "template-ring", "template-rafter", "template-eye", "card"),
    }


def test_sheets_are_numbered_through() -> None:
    drawn = sheets.draw(designed(stated("octagon")))
    for number, sheet in enumerate(drawn, start=1):
        words = f"Sheet {number} of {len(drawn)}"
        assert words in [text.text for text in sheet.scene.texts()]
