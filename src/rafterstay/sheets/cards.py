"""Ladder cards: one job a card, in letters that are read at arm's length."""

from __future__ import annotations

from typing import Final

import numpy as np

from rafterstay.core.cautions import CAUTIONS
from rafterstay.sheets.desk import LINE, MARGIN, Box, Desk, columns
from rafterstay.sheets.literal import clipped
from rafterstay.sheets.nouns import PAPER
from rafterstay.sheets.request import Request
from rafterstay.sheets.scene import Scene, Text
from rafterstay.sheets.table import Column, rows_that_fit, tabulate

__all__ = ["draw_cards"]

# Capitals 5 mm high: 5.05 / 0.729.
_LETTER: Final = 6.95
_STEP: Final = LINE * _LETTER / 3.5


def draw_cards(asked: Request) -> list[Desk]:
    """Draw the cards: lengths of the legs, pulls, settings of the turnbuckles.

    Args:
        asked: What to draw.

    Returns:
        At least two cards.
    """
    return [*_legs(asked), *_pulls(asked), *_settings(asked)]


def _legs(asked: Request) -> list[Desk]:
    tie, said = asked.design.tie, asked.said
    lengths = np.asarray(tie.leg_lengths)
    if asked.cut is None:
        rows = [[str(k + 1), said(float(long))] for k, long in enumerate(lengths)]
        heads = (Column("Leg", right=True), Column("Pin to pin", right=True))
        return _card(asked, "LEGS, AS DRAWN", heads, rows, caution=13)
    step = asked.cut.step
    ends = list(dict.fromkeys(piece.end for piece in asked.cut.pieces))
    cutting = (
        Column("Leg", right=True),
        *(Column(f"{end} cut at", right=True) for end in ends),
    )
    cuts = {(piece.leg, piece.end): piece.cut_steps * step for piece in asked.cut.pieces}
    rows = [
        [str(body.leg), *(said(cuts[body.leg, end]) for end in ends)] for body in asked.cut.bodies
    ]
    sure = asked.cut.measured and not asked.cut.doubts
    title = "LEGS: CUT THE ROPE" if sure else "LEGS: DO NOT CUT YET"
    return _card(asked, title, cutting, rows, caution=5)


def _pulls(asked: Request) -> list[Desk]:
    setting = asked.design.forces.setting
    rows = [
        [str(k + 1), asked.said(float(now), "force"), asked.said(float(then), "force")]
        for k, (now, then) in enumerate(zip(setting.leg_pull, setting.lowered_pull, strict=True))
    ]
    heads = (
        Column("Leg", right=True),
        Column("prop in", right=True),
        Column("prop out", right=True),
    )
    return _card(asked, "PULLS WHEN SET", heads, rows, caution=13)


def _settings(asked: Request) -> list[Desk]:
    if asked.cut is None or not asked.design.tie.has_turnbuckles:
        return []
    rows = [
        [str(body.leg), asked.said(body.opening, rounding="down"), asked.said(body.expected)]
        for body in asked.cut.bodies
    ]
    heads = (
        Column("Leg", right=True),
        Column("set to", right=True),
        Column("ends near", right=True),
    )
    return _card(asked, "TURNBUCKLES, PIN TO PIN", heads, rows, caution=7)


def _card(
    asked: Request,
    title: str,
    heads: tuple[Column, ...],
    rows: list[list[str]],
    *,
    caution: int,
) -> list[Desk]:
    """As many cards as the rows need."""
    desks = []
    while rows:
        desk, room = _open(asked, title, caution)
        count = rows_that_fit(room, size=_LETTER)
        tabulate(desk, room, heads, rows[:count], size=_LETTER)
        rows = rows[count:]
        desks.append(desk)
    return desks


def _open(asked: Request, title: str, caution: int) -> tuple[Desk, Box]:
    """Frame a card: title, job, stamp and one caution, all in large letters."""
    width, height = PAPER[asked.paper][::-1]
    stamp = asked.stamp
    frame = Box(MARGIN, MARGIN, width - MARGIN, height - MARGIN)
    desk = Desk(Scene(width, height, f"{title}: {stamp.title}"), stamp, title, None, frame)
    desk.box("border", frame)
    inner = frame.inset(3.0)
    wide = columns(inner.width, _LETTER)
    y = inner.high - _LETTER
    stamped = ", ".join(
        word for word in (stamp.revision and f"revision {stamp.revision}", stamp.date) if word
    )
    heads = [
        (title, True),
        (desk.clip("job.title", stamp.title, wide), False),
        (desk.clip("title block", stamped, wide) or "revision ____ date __________", False),
        (f"{stamp.geometry}; no scale", False),
    ]
    for words, bold in heads:
        desk.letter(Text("text", (inner.left, y), clipped(words, wide), _LETTER, bold=bold))
        y -= _STEP
    text = next(one.text for one in CAUTIONS if one.number == caution)
    first = ". ".join(text.split(". ")[:2]).rstrip(".") + "."
    foot = Box(inner.left, inner.low, inner.right, inner.low + 4.2 * _STEP)
    desk.scene.line("rule", (frame.left, foot.high), (frame.right, foot.high))
    said = [first, f"Not an engineer's approval. Job {stamp.job}."]
    under = desk.notes(foot, said, size=_LETTER)
    desk.number_at = ((inner.right, max(under, inner.low + 1.6)), _LETTER)
    return desk, Box(inner.left, foot.high + 2.0, inner.right, y + 0.5 * _STEP)
