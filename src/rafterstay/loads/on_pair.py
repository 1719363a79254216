"""The cases of a gable: what its loads put on the tied pair, and what its neighbours push on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from rafterstay.loads.asce7_2016.shown import shown_in
from rafterstay.loads.asce7_2016.unbalanced import is_unbalanced
from rafterstay.loads.climate import climates
from rafterstay.loads.gable import TOWARDS, Outline, RafterCase, Stretch, gather
from rafterstay.loads.laid import Lines
from rafterstay.loads.nouns import Case, Cases
from rafterstay.loads.pair_worked import pair_worked
from rafterstay.roof.frame import Floats, Frame

if TYPE_CHECKING:
    from rafterstay.job import Job

__all__ = ["feet_push", "gather_pair", "outline_of", "pair_lines"]

BETWEEN = (
    "One tie holds {ties} pairs of rafters: pairs that stand untied push their thrust on the "
    "plate, which carries it sideways to the tied feet."
)
EVEN_ONLY = "No one-sided snow is asked for at a roof slope of {slope:.1f} degrees."
BEAM = "The ridge beam carries the heads, so nothing pushes the feet out: no tie is needed for it."


def outline_of(job: Job) -> Outline:
    """The gable of a job as far as its loads ask."""
    roof = job.roof
    return Outline(
        span=roof.span,
        rise=roof.rise,
        spacing=roof.spacing,
        length=roof.length,
        overhang=roof.overhang,
    )


def gather_pair(job: Job, frame: Frame) -> Cases:
    """Gather the cases of allowable stress design on the tied pair of a gable.

    Args:
        job: Loads, temperatures, overhang and how many pairs one tie holds.
        frame: Its tied pair.

    Returns:
        As of `gather` for other roofs; directions count from foot 1, the ridge runs 090-270.

    Raises:
        InputError: IN-841.

    Source: docs/theory/gable.md sections 2 and 3
    """
    outline = outline_of(job)
    untied = job.roof.tie_every - 1
    whole = tuple(
        _case(one, frame, outline, untied)
        for one in gather(job.loads, outline, simple_rafters=job.tie_height <= 0)
    )
    snow = job.loads.snow
    lines, sources = pair_worked(
        job.loads, outline, simple_rafters=job.tie_height <= 0, shown=shown_in(job.show)
    )
    told = [BETWEEN.format(ties=untied + 1)] if untied else []
    told += [BEAM] if frame.ridge_beam else []
    if snow.ground is not None and not is_unbalanced(outline.slope):
        told.append(EVEN_ONLY.format(slope=outline.slope_deg))
    return Cases(
        cases=(whole if job.loads.dead > 0 else whole[1:]) or whole,
        setting=whole[0],
        simplified_snow=snow.ground is None and (snow.roof or 0.0) > 0,
        climates=climates(job.loads),
        told=tuple(told),
        working=lines,
        sources=sources,
    )


def _case(one: RafterCase, frame: Frame, outline: Outline, untied: int) -> Case:
    lines = pair_lines(one.stretches, frame, outline)
    beside = untied * feet_push(lines, frame)
    direction = one.direction_deg
    return Case(
        equation=one.equation,
        pattern=one.pattern,
        direction_deg=None if direction is None else 180.0 * TOWARDS.index(direction),
        duration_factor=one.duration_factor,
        dead_factor=one.dead_factor,
        hip_load=lines.hips,
        head_load=lines.heads,
        source=one.source,
        hip_push=lines.push,
        tail_load=lines.tails,
        tail_push=lines.tail_push + beside[:, None] * frame.outward[:, :2],
        tail_moment=lines.tail_moment,
    )


def pair_lines(stretches: tuple[Stretch, ...], frame: Frame, outline: Outline) -> Lines:
    """Hand even stretches of load to the two rafters of a pair.

    A stretch that covers part of a rafter becomes the straight line that has its total and its
    first moment.

    Args:
        stretches: What lies on the pair, from the ridge down.
        frame: The pair.
        outline: The gable.

    Returns:
        Its lines.

    Source: docs/theory/gable.md eq. 1
    """
    half = outline.span / 2
    hip = float(np.hypot(half, outline.rise))
    total, moment = np.zeros((2, 2)), np.zeros((2, 2))  # of load down and out, by slope
    tails, tail_push, tail_moment = np.zeros(2), np.zeros(2), np.zeros(2)
    for part in stretches:
        load = np.array([part.down, part.out])
        end = min(part.end, half)
        if part.start < half:
            share = load * (end - part.start)
            total[part.slope] += share
            moment[part.slope] += share * (1 - (part.start + end) / 2 / half)
        start = max(part.start, half)
        if part.end > half:
            tail = load * (part.end - start)
            lever = (start + part.end) / 2 - half
            tails[part.slope] += tail[0]
            tail_push[part.slope] += tail[1]
            # The tail hangs below the foot, so a push outwards turns it up.
            tail_moment[part.slope] += lever * (tail[0] - tail[1] * outline.slope)
    at_foot, at_head = (4 * total - 6 * moment) / hip, (6 * moment - 2 * total) / hip
    ends = np.stack([at_foot, at_head], axis=1)
    out = frame.outward[:, :2]
    return Lines(
        hips=ends[..., 0],
        heads=np.zeros(2),
        push=ends[..., 1, None] * out[:, None],
        tails=tails,
        tail_push=tail_push[:, None] * out,
        tail_moment=tail_moment,
    )


def feet_push(lines: Lines, frame: Frame) -> Floats:
    """Outward push on the plate of a pair that stands untied, its feet held by the plate.

    Args:
        lines: What lies on the pair.
        frame: A pair like it.

    Returns:
        Push of each foot, inward below 0. [N] (2,)

    Source: statics of three hinges; docs/theory/gable.md eq. 2
    """
    axis = frame.nodes[frame.heads] - frame.nodes[frame.feet]
    hip, tall = np.linalg.norm(axis, axis=1), axis[:, 2]
    reach = np.linalg.norm(axis[:, :2], axis=1)
    out = (lines.push * frame.outward[:, None, :2]).sum(axis=-1)
    outward = hip * out.sum(axis=1) / 2
    about = (
        hip * reach * (lines.hips[:, 0] + 2 * lines.hips[:, 1]) / 6
        - hip * tall * (out[:, 0] + 2 * out[:, 1]) / 6
        - lines.tail_moment
        + reach * lines.heads
    )
    through = 0.0 if frame.ridge_beam else float(about.sum() / tall.sum())
    on_tail = (lines.tail_push * frame.outward[:, :2]).sum(axis=1)
    return np.asarray(through + outward + on_tail)
