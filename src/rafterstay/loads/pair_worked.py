"""How the pressures on a gable were found, line by line, and by which clauses."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rafterstay.core.sources import Source
from rafterstay.core.working import Line
from rafterstay.loads.asce7_2016 import snow as clause
from rafterstay.loads.asce7_2016.roof_live import ROOF_LIVE
from rafterstay.loads.asce7_2016.shown import US, Shown
from rafterstay.loads.asce7_2016.unbalanced import (
    HIP_AND_GABLE,
    SHORT,
    drifted_snow,
    is_unbalanced,
    short_roof_snow,
)
from rafterstay.loads.asce7_2016.wind import GABLE_WIND
from rafterstay.loads.gable import Outline
from rafterstay.loads.snow import FULL, OTHER, site_of
from rafterstay.loads.worked import (
    dead_worked,
    drift_worked,
    even_worked,
    halves_worked,
    live_worked,
    short_worked,
    uplift_worked,
    wind_worked,
)

if TYPE_CHECKING:
    from rafterstay.job.building import Loads, Snow

__all__ = ["pair_worked"]


def pair_worked(
    loads: Loads, outline: Outline, *, simple_rafters: bool, shown: Shown = US
) -> tuple[tuple[Line, ...], tuple[Source, ...]]:
    """Work every pressure that `loads.gable` lays on a pair.

    Args:
        loads: What the job states.
        outline: The gable.
        simple_rafters: The rafters are held at plate and ridge only.
        shown: Units of the lines.

    Returns:
        The lines, and the clauses of those that are laid.

    Raises:
        InputError: IN-841.
    """
    wind = loads.wind
    tributary = outline.spacing * outline.span / 2
    lines = dead_worked(loads.dead, outline.slope, shown)
    lines += _snow(loads.snow, outline, simple_rafters=simple_rafters, shown=shown)
    lines += live_worked(loads.roof_live, tributary=tributary, slope=outline.slope, shown=shown)
    lines += uplift_worked(wind.uplift, outline.slope, shown)
    lines += wind_worked(
        wind,
        slope_deg=outline.slope_deg,
        height_over_length=(wind.height or 0.0) / outline.span,
        height_over_length_along=(wind.height or 0.0) / outline.length,
        shown=shown,
    )
    ground = loads.snow.ground is not None
    laid = {
        clause.BALANCED: ground,
        HIP_AND_GABLE: ground and is_unbalanced(outline.slope),
        ROOF_LIVE: loads.roof_live > 0,
        GABLE_WIND: wind.speed is not None,
    }
    return tuple(lines), tuple(source for source, counts in laid.items() if counts)


def _snow(stated: Snow, outline: Outline, *, simple_rafters: bool, shown: Shown) -> list[Line]:
    """Even snow, then the one-sided rule that applies."""
    if stated.ground is None:
        return halves_worked(stated.roof or 0.0, full=FULL, other=OTHER, shown=shown)
    site = site_of(stated, shown)
    wide, slope_deg = outline.eave_to_ridge, outline.slope_deg
    factor = clause.slope_factor(slope_deg, site.thermal, slippery=site.slippery)
    lines = [
        *site.working,
        *even_worked(
            site,
            slope_deg=slope_deg,
            factor=factor,
            rain=clause.rain_on_snow(site.ground, slope_deg, wide),
            least=clause.minimum_snow(site.ground, site.importance, slope_deg),
            shown=shown,
        ),
    ]
    if not is_unbalanced(outline.slope):
        return lines
    if simple_rafters and wide <= SHORT * (1 + 1e-9):
        lee = short_roof_snow(site.ground, site.importance)
        return [*lines, short_worked(site, lee, shown)]
    drifted = drifted_snow(
        factor * site.flat,
        site.ground,
        slope=outline.slope,
        eave_to_ridge=wide,
        importance=site.importance,
    )
    return lines + drift_worked(
        site, eave_to_ridge=wide, drifted=drifted, slope=outline.slope, shown=shown
    )
