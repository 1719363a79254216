"""The packet for the counter, on four pages."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from rafterstay.core.cautions import CAUTIONS
from rafterstay.packet.hanging import hold_points
from rafterstay.packet.literal import Words
from rafterstay.packet.nouns import Block, Column, Page, Told, blanks, heading, listed, para, ruled
from rafterstay.packet.opening import cover_blocks, job_rows
from rafterstay.packet.strength import (
    check_block,
    free_body_blocks,
    pulls_table,
    ranking_table,
)
from rafterstay.sheets.summary import Designed, leg_pulls

__all__ = ["brief_pages"]

_LEGS: Final = 16  # rows of pulls that the page has room for
_CHECKS: Final = 24
_WORKED: Final = 3
_LINES: Final = 10  # of a check's working
_KEYS: Final = (
    "roof.plate_radius",
    "roof.span",
    "roof.rise",
    "roof.hub",
    "support.walls",
    "loads.basis",
    "loads.dead",
    "loads.snow.roof",
    "loads.snow.ground",
    "loads.roof_live",
    "loads.wind.uplift",
    "rafter.species",
    "rafter.grade",
    "rafter.ply",
    "rafter.plies",
    "tie.layout",
    "tie.height",
    "tie.ring",
    "parts.rope",
    "parts.ring_rope",
    "parts.turnbuckle",
    "parts.bolt",
    "pretension.target",
    "limits.spread",
)


def brief_pages(
    design: Designed, title: str, told: Sequence[Told], drawn: Block, words: Words
) -> tuple[Page, ...]:
    """Cover, strength, geometry and balance, working and hold points.

    Args:
        design: A finished design.
        title: Of the job, as it is printed.
        told: What the reader must know.
        drawn: The plan.
        words: How other people's words are printed.

    Returns:
        Four pages, each held to one.
    """
    return (
        Page((*cover_blocks(design, title, told), *_criteria(design, words)), held=True),
        Page((para("Pulls and weakest part", "title"), *_strength(design)), held=True),
        Page(
            (
                para("Plan and free body", "title"),
                drawn | {"width": 94.0},
                *free_body_blocks(design),
            ),
            held=True,
        ),
        Page((para("Working, hold points, cautions", "title"), *_closing(design)), held=True),
    )


def _criteria(design: Designed, words: Words) -> list[Block]:
    rows = [row for row in job_rows(design.job, words) if row[0].removesuffix(" *") in _KEYS]
    columns = [Column("Key", width=0.9), Column("Value", width=1), Column("What it is", width=2)]
    return [heading("Criteria"), ruled(columns, rows, size=0.8)]


def _strength(design: Designed) -> list[Block]:
    pulls = sorted(leg_pulls(design), key=lambda one: -round(one.most, 3))
    shown = sorted(pulls[:_LEGS], key=lambda one: one.leg)
    left = len(pulls) - len(shown)
    blocks = [heading("Pull of each leg"), pulls_table(shown, design)]
    if left:
        blocks.append(para(f"{left} more legs pull no harder than these.", "small"))
    count = len(design.checks.checks)
    blocks += [heading("Weakest first"), ranking_table(design, _CHECKS)]
    if count > _CHECKS:
        blocks.append(para(f"{count - _CHECKS} more checks are used less than these.", "small"))
    return blocks


def _closing(design: Designed) -> list[Block]:
    """The working of the fullest checks that have some, those short enough for the page."""
    checks = [
        (number, check)
        for number, check in enumerate(design.checks.checks, start=1)
        if check.decides and check.working
    ]
    worked = [one for one in checks if len(one[1].working) <= _LINES][:_WORKED]
    blocks: list[Block] = [check_block(check, number, design) for number, check in worked]
    blocks += [
        heading("Hold points"),
        listed(hold_points(design), size=0.86),
        heading("Cautions"),
        listed((CAUTIONS[k].text for k in (0, 1, 2, 3, 11, 14)), size=0.86),
        para("The full packet holds every check's working, the records and all cautions.", "small"),
        blanks(["Reviewed by", "Date"]),
    ]
    return blocks
