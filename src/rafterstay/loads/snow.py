"""Every pattern in which snow may lie on a many-sided roof."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, degrees
from typing import TYPE_CHECKING

import numpy as np

from rafterstay.core.sources import Source
from rafterstay.core.working import Line
from rafterstay.loads.asce7_2016 import snow as clause
from rafterstay.loads.asce7_2016.shown import US, Shown, figure
from rafterstay.loads.asce7_2016.unbalanced import (
    CONE,
    FADE_DEG,
    HIP_AND_GABLE,
    SECTOR_DEG,
    SHORT,
    Drifted,
    cone_snow,
    drifted_snow,
    is_cone_unbalanced,
    is_unbalanced,
    sector_share,
    short_roof_snow,
)
from rafterstay.loads.laid import Laid, Lines, Plan
from rafterstay.loads.pieces import Pieces, Region
from rafterstay.loads.spread import around, even, halves, heading
from rafterstay.loads.worked import drift_worked, even_worked, halves_worked, short_worked
from rafterstay.roof.frame import Floats

if TYPE_CHECKING:
    from rafterstay.job.building import Snow

__all__ = ["Site", "Snowed", "lay_snow", "site_of"]

FEWEST_FOR_CONE = 5  # up to four sides a roof is a hip roof and nothing else
FULL, OTHER = 1.0, 0.3  # simplified halves
KINKS_DEG = tuple(
    sign * at for at in (SECTOR_DEG / 2, SECTOR_DEG / 2 + FADE_DEG) for sign in (-1.0, 1.0)
)


@dataclass(frozen=True)
class Site:
    """The snow of a site and how a building stands in it.

    Attributes:
        ground: Ground snow at the level of ASCE 7-16. [Pa]
        exposure: C_e. [-]
        thermal: C_t. [-]
        importance: I_s. [-]
        slippery: See `slope_factor`.
        flat: p_f. [Pa]
        working: How it was found.
    """

    ground: float
    exposure: float
    thermal: float
    importance: float
    slippery: bool
    flat: float
    working: tuple[Line, ...]


@dataclass(frozen=True)
class Snowed:
    """Every pattern of snow.

    Attributes:
        laid: Even first, then one-sided.
        simplified: One-sided snow is the simplified pattern.
        told: What a reader must know of the choice.
        working: How the pressures were found.
        sources: Their clauses.
    """

    laid: list[Laid]
    simplified: bool = False
    told: tuple[str, ...] = ()
    working: tuple[Line, ...] = ()
    sources: tuple[Source, ...] = ()


def site_of(stated: Snow, shown: Shown = US) -> Site:
    """Factors of the site and the snow on a flat roof there.

    Args:
        stated: Ground snow with everything that goes with it.
        shown: Units of its lines.

    Returns:
        The site.
    """
    if stated.ground is None:
        raise ValueError("the job states no ground snow")
    exposure = clause.exposure_factor(str(stated.exposure))
    thermal = clause.thermal_factor(str(stated.thermal))
    importance = clause.importance_factor(str(stated.importance))
    ground, lines = stated.ground, []
    if stated.level == "strength":
        ground = clause.service_ground_snow(ground)
        numbers = f"0.7 * {shown.p(stated.ground)}"
        lines.append(shown.line("pg", "0.7 pg,strength", numbers, ground))
    flat = clause.flat_roof_snow(ground, exposure=exposure, thermal=thermal, importance=importance)
    numbers = f"0.7 * {exposure:g} * {thermal:g} * {importance:g} * {shown.p(ground)}"
    lines.append(shown.line("pf", "0.7 Ce Ct Is pg", numbers, flat))
    return Site(ground, exposure, thermal, importance, bool(stated.slippery), flat, tuple(lines))


def lay_snow(stated: Snow, plan: Plan, *, simple_hips: bool, shown: Shown = US) -> Snowed:
    """Lay the snow that a job states.

    Args:
        stated: Snow on the roof, or on the ground with what goes with it.
        plan: The roof in pieces.
        simple_hips: The hips are held at foot and head only: the tie is at the plate.
        shown: Units of the lines.

    Returns:
        Every pattern.
    """
    if stated.ground is not None:
        return _from_ground(site_of(stated, shown), plan, simple_hips=simple_hips, shown=shown)
    pressure = stated.roof or 0.0
    if pressure <= 0:
        return Snowed([])
    laid = [Laid("balanced", None, even(plan, pressure))]
    laid += _all_round("unbalanced", plan, FULL * pressure, OTHER * pressure)
    lines = halves_worked(pressure, full=FULL, other=OTHER, shown=shown)
    return Snowed(laid, simplified=True, working=tuple(lines))


def _all_round(pattern: str, plan: Plan, full: Floats | float, other: Floats | float) -> list[Laid]:
    return [Laid(pattern, towards, halves(plan, towards, full, other)) for towards in around(plan)]


def _from_ground(site: Site, plan: Plan, *, simple_hips: bool, shown: Shown) -> Snowed:
    """Even snow, then each one-sided rule that applies."""
    slopes_deg = np.degrees(np.arctan(plan.slope))
    factors = np.array(
        [
            [clause.slope_factor(deg, site.thermal, slippery=site.slippery) for deg in pair]
            for pair in slopes_deg.tolist()
        ]
    )
    sloped = site.flat * factors
    slope = float(plan.slope.mean())
    slope_deg = degrees(atan(slope))
    least = clause.minimum_snow(site.ground, site.importance, slope_deg)
    rain = clause.rain_on_snow(site.ground, slope_deg, plan.eave_to_ridge)
    balanced = np.maximum(sloped + rain, least)
    mean = float(factors.mean())
    lines = [
        *site.working,
        *even_worked(site, slope_deg=slope_deg, factor=mean, rain=rain, least=least, shown=shown),
    ]
    laid = [Laid("balanced", None, even(plan, balanced))]
    told, sources = [], [clause.BALANCED]
    if is_unbalanced(slope):
        if simple_hips and plan.eave_to_ridge <= SHORT * (1 + 1e-9):
            lee = short_roof_snow(site.ground, site.importance)
            laid += _all_round("unbalanced", plan, lee, 0.0)
            lines.append(short_worked(site, lee, shown))
        else:
            drifted = drifted_snow(
                float(sloped.mean()),
                site.ground,
                slope=slope,
                eave_to_ridge=plan.eave_to_ridge,
                importance=site.importance,
            )
            laid += [_drift(plan, towards, drifted, sloped) for towards in around(plan)]
            wide = plan.eave_to_ridge
            lines += drift_worked(
                site, eave_to_ridge=wide, drifted=drifted, slope=slope, shown=shown
            )
        sources.append(HIP_AND_GABLE)
        told.append(_HALVES)
    if plan.frame.n >= FEWEST_FOR_CONE and is_cone_unbalanced(slope_deg):
        crown, eave = cone_snow(site.flat, exposure=site.exposure, slope_factor=1.0)
        laid += [_cone(plan, towards, eave * factors, crown) for towards in around(plan)]
        lines.append(shown.line("p_crown", "0.5 pf", f"0.5 * {shown.p(site.flat)}", crown))
        numbers = f"2 * {shown.p(site.flat)} * {figure(mean)} / {site.exposure:g}"
        lines.append(shown.line("p_eave", "2 pf Cs / Ce", numbers, eave * mean))
        sources.append(CONE)
        told.append(_CONE_TOLD)
    if len(sources) == 1:
        told.append(f"No one-sided snow is asked for at a roof slope of {slope_deg:.1f} degrees.")
    return Snowed(laid, False, tuple(told), tuple(lines), tuple(sources))


_HALVES = (
    "One-sided snow of hip and gable roofs (ASCE 7-16 7.6.1) is laid on the half of the roof "
    "downwind of a line through the hub, in every direction: the standard does not say how a "
    "many-sided roof divides."
)
_CONE_TOLD = (
    "With five sides or more the roof is also taken as a cone (ASCE 7-16 7.6.4): snow on a "
    "quarter of the plan, fading out over 22.5 degrees on either side, in every direction. The "
    "standard does not say from how many sides a roof is one, so both rules are run."
)


def _drift(plan: Plan, direction: float, drifted: Drifted, sloped: Floats) -> Laid:
    """The lee half with a strip of drift along the line through the hub."""
    towards = heading(direction)
    windward = 0.3 * sloped

    def region(pieces: Pieces) -> Region:
        lee = pieces.beyond(towards, 0.0)
        strip = lee - pieces.beyond(towards, drifted.width)
        return (pieces.whole() - lee) * windward + lee * sloped + strip * drifted.surcharge

    return Laid("unbalanced-drift", direction, plan.lay(region))


def _cone(plan: Plan, direction: float, eave: Floats, crown: float) -> Laid:
    """The downwind sector, from its crown to its eave."""
    towards = heading(direction)
    ends = (eave, np.full_like(eave, crown))

    def region(pieces: Pieces) -> Region:
        return pieces.swept(towards, sector_share, KINKS_DEG, along=plan.to_centre, ends=ends)

    lines: Lines = plan.lay(region)
    return Laid("unbalanced-cone", direction, lines)
