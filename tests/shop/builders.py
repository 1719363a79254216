"""Rings as they really come out: a thousand builds whose truth is not the cut list's model.

Every build has its own rope, tool and hands: EA a quarter softer or stiffer; bedding-in of its
own reel; sleeves that grow up to 30 % more or less and push each eye by what they like; cuts and
readings with the long tails that people have; one eye in a hundred half an inch wrong.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rafterstay.shop.nouns import Cutting, Legs
from rafterstay.statics.nouns import Setting
from rafterstay.tie.nouns import Tie

__all__ = ["Builds", "build", "flat", "out_of_thread"]

INCH = 0.0254  # [m]


@dataclass(frozen=True)
class Builds:
    """How each leg of each ring came out. [m] (n_builds, n_legs)

    Attributes:
        off: True distance less the distance that was read.
        longer: How much longer than meant both pieces are when first hung.
        stretch: Strain at the setting pull. [-]
        bedded: Strain that bedding-in adds later. [-]
        seated: How much longer thimbles make the leg later.
        play: Of bolt and jaw pins.
    """

    off: NDArray[np.float64]
    longer: NDArray[np.float64]
    stretch: NDArray[np.float64]
    bedded: NDArray[np.float64]
    seated: NDArray[np.float64]
    play: NDArray[np.float64]


def build(
    tie: Tie, setting: Setting, legs: Legs, *, builds: int, seed: int, bored: float = 0.0
) -> Builds:
    """Draw what nobody knows before the legs are hung.

    ``bored`` is how far off its place a bolt hole is, one standard deviation, of both bolts of
    a leg; the distances' own sigmas are those of the readings and of both holes. [m]
    """
    random = np.random.default_rng(seed)
    each = (builds, len(legs.distances))
    rows = [legs.drawn_as(k) for k in range(len(legs.distances))]
    bolts = 1 if tie.layout == "ring" else 2
    reel = (builds, 1)
    growth = (tie.sleeve.after - tie.sleeve.before) * random.uniform(0.7, 1.3, reel)
    push = growth[..., None] * random.triangular(0.0, 0.06, 0.25, (*each, 4))
    wrong = random.random((*each, 4)) < 0.01
    slips = wrong * random.choice([-INCH / 2, INCH / 2], (*each, 4))
    hands = random.laplace(0.0, INCH / 32, (*each, 4))
    misread = (random.random((*each, 2)) < 0.02) * random.uniform(-INCH / 8, INCH / 8, (*each, 2))
    read = np.sqrt(np.maximum(np.array(legs.sigmas) ** 2 - 2 * bored**2, 0.0))
    stiffness = tie.rope.stiffness * random.uniform(0.75, 1.25, reel)
    return Builds(
        off=random.standard_t(4, each) * read
        + random.laplace(0.0, bored / 2**0.5, (*each, 2)).sum(axis=-1),
        longer=(push + slips + hands).sum(axis=-1) + misread.sum(axis=-1),
        stretch=setting.leg_pull[None, rows] / stiffness,
        bedded=0.01 * random.beta(1.6, 1.2, reel) * np.ones(each),
        seated=random.exponential(0.0004, (*each, 4)).sum(axis=-1),
        play=random.uniform(INCH / 64, INCH / 32, (*each, bolts)).sum(axis=-1)
        + random.gamma(4.0, 0.0003, each),
    )


def out_of_thread(
    tie: Tie, legs: Legs, drawn: Builds, *, rope: NDArray[np.float64], gives: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Rings in which a body cannot reach its leg, or comes to its closed stop in the end.

    ``rope`` is what both pieces of each leg are meant to be, pin to pin, without an eye's
    push; ``gives`` what the roof gives way by. [m] (n_legs,)
    """
    length = rope[None, :] + drawn.longer
    distance = np.array(legs.distances)[None, :] + drawn.off - gives[None, :] - drawn.play
    hung = distance - length * (1 + drawn.stretch)
    later = distance - drawn.seated - length * (1 + drawn.stretch) * (1 + drawn.bedded)
    opened = tie.turnbuckle.closed + tie.turnbuckle.take_up
    return np.asarray(((hung > opened) | (later < tie.turnbuckle.closed)).any(axis=1))


def flat(cutting: Cutting) -> NDArray[np.float64]:
    """What both pieces of each leg would be if pressing pushed no eye. [m] (n_legs,)"""
    bare = [piece.finished - 2 * cutting.making.creep for piece in cutting.pieces]
    return np.asarray(np.array(bare).reshape(-1, 2).sum(axis=1))
