"""Make one first: what an eye, or a piece, that was made and taped says of all the others."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from rafterstay.core.errors import Finding, InputError
from rafterstay.core.quantities import show

if TYPE_CHECKING:
    from rafterstay.core.quantities import System
    from rafterstay.shop.allowances import Making
    from rafterstay.shop.eye import Eye
    from rafterstay.shop.nouns import Piece

__all__ = ["REFERENCE", "TrialEye", "learn_from_eye", "learn_from_piece", "trial_eye"]

REFERENCE: Final = 0.3048  # [m] bare rope between the sleeve and the trial's mark
_WILDEST: Final = 0.0127  # [m] an eye further off was not made to its marks


@dataclass(frozen=True)
class TrialEye:
    """How a trial eye is marked and what a tape should read on it.

    Attributes:
        marked: Flat rope from the crown mark to the reference mark on the live part. [m]
        expected: Inside of the crown to the reference mark, made up. [m]
        drawn: The same if pressing did nothing to the eye. [m]
    """

    marked: float
    expected: float
    drawn: float


def trial_eye(eye: Eye, making: Making) -> TrialEye:
    """The trial eye of a cut list.

    Args:
        eye: As every leg piece ends in.
        making: What is assumed of making it.

    Returns:
        Where to mark it and what to expect.
    """
    drawn = eye.bore + eye.reach + REFERENCE
    return TrialEye(eye.loop / 2 + REFERENCE, drawn + making.creep, drawn)


def learn_from_eye(eye: Eye, making: Making, measured: float, *, system: System) -> Making:
    """What a trial eye says.

    Args:
        eye: As drawn.
        making: As assumed before.
        measured: Inside of the crown to the reference mark. [m]
        system: Units of what is told.

    Returns:
        The same with its creep measured.

    Raises:
        InputError: IN-067 the eye is too far from its drawing to learn from.
    """
    creep = measured - trial_eye(eye, making).drawn
    _require_sane(creep, measured, "the trial eye", system=system)
    return making.measured(creep, eyes=1, how="trial eye")


def learn_from_piece(piece: Piece, making: Making, measured: float, *, system: System) -> Making:
    """What a made-up piece of a leg says.

    Args:
        piece: As it was cut, with what was assumed then.
        making: As assumed when it was cut.
        measured: Inside of one crown to inside of the other, hand straight. [m]
        system: Units of what is told.

    Returns:
        The same with its creep measured, the mean of both eyes.

    Raises:
        InputError: IN-067 the piece is too far from its cut list to learn from.
    """
    creep = making.creep + (measured - piece.between_crowns) / 2
    _require_sane(creep, measured, f"the trial piece, leg {piece.leg} {piece.end}", system=system)
    return making.measured(creep, eyes=2, how=f"trial piece, leg {piece.leg} {piece.end}")


def _require_sane(creep: float, measured: float, what: str, *, system: System) -> None:
    if abs(creep) > _WILDEST:
        raise InputError(
            Finding(
                "IN-067",
                key=what,
                value=show(measured, "length", system),
                bound=(
                    f"within {show(_WILDEST, 'length', system)} an eye of what is drawn "
                    f"(it is off by {show(creep, 'length', system)} an eye)"
                ),
                remedy="Tape it again; if it stays so, cut it off and make another to its marks.",
            )
        )
