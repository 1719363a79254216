"""What can builds of one drawing be off by? Drawn at random, the same for the same seed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rafterstay.core.errors import Finding, InputError
from rafterstay.roof.frame import Floats
from rafterstay.tuning.model import Model
from rafterstay.tuning.prior import Prior

__all__ = ["Builds", "draw_builds"]


@dataclass(frozen=True)
class Builds:
    """What each build is off by.

    Attributes:
        causes: Legs, sides, logarithms of EA, of the frame's and the walls' stiffness, as
            ``Model.layout`` tells; no warmth. [m, -, K] (n_builds, size)
        astray: Each bolt from its place, across its leg. [m] (n_builds, n, 3)
    """

    causes: Floats
    astray: Floats

    def only(self, rows: slice | NDArray[np.intp]) -> Builds:
        """The same for some of the builds."""
        return Builds(self.causes[rows], self.astray[rows])


def draw_builds(
    model: Model, prior: Prior, *, samples: int, seed: int, across: float = 0.0
) -> Builds:
    """Draw builds at random: every cause normal about its mean, by the prior's deviations.

    Bodies are set on the bench to what the drawing says, so ``prior.body_sigma`` is not used.

    Args:
        model: The tie as drawn and set.
        prior: Means and standard deviations.
        samples: How many builds, >= 1.
        seed: Of the random numbers, >= 0.
        across: Standard deviation of a bolt's place across its leg, sideways and up; along the
            leg it is in ``prior.leg_sigma``. [m]

    Returns:
        The builds.

    Raises:
        InputError: TU-040 samples or seed, TU-041 a mean or deviation that cannot be.
    """
    _require_count("samples", samples, 1)
    _require_count("seed", seed, 0)
    _require_spread(model, prior, across)
    lay, random = model.layout, np.random.default_rng(seed)
    deviation = np.zeros(lay.size)
    deviation[: lay.n] = prior.leg_sigma
    deviation[lay.n : lay.rope] = prior.side_sigma
    deviation[lay.rope] = deviation[lay.ring] = prior.rope_sigma
    deviation[lay.frame] = prior.frame_sigma
    if lay.walls:
        deviation[lay.wall] = prior.walls_sigma
    causes = deviation * random.standard_normal((samples, lay.size))
    causes[:, : lay.n] += prior.leg
    off = across * random.standard_normal((samples, lay.n, 2))
    return Builds(causes, np.einsum("bkw,kwi->bki", off, _across(model)))


def _across(model: Model) -> Floats:
    """Level and upward unit vectors across every leg. [-] (n, 2, 3)"""
    along = model.tie.ring_points - model.tie.bolt_points
    along = along / np.linalg.norm(along, axis=1, keepdims=True)
    level = np.cross(along, [0.0, 0.0, 1.0])
    level = level / np.linalg.norm(level, axis=1, keepdims=True)
    return np.stack([level, np.cross(level, along)], axis=1)


def _require_count(name: str, value: object, least: int) -> None:
    whole = isinstance(value, int | np.integer) and not isinstance(value, bool)
    if not whole or int(str(value)) < least:
        raise InputError(
            Finding(
                "TU-040",
                key=name,
                value=str(value),
                bound=f"a whole number of {least} or more",
                remedy="State how many builds to draw, and any seed to draw the same ones again.",
            )
        )


def _require_spread(model: Model, prior: Prior, across: float) -> None:
    """Means finite, deviations finite and not below nil, one of each leg."""
    stated = {**vars(prior), "across": across}
    for name, value in stated.items():
        table = np.asarray(value, dtype=float)
        legs = name in {"leg", "leg_sigma"}
        fits = table.shape == ((model.tie.n,) if legs else ())
        least = -np.inf if name == "leg" else 0.0
        if not fits or not np.isfinite(table).all() or (table < least).any():
            raise InputError(
                Finding(
                    "TU-041",
                    key=f"prior.{name}" if name in vars(prior) else name,
                    value=str(value),
                    bound=("one for each leg, " if legs else "")
                    + ("finite" if name == "leg" else "finite and not below 0"),
                    remedy="Take them from `prior_of`, or state standard deviations.",
                )
            )
