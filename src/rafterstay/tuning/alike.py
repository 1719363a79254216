"""How unevenly does each build pull when all bodies are turned alike, before it is tuned?

docs/theory/tuning.md section 12.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from rafterstay.roof.frame import Floats
from rafterstay.statics.network import Pulls, length
from rafterstay.tuning.settling import (
    Span,
    law_of,
    lengthened,
    moved,
    stepped,
    steps_of,
    turning,
)
from rafterstay.tuning.tuned import Tuned, Wish, is_at_rest

__all__ = ["Alike", "drawn_up"]

MOST_STEPS: Final = 40
CLOSE: Final = 1e-9  # by which a link misses its ends at most before a last step [m]
SAME: Final = 1e-5  # of the mean pull: it is what is asked [-]
MOST_AT_ONCE: Final = 1.0  # turn of all bodies in one step [-]
SWAPS: Final = 30  # of legs between slack and taut, in the first guess
LEAST_SLACK: Final = 1e-4  # for the first guess of a slack leg's sag [m]


@dataclass(frozen=True)
class Alike:
    """Builds whose bodies are all turned alike until their mean pull is what is asked.

    Attributes:
        turns: Of every body, from what it was set to. [-] (b,)
        span: Where they came to rest.
        held: Their links.
        settled: Whether they did. (b,)
    """

    turns: Floats
    span: Span
    held: Pulls
    settled: NDArray[np.bool_]


def drawn_up(done: Tuned, wish: Wish, parts: int = 1) -> Alike:
    """Turn all bodies alike until the mean pull is the goal's.

    Args:
        done: The builds, tuned.
        wish: Their goal.
        parts: In how many parts to go there from the builds as tuned; 1 goes at once, from a
            first guess where the ring is stiff.

    Returns:
        Builds drawn up alike.

    Source: docs/theory/tuning.md eq. 12 and 13
    """
    if parts == 1:
        span, alike = _evened(*(_roped if done.span.side.size else _stiff)(done, wish), wish)
    else:
        span, alike = done.span, done.turns.mean(axis=1)
        apart = wish.travel * (done.turns - alike[:, None]) / parts
        for _ in range(parts):
            span, alike = _evened(lengthened(span, apart), alike, wish)
    held = span.held
    span = turning(span, held)
    even = np.abs(held.leg_pull[:, :, 0].mean(axis=1) - wish.pull) <= 10 * SAME * wish.pull
    return Alike(alike, span, held, even & is_at_rest(span, held))


def _evened(span: Span, alike: Floats, wish: Wish) -> tuple[Span, Floats]:
    """Come to rest with the mean pull as asked, all bodies turned alike beside what they are."""
    rows, part, alike = np.arange(len(alike)), span, alike.copy()
    for _ in range(MOST_STEPS):
        held = part.held
        part = turning(part, held)
        step, out = steps_of(part, law_of(part, held), held)
        off = step.pull(held).mean(axis=1) - wish.pull
        by = (out.pull(held) - held.leg_pull[:, :, 0]).mean(axis=1)
        change = np.clip(off / (wish.travel * by), -MOST_AT_ONCE, MOST_AT_ONCE)
        alike[rows] += change
        longer = np.repeat(-wish.travel * change[:, None], part.leg.shape[1], axis=1)
        part = stepped(lengthened(part, longer), step.plus(out, longer[:, 0]))
        going = (step.gap > CLOSE) | (np.abs(off) > SAME * wish.pull)
        if not going.all():
            # Those at rest stand aside.
            span, keep = span.put(rows, part), np.flatnonzero(going)
            rows, part = rows[keep], part.only(keep)
        if not len(rows):
            return span, alike
    return span.put(rows, part), alike


def _roped(done: Tuned, wish: Wish) -> tuple[Span, Floats]:
    """A rope ring evens its legs: begin with the pulls as tuned."""
    alike = done.turns.mean(axis=1)
    return lengthened(done.span, wish.travel * (done.turns - alike[:, None])), alike


def _stiff(done: Tuned, wish: Wish) -> tuple[Span, Floats]:
    """On a stiff ring legs fall slack: begin with those the linear law leaves taut.

    Source: docs/theory/tuning.md eq. 13
    """
    span, held, travel = done.span, done.held, wish.travel
    legs = span.problem.links.leg_length
    weight = span.problem.weight[:, None] * span.problem.links.joint_weight.sum(axis=2)
    firm = -done.slopes.by.pull
    as_one = firm.sum(axis=2)
    # Pulls with all bodies as set: as tuned, and every leg let out by what it was turned.
    pull = held.leg_pull[:, :, 0] - travel * (firm @ done.turns[..., None])[..., 0]
    slack = np.zeros(pull.shape, dtype=bool)
    away, alike = np.zeros(pull.shape), np.zeros(len(pull))
    for _ in range(SWAPS):
        away, alike = _complement(firm, travel, (pull, weight), slack, wish.pull)
        now = pull + (firm @ away[..., None])[..., 0] + travel * as_one * alike[:, None]
        after = np.where(slack, away > 0.0, now < weight)
        if (after == slack).all():
            break
        slack = after
    longer, away = travel * (done.turns - alike[:, None]), np.maximum(away, 0.0)
    step = (done.slopes.by.moves @ (longer - away)[..., None])[..., 0]
    n_kept = span.kept.shape[1]
    span = moved(lengthened(span, longer), step[:, :n_kept], step[:, n_kept:])
    apart = span.held.ends - span.held.starts
    # A slack leg hangs through: half its weight at each end, and the pull its sag leaves.
    outer = legs[:, :, 0] + legs[:, :, 2]
    sag = weight / 2 * np.sqrt(outer / (2 * np.maximum(away, LEAST_SLACK)))
    size = np.where(slack, sag, np.maximum(now, weight))
    leg = apart * (size / length(apart))[..., None]
    leg[..., 2] -= weight / 2
    return replace(span, leg=leg), alike


def _complement(
    firm: Floats,
    travel: float,
    pulls: tuple[Floats, Floats],
    slack: NDArray[np.bool_],
    mean: float,
) -> tuple[Floats, Floats]:
    """How far slack legs hang through, and the turn of all bodies, for a given mean pull."""
    pull, least = pulls
    b, n = pull.shape
    as_one = travel * firm.sum(axis=2)
    table, right = np.zeros((b, n + 1, n + 1)), np.zeros((b, n + 1))
    table[:, :n, :n] = np.where(slack[..., None], firm, np.eye(n))
    table[:, :n, n] = np.where(slack, as_one, 0.0)
    table[:, n, :n], table[:, n, n] = firm.mean(axis=1), as_one.mean(axis=1)
    right[:, :n] = np.where(slack, least - pull, 0.0)
    right[:, n] = mean - pull.mean(axis=1)
    # A build that no slopes are known of has no guess.
    bad = ~np.isfinite(table).all(axis=(1, 2)) | slack.all(axis=1)
    table[bad], right[bad] = np.eye(n + 1), 0.0
    found = np.linalg.solve(table, right[..., None])[..., 0]
    return found[:, :n], found[:, n]
