"""How much thread a leg needs, and the chance that its turnbuckle runs out of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import erfc, exp, fsum, pi, prod, sqrt
from typing import Final

import numpy as np

from rafterstay.roof.frame import Floats

__all__ = [
    "ASSEMBLY",
    "SIGMAS",
    "Share",
    "TakeUp",
    "chance_above",
    "ring_chance",
    "sampled_ring_chance",
]

SIGMAS: Final = 3.0  # how far the random parts are carried
ASSEMBLY: Final = 0.0254 / 4  # [m] to spare for pinning the last leg: common practice, no source
# A uniform part this narrow beside the random ones is as good as random, and safer so:
# the differences of the closed form would lose their digits.
_NARROW: Final = 0.2
_FAR: Final = 12.0  # [-] sigmas beyond which a tail is nil


@dataclass(frozen=True)
class Share:
    """One reason why a leg comes out longer or shorter than it was cut.

    Attributes:
        name: In words.
        mean: How much longer it makes the leg on average; 0 for what was cut for. [m]
        half: Half the width of a uniform spread about the mean. [m]
        sigma: Standard deviation of a normal spread about the mean. [m]
        why: Where the figure comes from.
    """

    name: str
    mean: float = 0.0
    half: float = 0.0
    sigma: float = 0.0
    why: str = ""


@dataclass(frozen=True)
class TakeUp:
    """What one turnbuckle must take up.

    Attributes:
        shares: Reasons, independent of one another.
        assembly: Thread to spare on the open side while the last leg is pinned. [m]
    """

    shares: tuple[Share, ...]
    assembly: float = ASSEMBLY

    @property
    def mean(self) -> float:
        """How much longer than cut the leg will be, on average. [m]"""
        return fsum(share.mean for share in self.shares)

    @property
    def sigma(self) -> float:
        """Of the random parts together. [m]"""
        return sqrt(fsum(share.sigma**2 for share in self.shares))

    @property
    def halves(self) -> tuple[float, ...]:
        """Half widths of the uniform parts. [m]"""
        return tuple(share.half for share in self.shares if share.half > 0)

    @property
    def shorten(self) -> float:
        """Thread needed to shorten: all that makes it longer at its most, and the random parts.

        Source: docs/theory/take-up.md eq. 1

        Returns:
            Length. [m]
        """
        return fsum(share.mean + share.half for share in self.shares) + SIGMAS * self.sigma

    @property
    def lengthen(self) -> float:
        """Thread needed to lengthen: two-sided and random parts, and room to pin the last leg.

        Source: docs/theory/take-up.md eq. 2

        Returns:
            Length. [m]
        """
        two_sided = fsum(share.half for share in self.shares if share.mean == 0)
        return two_sided + SIGMAS * self.sigma + self.assembly

    @property
    def total(self) -> float:
        """Take-up a body must have. [m]"""
        return self.shorten + self.lengthen

    def runs_out(self, shorten_left: float, lengthen_left: float) -> float:
        """Chance that the leg comes out beyond one of the stops.

        Args:
            shorten_left: From where it is set to the closed stop. [m]
            lengthen_left: From where it is set to the open stop. [m]

        Returns:
            Probability. [-]

        Source: docs/theory/take-up.md eq. 3
        """
        halves, sigma = self.halves, self.sigma
        long = chance_above(shorten_left - self.mean, sigma, halves)
        short = chance_above(self.mean + lengthen_left - self.assembly, sigma, halves)
        return min(1.0, long + short)

    def sample(self, count: int, random: np.random.Generator) -> Floats:
        """How much longer than cut, drawn at random.

        Args:
            count: How many legs.
            random: Seeded source of randomness.

        Returns:
            Lengths. [m] (count,)
        """
        drawn = np.zeros(count)
        for share in self.shares:
            drawn += share.mean + share.half * random.uniform(-1.0, 1.0, count)
            drawn += share.sigma * random.standard_normal(count)
        return drawn


def chance_above(limit: float, sigma: float, halves: Sequence[float] = ()) -> float:
    """Chance that a normal part and some uniform parts, all about nil, add up to more.

    Args:
        limit: [m]
        sigma: Standard deviation of the normal part, >= 0. [m]
        halves: Half widths of the uniform parts, > 0. [m]

    Returns:
        Probability, right to about 1e-9. [-]

    Limits: uniform parts much narrower than sigma count as normal with the same deviation.

    Source: docs/theory/take-up.md eq. 3

    >>> round(chance_above(0.4175, sqrt(0.0218), [0.2]), 5)
    0.0115
    """
    wide = [half for half in halves if half > _NARROW * sigma]
    narrow = fsum(half**2 / 3 for half in halves if 0 < half <= _NARROW * sigma)
    sigma = sqrt(sigma**2 + narrow)
    if limit < 0:
        return 1.0 - chance_above(-limit, sigma, wide)
    if sigma <= 0:
        return _chance_uniform(limit, wide)
    if limit >= fsum(wide) + _FAR * sigma:
        return 0.0
    corners = [(limit, 1.0)]
    for half in wide:
        corners = [(at + side * half, sign * -side) for at, sign in corners for side in (-1.0, 1.0)]
    count = len(wide)
    total = fsum(sign * _tail_integral(at / sigma, count) for at, sign in corners)
    return min(1.0, max(0.0, total * sigma**count / prod(2 * half for half in wide)))


def _tail_integral(z: float, times: int) -> float:
    """The normal tail integrated ``times`` times from z to infinity.

    Below nil the recurrence grows with z and loses nothing; far above, it would lose all.
    """
    if z > _FAR:
        return 0.0
    before, here = exp(-z * z / 2) / sqrt(2 * pi), erfc(z / sqrt(2)) / 2
    for k in range(1, times + 1):
        before, here = here, (before - z * here) / k
    return here


def _chance_uniform(limit: float, halves: Sequence[float]) -> float:
    """The same with no normal part: the share of a box beyond a plane."""
    if not halves or limit >= fsum(halves):
        return 0.0
    corners = [(limit, 1.0)]
    for half in halves:
        corners = [(at + side * half, sign * -side) for at, sign in corners for side in (-1.0, 1.0)]
    count = len(halves)
    # The nil-sigma limit of the tail integrals: (-z)^k / k! below nil.
    total = fsum(sign * max(0.0, -at) ** count for at, sign in corners)
    return min(1.0, max(0.0, total / prod(2 * half * k for k, half in enumerate(halves, 1))))


def ring_chance(chances: Sequence[float]) -> float:
    """Chance that at least one leg of a ring runs out.

    Legs are taken as independent. What they share (one reel, one tool) makes them run out
    together, and then the chance for the ring is smaller: docs/theory/take-up.md section 4.

    Args:
        chances: Of each leg. [-] (n_legs,)

    Returns:
        Probability. [-]

    >>> round(ring_chance([0.01148] * 8), 3)
    0.088
    """
    return 1.0 - prod(1.0 - chance for chance in chances)


def sampled_ring_chance(
    legs: Sequence[tuple[TakeUp, float, float]], *, rings: int, seed: int
) -> float:
    """The same by drawing many rings.

    Args:
        legs: Take-up, thread to shorten and thread to lengthen of each leg. [m]
        rings: How many rings to draw.
        seed: Of the random numbers.

    Returns:
        Share of rings in which a leg runs out. [-]
    """
    random = np.random.default_rng(seed)
    out = np.zeros(rings, dtype=bool)
    for take_up, shorten_left, lengthen_left in legs:
        longer = take_up.sample(rings, random)
        out |= (longer > shorten_left) | (longer < take_up.assembly - lengthen_left)
    return float(out.mean())
