"""A gable from its job file for the referees, by code that shares nothing with the tool.

The tied pair is two timbers that run on past the plate as tails: an eave's load lies on the tail
itself, where the tool puts its weight and moment at the foot. Pairs that stand untied are three
hinges, solved here by the balance of the whole and of one rafter about the ridge.

Axes: x east, along the ridge; y north; z up. Hip 0 is the north one.
"""

from __future__ import annotations

from math import hypot

import numpy as np

from .model import UP, Floats, Hold, Job, Loads, Model, Strip, _hip, _ropes, height, si

__all__ = ["build_pair", "lay_pair"]

NORTH = np.array([0.0, 1.0, 0.0])
EAST = np.array([1.0, 0.0, 0.0])


def build_pair(job: Job, *, weight: float = 1.0) -> Model:
    """Build the tied pair, its tails and its one tie.

    Args:
        job: Tables of the job file.
        weight: Multiplies the ropes' own weight. [-]

    Returns:
        The model without load; the ridge cannot move along itself, and a ridge beam holds it up.
    """
    roof = job["roof"]
    half, rise, eave = si(roof["span"]) / 2.0, si(roof["rise"]), si(roof.get("overhang", "0 in"))
    outward, share = np.array([NORTH, -NORTH]), height(job) / rise
    points: dict[str, Floats] = {}
    for k, out in enumerate(outward):
        points[f"foot {k}"], points[f"head {k}"] = half * out, rise * UP
        if eave > 0.0:
            points[f"tail {k}"] = (half + eave) * out - eave * rise / half * UP
        if share > 0.0:
            points[f"bolt {k}"] = half * (1.0 - share) * out + share * rise * UP
    points["hub"] = rise * UP
    starts = [f"tail {k}" if eave > 0.0 else f"foot {k}" for k in range(2)]
    holds: list[Hold] = [{(f"foot {k}", i): 1.0} for k in range(2) for i in (0, 2)]
    holds += [{("foot 0", 1): 0.5, ("foot 1", 1): 0.5}, {("hub", 0): 1.0}]
    holds += [{("hub", 2): 1.0}] if roof["ridge"] == "beam" else []
    for k in range(2):
        holds += [{(f"head {k}", i): 1.0, ("hub", i): -1.0} for i in range(3)]
        holds += [{(f"bolt {k}", 0): 1.0}] if share > 0.0 else []
    links, weights = _ropes(job, points, outward, tightening=0.0, leg_extra=np.zeros(2))
    return Model(
        n=2,
        points=points,
        hips=tuple(_hip(job, starts[k], f"head {k}", EAST) for k in range(2)),
        hub_beams=(),
        holds=tuple(holds),
        links=links,
        outward=outward,
        weights={name: weight * newton for name, newton in weights.items()},
    )


def lay_pair(
    job: Job,
    *,
    dead: float = 1.0,
    snow: tuple[float, float] = (0.0, 0.0),
    uplift: tuple[float, float] = (0.0, 0.0),
    bare_eaves: bool = False,
) -> Loads:
    """Lay even loads on either slope, eaves and all, and what untied pairs push on the plate.

    Args:
        job: Tables of the job file; pressures are taken from it.
        dead: Factor on the dead load. [-]
        snow: Factor on the roof snow of either slope. [-]
        uplift: Factor on the net uplift of either slope. [-]
        bare_eaves: Snow and uplift leave the eaves alone.

    Returns:
        Strips along the timbers from the tail's tip.
    """
    roof, loads = job["roof"], job["loads"]
    half, rise, eave = si(roof["span"]) / 2.0, si(roof["rise"]), si(roof.get("overhang", "0 in"))
    spacing, slope = si(roof["spacing"]), rise / half
    along = hypot(1.0, slope)  # of axis per plan
    lift = si(loads.get("wind", {}).get("uplift", "0 psf"))
    strips: list[tuple[Strip, ...]] = []
    for k in range(2):
        weight = dead * si(loads["dead"]) * along
        laid = snow[k] * si(loads["snow"]["roof"]) - uplift[k] * lift
        out = uplift[k] * lift * slope
        tail, whole = eave * along, (eave + half) * along
        # Per metre of axis there is less plan than on the level.
        per = spacing / along
        found: list[Strip] = [(0.0, whole, weight * per, 0.0)]
        start = tail if bare_eaves else 0.0
        found.append((start, whole, laid * per, out * per))
        strips.append(tuple(found))
    untied = int(roof["tie_every"]) - 1
    feet = _three_hinges(strips, half, rise, eave) if roof["ridge"] == "board" else None
    if feet is None:
        feet = _on_a_beam(strips, half, rise, eave)
    return Loads(np.zeros((2, 2)), np.zeros(2), tuple(strips), tuple(untied * h for h in feet))


def _forces(strips: list[tuple[Strip, ...]], half: float, rise: float, eave: float) -> Floats:
    """Each strip as one force: slope, y, z, push north, weight. (n, 5)"""
    along = hypot(1.0, rise / half)
    rows = []
    for k, side in enumerate((1.0, -1.0)):
        for start, end, down, out in strips[k]:
            reach = half + eave - (start + end) / 2.0 / along  # plan distance from the ridge
            long = end - start
            rows.append(
                (k, side * reach, rise * (1.0 - reach / half), side * out * long, down * long)
            )
    return np.array(rows)


def _three_hinges(
    strips: list[tuple[Strip, ...]], half: float, rise: float, eave: float
) -> tuple[float, float]:
    """Outward push of the feet of an untied pair on the plate. [N]"""
    slope, y, z, push, weight = _forces(strips, half, rise, eave).T
    # Moments of all about foot 1 (y = -half) give the lift of foot 0; then of slope 0 about the
    # ridge the push.
    lift_0 = ((weight * (y + half)).sum() + (push * z).sum()) / (2.0 * half)
    on_0 = slope == 0
    about = (weight * y)[on_0].sum() - (push * (rise - z))[on_0].sum()
    push_0 = (lift_0 * half - about) / rise
    return float(push_0), float(push_0 - push.sum())


def _on_a_beam(
    strips: list[tuple[Strip, ...]], half: float, rise: float, eave: float
) -> tuple[float, float]:
    """Under a ridge beam each foot holds its own slope's push and nothing else. [N]"""
    slope, _, _, push, _ = _forces(strips, half, rise, eave).T
    return float(push[slope == 0].sum()), float(-push[slope == 1].sum())
