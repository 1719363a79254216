"""The height of the tie as a drawing: half a section, a line at every height, figures beside."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from rafterstay.core.quantities import System, show
from rafterstay.job import Job
from rafterstay.sheets.scene import Path, Scene, Text
from rafterstay.sheets.summary import share
from rafterstay.sizing import HeightRow
from rafterstay.web.ink import to_markup

__all__ = ["heights_markup", "said_of_height", "written_height"]

_INCH: Final = 0.0254
_WIDE: Final = 100.0  # of the view box
_SECTION: Final = 25.0
_ROW: Final = 7.2
_LETTERS: Final = 3.6
# Where the columns start; the last one ends there.
_HEIGHT, _PULL, _RAFTER, _VERDICT = 33.5, 50.0, 67.5, 98.5
_LONGEST: Final = 15.0  # line under the largest pull
_SHORT: Final = {"passes": "passes", "refer": "engineer", "fails": "fails"}


def heights_markup(job: Job, rows: Sequence[HeightRow], *, provisional: bool = False) -> str:
    """Draw a sweep of heights.

    Args:
        job: As stated.
        rows: Heights of the tie, lowest first.
        provisional: Some answers are stand-ins: nothing is said to pass.

    Returns:
        An ``svg`` element. Under each pull a line as long as the pull.
    """
    scene = Scene(_WIDE, _ROW * (len(rows) + 1.6), "Height of the tie")
    half = _half_span(job)
    per = min(_SECTION / half, (scene.height - 10.0) / job.roof.rise)
    floor = max(3.0, (scene.height - job.roof.rise * per) / 2)
    right = 1.5 + half * per
    head = _head(job) * per
    scene.part = "rafter"
    scene.add(Path("hip", ((1.5, floor), (right - head, floor + job.roof.rise * per))))
    scene.add(Path("plate", ((1.5, floor), (1.5, max(0.0, floor - 4.0)))))
    scene.part = ""
    most = max((row.pull for row in rows if row.verdict), default=1.0)
    for number, row in enumerate(rows):
        word = _short(row, provisional=provisional)
        y, ends = _ROW * (number + 0.7), (floor, per, right)
        _draw_row(scene, job, row, y=y, ends=ends, most=most, word=word)
    top = scene.height - 3.4
    for x, word, anchor in (
        (_HEIGHT, "Hc", "start"),
        (_PULL, "pull", "start"),
        (_RAFTER, "rafter", "start"),
        (_VERDICT, "verdict", "end"),
    ):
        scene.add(Text("dimension", (x, top), word, 3.2, anchor))  # type: ignore[arg-type]
    said = "Half a section with the tie at each height; the table below has the same figures"
    return to_markup(scene, id="heights", said=said, link=lambda _: None)


def _draw_row(
    scene: Scene,
    job: Job,
    row: HeightRow,
    *,
    y: float,
    ends: tuple[float, float, float],
    most: float,
    word: str,
) -> None:
    """The tie at one height, a leader from it, and its figures."""
    floor, per, right = ends
    system = job.show
    at = floor + row.height * per
    bolt = 1.5 + (_half_span(job) - _head(job)) * row.share * per
    scene.part = "stated" if row.stated else ""
    scene.add(Path("leg" if row.stated else "leg-fine", ((bolt, at), (right, at))))
    scene.part = ""
    knee = ((right + 1.5, at), (_HEIGHT - 2.0, y + 1.2))
    scene.add(Path("leader", ((right, at), *knee, (_HEIGHT - 0.8, y + 1.2))))
    bold = row.stated
    words = _rounded(row.height, system)
    scene.add(Text("text", (_HEIGHT, y), words, _LETTERS, bold=bold))
    if not row.verdict:
        scene.add(Text("text", (_PULL, y), f"no answer: {row.weakest}", _LETTERS))
    else:
        scene.add(Text("text", (_PULL, y), show(row.pull, "force", system), _LETTERS, bold=bold))
        long = _LONGEST * row.pull / most
        scene.add(Path("leg", ((_PULL, y - 1.6), (_PULL + long, y - 1.6))))
        over = row.rafter > 1.0
        used = share(row.rafter) if math.isfinite(row.rafter) else "-"
        scene.add(Text("text", (_RAFTER, y), used, _LETTERS, bold=over))
        if math.isfinite(row.rafter):
            pen = "governing" if over else "hip"
            thin = 6.0 * min(row.rafter, 1.4)
            scene.add(Path(pen, ((_RAFTER, y - 1.6), (_RAFTER + thin, y - 1.6))))
        scene.add(Text("text", (_VERDICT, y), word, _LETTERS, "end", bold=row.verdict == "fails"))
    if row.third:
        scene.line("dimension", (_HEIGHT, y + 4.6), (_VERDICT, y + 4.6))


def _short(row: HeightRow, *, provisional: bool) -> str:
    if row.verdict == "passes" and provisional:
        return "so far"
    return _SHORT.get(row.verdict, "")


def said_of_height(row: HeightRow, system: System, *, provisional: bool = False) -> dict[str, str]:
    """The figures of one height as a table shows them."""
    none = not row.verdict
    return {
        "height": _rounded(row.height, system),
        "share": "the plate" if row.share == 0.0 else f"{_fraction(row.share)} of the rise",
        "pull": "-" if none else show(row.pull, "force", system),
        "rafter": share(row.rafter) if math.isfinite(row.rafter) else "-",
        "room": "-" if none else _rounded(max(0.0, row.headroom), system, down=True),
        "verdict": f"no answer ({row.weakest})" if none else _short(row, provisional=provisional),
        "weakest": "" if none else row.weakest.replace("-", " "),
        "duty": row.duty,
    }


def _rounded(length: float, system: System, *, down: bool = False) -> str:
    """A length in whole inches, or in metres to 10 mm: no tie is hung nearer than that."""
    step = _INCH if system == "us" else 0.01
    steps = math.floor(length / step + (1e-6 if down else 0.5))
    return show(steps * _INCH, "length", "us") if system == "us" else f"{steps * step:.2f} m"


def written_height(row: HeightRow) -> str:
    """The height as the job file states it.

    Returns:
        A fraction of the rise.
    """
    return _fraction(row.share)


def _fraction(value: float) -> str:
    near = Fraction(value).limit_denominator(12)
    return str(near) if abs(float(near) - value) < 1e-6 else f"{value:.3f}"


def _half_span(job: Job) -> float:
    """Foot to the middle, on plan. [m]"""
    return job.roof.span / 2 if job.roof.shape == "gable" else job.roof.plate_radius


def _head(job: Job) -> float:
    """Head to the middle, on plan. [m]"""
    return 0.0 if job.roof.shape == "gable" else job.roof.hub_radius
