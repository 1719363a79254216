"""Sizes as tables of 80 columns, or as one document."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

from rafterstay.checks.nouns import Check
from rafterstay.cli.contract import envelope
from rafterstay.cli.report import WIDTH, Align, printable_lines, table_text, wrapped
from rafterstay.cli.warnings import warnings_of
from rafterstay.core.cautions import cautions_for
from rafterstay.core.quantities import System, show
from rafterstay.sheets.literal import printable
from rafterstay.sheets.summary import share
from rafterstay.sheets.words import verdict_words
from rafterstay.sizing import at_best, part_of, parts_of, remedy, washers

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from rafterstay.sizing import HeightRow, Sizes

__all__ = ["size_document", "size_report"]

_CAUTIONS: Final = {1, 2, 3}
_INCH: Final = 0.0254


def size_document(sizes: Sizes, rows: Sequence[HeightRow]) -> dict[str, Any]:
    """Everything `size` answers.

    Args:
        sizes: The parts.
        rows: Heights of the tie; none where they were not asked for.

    Returns:
        The document of the contract; ``heights`` only where they were asked for.
    """
    found, job = sizes.found, sizes.job
    document = envelope(
        "size",
        job_sha256=job.sha256,
        geometry=found.frame.geometry,
        assumed=[{"key": one.key, "value": one.value, "why": one.why} for one in job.assumed],
        warnings=[{"code": one.code, "text": one.text} for one in warnings_of(found)],
        verdict=found.checks.verdict,
        parts=parts_of(job),
        target_N=found.tie.target,
        driven_by=[{"part": one.part, "check": one.check} for one in sizes.downs],
        one_size_down=[
            {
                "part": one.part,
                "name": one.name,
                "fails": one.check if one.name else None,
                "refers": one.refers,
            }
            for one in sizes.downs
        ],
        unmet=[
            {"check": one.check, "least_utilisation": one.utilisation, "parts": dict(one.parts)}
            for one in sizes.unmet
        ],
        stays=[{"check": one.id, "status": one.status, "why": one.why} for one in _stays(sizes)],
    )
    return document | ({"heights": [_height(row) for row in rows]} if rows else {})


def _height(row: HeightRow) -> dict[str, Any]:
    return {
        "height_ratio": row.share,
        "height_m": row.height,
        "stated": row.stated,
        "lower_third_ends": row.third,
        "max_pull_N": _finite(row.pull),
        "rafter_utilisation": _finite(row.rafter),
        "headroom_m": _finite(row.headroom),
        "verdict": row.verdict or None,
        "weakest": row.weakest,
        "duty": row.duty or None,
    }


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _stays(sizes: Sizes) -> list[Check]:
    """Deciding checks that do not pass with the parts found."""
    return [one for one in sizes.found.checks.checks if one.decides and one.status != "passes"]


def size_report(sizes: Sizes, rows: Sequence[HeightRow], *, with_ply: bool) -> str:
    """Everything `size` says in words.

    Args:
        sizes: The parts.
        rows: Heights of the tie; none where they were not asked for.
        with_ply: The plies were sized too.

    Returns:
        Text of at most 80 columns a line.
    """
    verdict = verdict_words(sizes.found.checks.verdict, sizes.job).upper()
    head = [
        "=" * WIDTH,
        wrapped(printable(sizes.job.title)),
        "-" * WIDTH,
        wrapped(f"With these parts: {verdict}"),
        "=" * WIDTH,
    ]
    parts = ["\n".join(head) + "\n", _parts(sizes), _kept(sizes, with_ply=with_ply)]
    beside = washers(sizes)
    parts.append(f"{wrapped(beside)}\n" if beside else "")
    parts += [_open_ends(sizes), _heights(sizes, rows) if rows else ""]
    parts.append(_cautions())
    return "\n".join(part for part in parts if part)


def _parts(sizes: Sizes) -> str:
    downs = {one.part: one for one in sizes.downs}
    rows = []
    for part, name in parts_of(sizes.job).items():
        down = downs.get(part)
        if down is not None:
            smaller = _unlike(down.name, name) if down.name else "none smaller"
            then = "" if down.name is None else "refers " if down.refers else "fails "
            rows.append((part.replace("_", " "), name, smaller, f"{then}{down.check}"))
    columns: list[tuple[str, Align]] = [
        ("Part", "left"),
        ("Size", "left"),
        ("One size down", "left"),
        ("What decides", "left"),
    ]
    met = "pass together" if not sizes.unmet else "meet together what sizes can meet"
    return f"Smallest that {met}\n{table_text(columns, rows)}"


def _unlike(name: str, other: str) -> str:
    """The words of a name from the first that differs on: the size, of parts of one make."""
    words, others = name.split(" "), other.split(" ")
    pairs = zip(words, others, strict=False)
    same = next((k for k, (one, two) in enumerate(pairs) if one != two), 0)
    return " ".join(words[same:])


def _kept(sizes: Sizes, *, with_ply: bool) -> str:
    job = sizes.job
    kept = [] if with_ply else [f"ply {job.rafter.ply} (--ply sizes it too)"]
    length = show(job.rafter.gap, "length", job.show)
    kept.append(f"gap {length}, {'with' if job.parts.eye_spacers else 'without'} eye spacers")
    if job.tie.layout == "ring":
        kept.append(f"ring radius {show(job.tie.ring_radius, 'length', job.show)}")
    kept += _ring_kept(sizes)
    pull = show(sizes.found.tie.target, "force", job.show)
    kept.append(f"target pull {pull}" if sizes.found.tie.target else "legs snug")
    return wrapped(f"Kept as stated: {'; '.join(kept)}.") + "\n"


def _ring_kept(sizes: Sizes) -> list[str]:
    """What a ring of steel is made of, besides the size that was found."""
    job = sizes.job
    steel = part_of(job)
    if steel == "ring_bar":
        return [f"bar of {job.tie.ring_steel}, weld {(job.tie.ring_weld or '').replace('-', ' ')}"]
    if steel == "plate_thickness":
        edge = show(job.tie.plate_edge or 0.0, "length", job.show)
        return [f"plate of {job.tie.ring_steel}, {edge} from hole to rim"]
    return []


def _open_ends(sizes: Sizes) -> str:
    """What no size mends, and what an engineer must decide."""
    unmet = {one.check: one for one in sizes.unmet}
    lines = []
    for check in _stays(sizes):
        said = check.why
        if check.id in unmet:
            best = unmet[check.id]
            said = f"{at_best(best, share(best.utilisation))}. {check.why}"
            said += f" {remedy(sizes, best)}" if best.utilisation > 1.0 else ""
        elif check.status == "fails":
            said = f"no part that was sized changes it. {check.why}"
        lines.append(wrapped(f"{check.id}: {said}", first="- ", rest="  "))
    if not lines:
        return ""
    return f"What no size settles\n{printable_lines(lines)}"


def _heights(sizes: Sizes, rows: Iterable[HeightRow]) -> str:
    job = sizes.job
    cells = [
        (
            _whole(row.height, job.show, math.floor(row.height / _INCH + 0.5)),
            f"{row.share:.2f}{'*' if row.stated else ''}{'^' if row.third else ''}",
            show(row.pull, "force", job.show) if row.verdict else "--",
            share(row.rafter) if math.isfinite(row.rafter) else "--",
            _headroom(row, job.show),
            {"passes": "passes", "refer": "engineer", "fails": "fails"}.get(row.verdict, "--"),
            row.weakest,
        )
        for row in rows
    ]
    columns: list[tuple[str, Align]] = [
        ("Height", "right"),
        ("Hc/Hr", "left"),
        ("Pull", "right"),
        ("Rafter", "right"),
        ("Head-room", "right"),
        ("Verdict", "left"),
        ("Weakest", "left"),
    ]
    note = wrapped(
        "* as stated. ^ the lower third of the rise ends: above it the code's tables have no "
        "rafter ties, and an engineer must decide. Height and head-room count from the plate: "
        "add the height of the wall. Rafter is the fullest check of the rafter."
    )
    return f"Height of the tie, with these parts\n{table_text(columns, cells)}{note}\n"


def _headroom(row: HeightRow, system: System) -> str:
    """Head-room rounded down; a ring that hangs below the plate leaves none."""
    if not row.verdict:
        return "--"
    room = max(0.0, row.headroom)
    return _whole(room, system, math.floor(room / _INCH))


def _whole(length: float, system: System, inches: int) -> str:
    """A length in whole inches, or in metres to 10 mm."""
    return show(inches * _INCH, "length", "us") if system == "us" else f"{length:.2f} m"


def _cautions() -> str:
    lines = [
        wrapped(one.text, first=f"{one.number:>2}. ", rest="    ")
        for one in cautions_for("check")
        if one.number in _CAUTIONS
    ]
    return f"Cautions\n{printable_lines(lines)}"
