"""How much rope an eye takes: round the thimble, through the sleeve and out to its tail."""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, atan2, hypot, pi, sqrt
from typing import TYPE_CHECKING, Final

from rafterstay.core.errors import Finding, InputError

if TYPE_CHECKING:
    from rafterstay.catalog.rows import Rope, Sleeve, Thimble

__all__ = ["LEAST_TAIL", "MOST_TAIL", "Eye", "eye_of", "loop_length"]

# Rope that shows past a finished sleeve, in rope diameters.
# Source: makers' fitting guides, read; one page asks for at least two before pressing.
LEAST_TAIL: Final = 1.0
MOST_TAIL: Final = 2.0


def loop_length(crown: float, reach: float, diameter: float) -> float:
    """Rope round a thimble, from the sleeve's mouth to the sleeve's mouth.

    The rope lies on the crown's arc and runs straight from it to the mouth, where its two
    parts lie side by side.

    Args:
        crown: Radius of the rope's centre line round the crown, > diameter / 2. [m]
        reach: Centre of the crown's arc to the sleeve's mouth, > crown. [m]
        diameter: Of the rope. [m]

    Returns:
        Length of the centre line. [m]

    Source: geometry of a circle and its tangents; docs/theory/cutting.md eq. 1

    >>> round(loop_length(0.63, 1.44, 0.25), 4)
    5.0401
    """
    far = hypot(reach, diameter / 2)
    straight = sqrt(far**2 - crown**2)
    turned = pi - atan2(diameter / 2, reach) - acos(crown / far)
    return 2 * (straight + crown * turned)


@dataclass(frozen=True)
class Eye:
    """One eye with its thimble and finished sleeve. All in m.

    Attributes:
        bore: Radius of the thimble's bore at the crown.
        crown: Radius of the rope's centre line round the crown.
        reach: Centre of the crown's arc to the mouth of the finished sleeve.
        loop: Rope from mouth to mouth.
        before: Sleeve before pressing.
        after: Sleeve when finished; it grows both ways from its middle.
        tail: Rope aimed at past the finished sleeve.
        diameter: Of the rope.
    """

    bore: float
    crown: float
    reach: float
    loop: float
    before: float
    after: float
    tail: float
    diameter: float

    @property
    def growth(self) -> float:
        """How much longer pressing makes the sleeve. [m]"""
        return self.after - self.before

    @property
    def dead(self) -> float:
        """Dead rope from the mouth to the end. [m]"""
        return self.after + self.tail

    @property
    def tail_before(self) -> float:
        """Rope past the sleeve before it is pressed and grows over it. [m]"""
        return self.tail + self.growth / 2

    def pin_to_mouth(self, pin: float) -> float:
        """Centre of the pin the eye hangs on to the mouth of the finished sleeve.

        Args:
            pin: Diameter of the pin. [m]

        Returns:
            Length along the leg. [m]

        Raises:
            InputError: IN-065 the pin does not go through the thimble.
        """
        if pin > 2 * self.bore:
            raise InputError(
                Finding(
                    "IN-065",
                    key="the pin in an eye",
                    value=f"{pin * 1000:.1f} mm",
                    bound=f"at most the thimble's bore, {2 * self.bore * 1000:.1f} mm",
                    remedy="Take a larger thimble or a thinner pin: nothing can be cut for it.",
                )
            )
        return self.bore - pin / 2 + self.reach


def eye_of(rope: Rope, thimble: Thimble, sleeve: Sleeve) -> Eye:
    """The eye that a rope makes round a thimble.

    A thimble is bent from one strip: its web is as thick as its lips. The finished sleeve
    stands against the thimble's point.

    Args:
        rope: Rope of the leg.
        thimble: Its thimble.
        sleeve: Its sleeve.

    Returns:
        The eye.

    Source: docs/theory/cutting.md eq. 1 and 2
    """
    bore = thimble.inside_width / 2
    web = (thimble.thickness - thimble.groove) / 2
    crown = bore + web + rope.diameter / 2
    lips = (thimble.overall_width - thimble.inside_width) / 2
    reach = thimble.overall_length - lips - bore
    return Eye(
        bore=bore,
        crown=crown,
        reach=reach,
        loop=loop_length(crown, reach, rope.diameter),
        before=sleeve.before,
        after=sleeve.after,
        tail=(LEAST_TAIL + MOST_TAIL) / 2 * rope.diameter,
        diameter=rope.diameter,
    )
