"""Where a piece is marked: from its finished length to running marks, and back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from rafterstay.core.errors import Finding, InputError
from rafterstay.shop.nouns import End, Mark, Piece
from rafterstay.shop.steps import above, nearest

if TYPE_CHECKING:
    from rafterstay.shop.allowances import Making
    from rafterstay.shop.eye import Eye

__all__ = ["EYE_NAMES", "between_crown_marks", "cut_piece", "finished_from"]

EYE_NAMES: Final[dict[End, tuple[str, str]]] = {
    "outer": ("bolt eye", "outer jaw eye"),
    "inner": ("inner jaw eye", "ring eye"),
    "first": ("first bolt eye", "first jaw eye"),
    "second": ("second jaw eye", "second bolt eye"),
}
_BARE: Final = 0.0254  # [m] rope left bare between the two tails: common practice, no source


def between_crown_marks(
    finished: float, eye: Eye, making: Making, *, pins: tuple[float, float]
) -> float:
    """Flat rope between the crown marks of a piece.

    Args:
        finished: Pin to pin, made up. [m]
        eye: At both ends.
        making: What pressing does to an eye.
        pins: Diameters of the pins. [m]

    Returns:
        Length along the rope. [m]

    Source: docs/theory/cutting.md eq. 3
    """
    live = finished - 2 * making.creep - sum(eye.pin_to_mouth(pin) for pin in pins)
    return live + eye.loop


def finished_from(between: float, eye: Eye, making: Making, *, pins: tuple[float, float]) -> float:
    """Pin to pin of a piece whose crown marks are this far apart.

    Args:
        between: Flat rope between the crown marks. [m]
        eye: At both ends.
        making: What pressing does to an eye.
        pins: Diameters of the pins. [m]

    Returns:
        Finished length. [m]

    Source: docs/theory/cutting.md eq. 3
    """
    return between - eye.loop + 2 * making.creep + sum(eye.pin_to_mouth(pin) for pin in pins)


def cut_piece(
    leg: int,
    end: End,
    wanted: float,
    *,
    eye: Eye,
    making: Making,
    pins: tuple[float, float],
    step: float,
) -> Piece:
    """Lay out one piece on the tape.

    The crown marks are whole steps apart, never nearer than wanted: too long is taken up by
    the turnbuckle's larger reserve, too short would take thread out of it. The cut is never
    short either; what it is over is tail.

    Args:
        leg: Number of the leg.
        end: Which of its pieces.
        wanted: Pin to pin, made up, without pull. [m]
        eye: At both ends.
        making: What pressing does to an eye.
        pins: Diameters of the pins at its first and second end. [m]
        step: Of the tape. [m]

    Returns:
        The piece; its finished length is that of its marks.

    Raises:
        InputError: IN-066 it is too short for two eyes.
    """
    between = above(between_crown_marks(wanted, eye, making, pins=pins), step)
    live = between * step - eye.loop
    least = 2 * (eye.after + eye.tail) + _BARE
    if live < least:
        raise InputError(
            Finding(
                "IN-066",
                key=f"the {end} piece of leg {leg}",
                value=f"{live * 1000:.0f} mm between its sleeves' mouths",
                bound=f"at least {least * 1000:.0f} mm, room for two sleeves and their tails",
                remedy="Take a shorter turnbuckle, smaller eyes, or of a ring a smaller one.",
            )
        )
    first, second = EYE_NAMES[end]
    half = eye.loop / 2
    crown = above(eye.dead + half, step)
    other = crown + between
    marks = [
        *_eye_marks(first, crown, eye, step=step, side=1),
        *_eye_marks(second, other, eye, step=step, side=-1),
    ]
    marks.sort(key=lambda mark: mark.steps)
    cut = other + above(half + eye.dead, step)
    finished = finished_from(between * step, eye, making, pins=pins)
    return Piece(leg, end, finished, pins, (*marks, Mark("cut", cut)))


def _eye_marks(name: str, crown: int, eye: Eye, *, step: float, side: int) -> list[Mark]:
    """Crown, and both sleeve edges on the dead and on the live part, before pressing.

    ``side`` is 1 where the live part lies behind the crown on the tape.
    """
    mouth = eye.loop / 2 + eye.growth / 2
    edges = {"near": mouth, "far": mouth + eye.before}
    marks = [Mark(f"{name}: crown", crown)]
    for edge, away in edges.items():
        steps = nearest(away, step)
        marks.append(Mark(f"{name}: sleeve {edge} edge, dead end", crown - side * steps))
        marks.append(Mark(f"{name}: sleeve {edge} edge, live", crown + side * steps))
    return marks
