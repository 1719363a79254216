"""The right-hand side of a sheet: the weakest parts in words, and the title block."""

from __future__ import annotations

import textwrap
from typing import Final

from rafterstay import __version__
from rafterstay.core.cautions import cautions_for
from rafterstay.core.quantities import show
from rafterstay.sheets.literal import clipped, printable
from rafterstay.sheets.scene import ADVANCE, Path, Scene, Text
from rafterstay.sheets.summary import (
    Designed,
    asks_and_gives,
    largest_pull,
    least_pull,
    leg_pulls,
    ring_pull,
    share,
)
from rafterstay.sheets.words import GEOMETRY, status_words, verdict_words

__all__ = ["draw_border", "draw_panel"]

_LAID_OUT: Final = {"ring": "", "band": ", a band round the plate", "cross": ", straight across"}
_PAD: Final = 4.0
_SIZE: Final = 2.6
_STEP: Final = 3.8
_BLOCK: Final = 62.0  # height of the title block
_CAUTION_BAND: Final = 9.5
_SHOWN: Final = 6  # parts in the weakest-first list


def draw_border(scene: Scene, margin: float, panel_left: float) -> None:
    """Frame the sheet, set off the panel, and letter the cautions along the foot.

    Args:
        scene: Where to draw.
        margin: Paper left around the frame. [mm]
        panel_left: Where the panel starts. [mm]
    """
    right, top = scene.width - margin, scene.height - margin
    corners = ((margin, margin), (right, margin), (right, top), (margin, top))
    scene.add(Path("border", corners, closed=True))
    scene.line("rule", (panel_left, margin), (panel_left, top))
    scene.line("rule", (margin, margin + _CAUTION_BAND), (panel_left, margin + _CAUTION_BAND))
    first = cautions_for("plan")[0].text.split(". ")[:2]
    hold = next(caution for caution in cautions_for("plan") if caution.number == 4)
    for count, line in enumerate((". ".join(first).rstrip(".") + ".", hold.text)):
        size = min(2.1, (panel_left - margin - 2 * _PAD) / (len(line) * ADVANCE))
        at = (margin + _PAD, margin + _CAUTION_BAND - 3.6 * (count + 1))
        scene.add(Text("text", at, line, size))


def draw_panel(scene: Scene, design: Designed, left: float, scale: int) -> None:
    """Letter the panel of a sheet.

    Args:
        scene: Where to draw.
        design: A finished design.
        left: Left edge of the panel. [mm]
        scale: Drawing scale, 1 to this.
    """
    margin = _margin(scene, left)
    columns = int((scene.width - margin - left - 2 * _PAD) / (_SIZE * ADVANCE))
    y = scene.height - margin - 8.0
    large = 4.2
    title = textwrap.wrap(printable(design.job.title), int(columns * _SIZE / large)) or ["Untitled"]
    for line in title[:2]:
        words = clipped(line, int(columns * _SIZE / large))
        scene.add(Text("text", (left + _PAD, y), words, large, bold=True))
        y -= 5.6
    y = _lines(scene, left, y, textwrap.wrap(_tie_in_words(design), columns))
    scene.line("rule", (left + _PAD, y - 0.6), (scene.width - margin - _PAD, y - 0.6))
    scene.add(Text("text", (left + _PAD, y - 6.0), "Weakest first", 3.2, bold=True))
    y -= 12.0
    for number, check in enumerate(design.checks.checks[:_SHOWN], start=1):
        asked, given = asks_and_gives(check, design.job.show)
        used = "" if check.utilisation is None else f"{share(check.utilisation)}, "
        where = check.part + (f", leg {check.leg}" if check.leg is not None else "")
        advice = "" if check.decides else " (advice)"
        said = status_words(check.status, design.job)
        heading = clipped(f"{number} {where}: {used}{said}{advice}", columns)
        scene.add(Text("text", (left + _PAD, y), heading, _SIZE, bold=True))
        figures = f"  asks {asked}" + ("" if given == "-" else f", gives {given}")
        detail = [f"  {check.id} {check.combination}"]
        detail = detail if asked == "-" else [figures, *detail]
        y = _lines(scene, left, y - _STEP, [clipped(line, columns) for line in detail]) - 1.6
        if y < margin + _BLOCK + 3 * _STEP:
            break
    _title_block(scene, design, left, scale)


def _margin(scene: Scene, left: float) -> float:
    """Paper outside the frame, which ``draw_border`` drew first."""
    border = next(s for s in scene.shapes if isinstance(s, Path) and s.layer == "border")
    return min(x for x, _ in border.points) if left else 0.0


def _lines(scene: Scene, left: float, y: float, lines: list[str]) -> float:
    """Letter plain lines; the base line of the next one comes back."""
    for line in lines:
        scene.add(Text("text", (left + _PAD, y), line, _SIZE))
        y -= _STEP
    return y


def _tie_in_words(design: Designed) -> str:
    """Where the tie hangs and what it is made of."""
    tie, system = design.tie, design.job.show
    rise = float(design.frame.nodes[design.frame.heads, 2].mean())
    return printable(
        f"Tie {show(tie.height, 'length', system)} above the plate of "
        f"{show(rise, 'length', system)} rise{_LAID_OUT[tie.layout]}. "
        f"Legs {tie.rope.name}. {_ring_in_words(design)}"
        f"Turnbuckles {tie.turnbuckle.name}. Bolts {tie.bolt.name}."
    )


def _ring_in_words(design: Designed) -> str:
    tie = design.tie
    if tie.layout != "ring":
        return ""
    radius = show(tie.ring_radius, "length", design.job.show)
    return f"Ring {radius} radius, {tie.ring_said}. "


def _title_block(scene: Scene, design: Designed, left: float, scale: int) -> None:
    """The verdict in words over the figures a reader asks for first."""
    margin = _margin(scene, left)
    right, top = scene.width - margin, margin + _BLOCK
    scene.line("border", (left, top), (right, top))
    verdict = verdict_words(design.checks.verdict, design.job)
    scene.add(Text("text", (left + _PAD, top - 8.0), verdict, 4.6, bold=True))
    scene.line("rule", (left, top - 12.0), (right, top - 12.0))
    y = top - 17.0
    for name, value in _figures(design, scale):
        scene.add(Text("text", (left + _PAD, y), name, _SIZE))
        scene.add(Text("text", (right - _PAD, y), value, _SIZE, "end", bold=True))
        y -= 5.2
    scene.line("rule", (left, y + 2.2), (right, y + 2.2))
    geometry = GEOMETRY[design.frame.geometry]
    said = f"{geometry[0].upper()}{geometry[1:]}."
    scene.add(Text("text", (left + _PAD, y - 2.2), said, _SIZE, bold=True))
    stamp = f"job {design.job.sha256[:10]}, rafterstay {__version__}"
    scene.add(Text("text", (left + _PAD, y - 6.2), stamp, 2.2))


def _figures(design: Designed, scale: int) -> list[tuple[str, str]]:
    """Names and values of the title block."""
    system = design.job.show
    pulls = leg_pulls(design)
    most, least = largest_pull(pulls), least_pull(pulls)
    spread, ring = float(design.forces.spread.max()), ring_pull(design)
    return [
        ("Largest pull", f"{show(most.most, 'force', system)}, leg {most.leg}"),
        ("Least pull", f"{show(least.least, 'force', system)}, leg {least.leg}"),
        *([] if ring is None else [("Ring pull", show(ring, "force", system))]),
        ("Walls spread", show(spread, "length", system)),
        ("Snow", _snow(design)),
        ("Scale", f"1 : {scale}"),
    ]


def _snow(design: Designed) -> str:
    snow, system = design.job.loads.snow, design.job.show
    if snow.ground is not None:
        return f"{show(snow.ground, 'pressure', system)} on the ground"
    return f"{show(snow.roof or 0.0, 'pressure', system)} on plan"
