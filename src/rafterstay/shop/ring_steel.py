"""What a ring of steel is made to: a bar bent and welded, or a plate cut and drilled."""

from __future__ import annotations

from math import pi, sin
from typing import TYPE_CHECKING, Final

from rafterstay.shop.allowances import READING
from rafterstay.shop.hung import Hold
from rafterstay.shop.nouns import RingSteel
from rafterstay.tie.nouns import HubPlate, RingBar

if TYPE_CHECKING:
    from rafterstay.tie.nouns import Tie

__all__ = ["hold_of", "made_of_steel"]

_PIN_SHARE: Final = 0.25
"""Sheets measure the inside of a shackle to the face of its pin or to its axis: give or take a
quarter of the pin beside the middle. [-]"""


def hold_of(body: RingBar | HubPlate, taped: float | None = None) -> Hold:
    """What the ring eye of a leg hangs on: the bar, or the bow of the plate's shackle.

    Args:
        body: The ring as drawn.
        taped: Inside of the plate's shackle, from its bow to its pin. [m]

    Returns:
        Its diameter, and how far its axis lies outside the crown the distance runs to.

    Source: docs/theory/cutting.md section 8
    """
    if isinstance(body, RingBar):
        return Hold(body.diameter, over=body.diameter / 2)
    listed = body.link - body.hole / 2
    longer = 0.0 if taped is None else taped - listed
    half = _PIN_SHARE * body.pin + READING if taped is None else READING
    return Hold(body.shackle.bar, link_half=half, over=body.shackle.bar / 2 + longer)


def made_of_steel(tie: Tie) -> RingSteel | None:
    """What the ring's maker is handed.

    Args:
        tie: As drawn.

    Returns:
        Sizes and places; None where the ring is of rope or there is none.

    Source: docs/theory/cutting.md section 8
    """
    body, n = tie.body, tie.n
    if body is None:
        return None
    turn = tuple(360.0 * k / n for k in range(n))
    if isinstance(body, RingBar):
        side = body.length / n
        return RingSteel(
            kind="bar",
            steel=body.steel.name,
            radius=body.radius,
            turns_deg=turn,
            size=body.diameter,
            length=body.length,
            # The weld lies midway between the last eye and the first.
            along=tuple((k + 0.5) * side for k in range(n)),
            inside=2.0 * body.radius - body.diameter,
            outside=2.0 * body.radius + body.diameter,
            chord=2.0 * body.radius * sin(pi / n),
            mass=tie.ring_mass,
        )
    return RingSteel(
        kind="plate",
        steel=body.steel.name,
        radius=body.radius,
        turns_deg=turn,
        size=body.thickness,
        outside=2.0 * body.rim,
        hole=body.hole,
        chord=2.0 * body.radius * sin(pi / n),
        mass=tie.ring_mass - n * (body.shackle.mass or 0.0),
    )
