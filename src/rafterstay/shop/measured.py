"""How far each leg runs: as drawn, or from a survey of the frame as it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from rafterstay.core.errors import Finding, InputError
from rafterstay.roof.gable import tied_pairs
from rafterstay.shop.allowances import UNMEASURED
from rafterstay.shop.nouns import Legs
from rafterstay.survey.centre import find_centre

if TYPE_CHECKING:
    from rafterstay.job import Job
    from rafterstay.job.shape import Roof
    from rafterstay.roof.frame import Frame
    from rafterstay.survey import AsBuilt
    from rafterstay.tie.nouns import Tie

__all__ = ["as_drawn", "as_surveyed", "bolt_names", "legs_of"]

_DRILLING: Final = 0.0254 / 8  # [m] sigma of a bolt hole along its rafter: common practice


def legs_of(job: Job, frame: Frame, tie: Tie, built: AsBuilt | None) -> Legs:
    """Every leg that is to be made: of a gable one for every tied pair.

    Args:
        job: Its roof.
        frame: As it is tied.
        tie: As drawn.
        built: The survey; None where the frame was not measured.

    Returns:
        As surveyed, else as drawn.

    Raises:
        InputError: SV-040 a tie bolt was not surveyed.
    """
    return as_surveyed(frame, tie, built, job.roof) if built else as_drawn(tie, job.roof)


def as_drawn(tie: Tie, roof: Roof | None = None) -> Legs:
    """Distances of the drawing, with what a frame is usually off it.

    Args:
        tie: As drawn.
        roof: Of a gable every tied pair is cut for; the drawing shows one.

    Returns:
        Legs not measured.
    """
    distances = tuple(map(float, tie.leg_lengths))
    if roof is None or roof.shape != "gable":
        return Legs(distances, (UNMEASURED,) * len(distances), measured=False)
    pairs = tied_pairs(roof)
    return Legs(
        distances * pairs,
        (UNMEASURED,) * pairs,
        measured=False,
        notes=(_numbered(pairs),),
        typical=True,
    )


def bolt_names(frame: Frame) -> tuple[str, ...]:
    """What a survey calls the tie bolts: t1, t2 and so on, or the feet where they are one."""
    feet = bool(np.array_equal(frame.bolts, frame.feet))
    return tuple(f"{'' if feet else 't'}{k + 1}" for k in range(frame.n))


def as_surveyed(frame: Frame, tie: Tie, built: AsBuilt, roof: Roof | None = None) -> Legs:
    """Distances of the frame as it stands.

    Legs to a ring run to a regular one about the best centre, turned so that its eyes look at
    the bolts as well as they can together; others from bolt to bolt.

    Args:
        frame: As designed.
        tie: Its legs.
        built: The survey.
        roof: Of a gable: how many pairs are tied.

    Returns:
        Legs, measured.

    Raises:
        InputError: SV-040 a tie bolt was not surveyed.

    Source: docs/theory/cutting.md section 5
    """
    if roof is not None and roof.shape == "gable":
        return _pairs(frame, tie, built, tied_pairs(roof))
    names = bolt_names(frame)
    missing = [name for name in names if not built.has(name)]
    if missing:
        raise InputError(
            Finding(
                "SV-040",
                key="tie bolts surveyed",
                value=f"all but {', '.join(missing[:8])}",
                bound=f"{names[0]} to {names[-1]}, every one",
                remedy="Take the readings that `survey` plans to the missing bolts.",
            )
        )
    if tie.layout == "ring":
        return _to_ring(names, tie, built)
    ends = [(names[k], names[stop]) for k, stop in enumerate(tie.stops)]
    apart = [_apart(built, *pair) for pair in ends]
    return Legs(
        tuple(length for length, _ in apart),
        tuple(sigma for _, sigma in apart),
        measured=True,
        notes=tuple(built.notes),
    )


def _numbered(pairs: int) -> str:
    return (
        f"Ties are numbered as the survey numbers feet: leg 1 ties feet 1 and {2 * pairs}, leg 2 "
        f"feet 2 and {2 * pairs - 1}, and so on to leg {pairs}."
    )


def _to_ring(names: tuple[str, ...], tie: Tie, built: AsBuilt) -> Legs:
    found = find_centre(built, names)
    bolts = np.array([built.at(name) for name in names])
    out = bolts - found.centre
    azimuth = np.arctan2(out[:, 0], out[:, 1])
    regular = 2 * np.pi * np.arange(tie.n) / tie.n
    # A mean of directions, not of angles: nothing happens at north.
    turn = float(np.angle(np.exp(1j * (azimuth - regular)).mean()))
    eyes = found.centre + tie.ring_radius * np.column_stack(
        [np.sin(regular + turn), np.cos(regular + turn), np.zeros(tie.n)]
    )
    distances = np.linalg.norm(bolts - eyes, axis=1)
    return Legs(
        tuple(map(float, distances)),
        tuple(leg.sigma for leg in found.legs),
        measured=True,
        notes=tuple(built.notes),
    )


def _apart(built: AsBuilt, one: str, other: str, *, flat: bool = False) -> tuple[float, float]:
    """Distance between two surveyed points, and its standard deviation. [m]"""
    between = built.at(other) - built.at(one)
    if flat:
        between = between * [1.0, 1.0, 0.0]
    length = float(np.linalg.norm(between))
    by = np.concatenate([-between, between]) / length
    rows = built.rows((one, other))
    variance = float(by @ built.covariance[np.ix_(rows, rows)] @ by)
    return length, max(variance, 0.0) ** 0.5


def _pairs(frame: Frame, tie: Tie, built: AsBuilt, pairs: int) -> Legs:
    """Every tied pair by the span of its own feet; pairs left out of the survey as drawn.

    A bolt stands on the straight from foot to head as far up in every pair, so that the tie is
    to the drawn one as the span is to the drawn span.
    """
    span = float(np.linalg.norm(np.diff(frame.nodes[frame.feet, :2], axis=0)))
    share = float(tie.leg_lengths[0]) / span
    raised = not np.array_equal(frame.bolts, frame.feet)
    foot, head = (frame.nodes[at[0]] for at in (frame.feet, frame.heads))
    # Two holes drilled along their rafters, seen along the tie.
    cosine = float(np.linalg.norm((head - foot)[:2]) / np.linalg.norm(head - foot))
    drilled = 2**0.5 * _DRILLING * cosine if raised else 0.0
    distances, sigmas, unread = [], [], []
    for k in range(1, pairs + 1):
        one, other = str(k), str(2 * pairs + 1 - k)
        if not (built.has(one) and built.has(other)):
            distances.append(float(tie.leg_lengths[0]))
            sigmas.append(UNMEASURED)
            unread.append(k)
            continue
        length, sigma = _apart(built, one, other, flat=True)
        distances.append(length * share)
        sigmas.append(float(np.hypot(sigma * share, drilled)))
    notes = [*built.notes, _numbered(pairs)]
    if raised:
        notes.append(
            "Each tie is cut for its own pair of feet: bore every bolt hole equally far up its "
            "rafter from the bearing of the foot, as drawn, to 1/8 in or 3 mm."
        )
    return Legs(
        tuple(distances),
        tuple(sigmas),
        measured=True,
        notes=tuple(notes),
        typical=True,
        unread=tuple(unread),
    )
