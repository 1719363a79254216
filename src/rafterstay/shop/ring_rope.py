"""How long the ring rope is cut, and how its ends are joined."""

from __future__ import annotations

from math import fsum, pi, sin
from typing import TYPE_CHECKING, Final

from rafterstay.catalog import STANDARD
from rafterstay.shop.eye import LEAST_TAIL, MOST_TAIL
from rafterstay.shop.nouns import Mark, RingRope
from rafterstay.shop.steps import above, nearest

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rafterstay.catalog import Catalogue
    from rafterstay.catalog.rows import Sleeve
    from rafterstay.tie.nouns import Tie

__all__ = ["LAP_SLEEVES", "cut_ring", "loop_of_sides", "ring_sleeve"]

LAP_SLEEVES: Final = 2
"""A lapped joint takes two sleeves: common practice, no source."""

_SLEEVE_LONG: Final = 6.0  # [-] rope diameters: longer than any listed oval sleeve, pressed
_SLEEVE_SHORT: Final = 4.0  # [-] rope diameters, before pressing
_SAME: Final = 1e-5  # [m] sizes read in inches and in metres
_GAP: Final = 2.0  # [-] rope diameters between the two finished sleeves, to see both


def loop_of_sides(sides: Sequence[float], bend: float) -> float:
    """Once round a ring whose rope bends over an eye at every corner.

    The corners of the sides are the points where the rope's centre line crosses the eyes;
    there it runs on an arc, so the straight sides are shorter than from point to point.

    Args:
        sides: Straight from eye to eye. [m] (n_legs,)
        bend: Radius of the rope's centre line over an eye. [m]

    Returns:
        Length of the centre line. [m]

    Limits: exact where sides are alike; unequal sides at a regular ring's angles.

    Source: docs/theory/cutting.md eq. 5

    >>> round(loop_of_sides([1.0] * 4, 0.1), 4)
    4.0626
    """
    n = len(sides)
    return fsum(sides) + 2 * bend * (pi - n * sin(pi / n))


def cut_ring(
    tie: Tie, sides: Sequence[float], *, step: float, catalogue: Catalogue = STANDARD
) -> RingRope:
    """Cut the ring rope: once round, and a lap under two sleeves.

    Args:
        tie: Its rope and the thimbles it bends over.
        sides: Unstretched length of each side. [m] (n_legs,)
        step: Of the tape. [m]
        catalogue: Where its sleeve is looked up.

    Returns:
        The ring rope, marked where each eye sits and where the sleeves go; of two the second
        begins half round the ring.
    """
    rope = tie.ring_rope
    loop = loop_of_sides(sides, (tie.thimble.thickness + rope.diameter) / 2)
    sleeve = ring_sleeve(tie, catalogue)
    after = sleeve.after if sleeve else _SLEEVE_LONG * rope.diameter
    before = sleeve.before if sleeve else _SLEEVE_SHORT * rope.diameter
    tail = (LEAST_TAIL + MOST_TAIL) / 2 * rope.diameter
    lap = 2 * tail + LAP_SLEEVES * after + _GAP * rope.diameter
    middle = (after + _GAP * rope.diameter) / 2
    marks = _marks(sides, 0, loop=loop, lap=lap, middle=middle, before=before, step=step)
    second: tuple[Mark, ...] = ()
    if tie.ring_ropes > 1:
        half = len(sides) // 2
        second = _marks(sides, half, loop=loop, lap=lap, middle=middle, before=before, step=step)
    doubt = ""
    if sleeve is None:
        doubt = _missing(tie, catalogue)
    return RingRope(
        rope.name,
        loop,
        lap,
        marks,
        LAP_SLEEVES,
        sleeve.name if sleeve else "",
        sleeve.presses if sleeve else 0,
        doubt,
        second,
    )


def _marks(
    sides: Sequence[float],
    first: int,
    *,
    loop: float,
    lap: float,
    middle: float,
    before: float,
    step: float,
) -> tuple[Mark, ...]:
    """Running marks of a rope whose lap lies before the eye of leg ``first`` + 1."""
    start = above(lap / 2, step)
    marks = [Mark("middle of the lap", start)]
    # The eyes hang clear of the lap: the first sits half a side past its middle.
    share, n = loop / fsum(sides), len(sides)
    run = sides[first - 1] / 2
    for k in range(n):
        leg = (first + k) % n
        marks.append(Mark(f"eye {leg + 1}", start + nearest(run * share, step)))
        run += sides[leg]
    closed = start + above(loop, step)
    marks.append(Mark("middle of the lap again", closed))
    for name, way in (("first", -1), ("second", 1)):
        for edge, off in (("start", -before / 2), ("end", before / 2)):
            at = closed + nearest(way * middle + off, step)
            marks.append(Mark(f"{name} sleeve: {edge}", at))
    marks.sort(key=lambda mark: mark.steps)
    return (*marks, Mark("cut", closed + above(lap / 2, step)))


def _missing(tie: Tie, catalogue: Catalogue) -> str:
    """What row the catalogue lacks, which it has, and what can be done."""
    made = f"{tie.sleeve.material} oval"
    size = " ".join(tie.ring_rope.name.split()[-2:])
    has = ", ".join(name for name in catalogue.names("sleeve") if name.startswith(made))
    return (
        f'The catalogue has no row "{made} {size}", the sleeve of ring rope '
        f"{tie.ring_rope.name}; it has {has}. The lap is taken long, at six rope diameters a "
        "sleeve, so this rope is not to be cut yet. Put the maker's figures into sleeve.csv of "
        "the job's own catalogue (docs/catalogue.md: length before and after, presses), or take "
        "a ring rope that has a sleeve, or have the ring closed by a rigging shop."
    )


def ring_sleeve(tie: Tie, catalogue: Catalogue) -> Sleeve | None:
    """The sleeve that closes the ring rope.

    Args:
        tie: Its ring rope, and the material of its sleeves.
        catalogue: Where it is looked up.

    Returns:
        A sleeve of the same material for that rope; None where the catalogue has none.
    """
    for name in catalogue.names("sleeve"):
        sleeve = catalogue.find("sleeve", name)
        same = sleeve.material == tie.sleeve.material
        if same and abs(sleeve.rope - tie.ring_rope.diameter) < _SAME:
            return sleeve
    return None
