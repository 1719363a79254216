"""Every combination, pattern and direction the job asks for."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from typing import TYPE_CHECKING

from rafterstay.loads.asce7_2016.roof_live import ROOF_LIVE
from rafterstay.loads.asce7_2016.shown import shown_in
from rafterstay.loads.climate import climates
from rafterstay.loads.combinations import COMBINATIONS, SOURCE, Combination
from rafterstay.loads.laid import Laid, Lines, Plan, both_eaves
from rafterstay.loads.live import lay_live, live_working
from rafterstay.loads.nouns import Case, Cases
from rafterstay.loads.on_pair import gather_pair
from rafterstay.loads.snow import lay_snow
from rafterstay.loads.spread import dead_lines
from rafterstay.loads.wind import lay_uplift
from rafterstay.loads.worked import dead_worked, uplift_worked
from rafterstay.roof.frame import Frame

if TYPE_CHECKING:
    from rafterstay.job import Job

__all__ = ["combine", "gather"]

EARTHQUAKE = "Earthquake is not covered: combinations with E are not run."
JACKS_ON_RING = (
    "Middle jacks end on the beams of the hub ring between the heads: the load is taken to the "
    "heads, and how it bends those beams is not checked."
)
NO_WIND = "No wind is counted: loads.wind states none."


def gather(job: Job, frame: Frame, *, only: Collection[str] = ()) -> Cases:
    """Gather the cases of allowable stress design.

    Args:
        job: Dead, roof live, snow and wind load, temperatures and overhang.
        frame: The roof.
        only: Ids of the cases wanted; all where left out or where the job has none of them.

    Returns:
        ``D`` first, then every combination with every pattern in all 2n directions. ``D`` is
        left out where no dead load is stated, and so is every load that is nil. Where both
        snow or roof live load and wind change, even loads meet uplift all over, one-sided
        loads meet uplift on the other half.

    Source: International Building Code 2018, 1605.3.1, with L, R and E nil
    """
    every = _on_gable(job, frame) if frame.shape == "gable" else _on_hips(job, frame, only)
    wanted = tuple(case for case in every.cases if case.id in only)
    if wanted:
        return replace(every, cases=wanted)
    return gather(job, frame) if only else every


def _on_gable(job: Job, frame: Frame) -> Cases:
    pair = gather_pair(job, frame)
    blown = any("W" in case.equation for case in pair.cases)
    return replace(pair, told=(*pair.told, EARTHQUAKE, *(() if blown else (NO_WIND,))))


def _on_hips(job: Job, frame: Frame, only: Collection[str]) -> Cases:
    """Cases of a many-sided roof; one-sided loads only in the directions of those wanted."""
    overhang = job.roof.overhang
    plan = replace(Plan.of(frame, overhang), only=_directions_in(only))
    dead = dead_lines(plan, job.loads.dead)
    setting = combine("D", dead, None, 0.0, pattern="dead")
    shown = shown_in(job.show)
    snow = lay_snow(job.loads.snow, plan, simple_hips=job.tie_height <= 0, shown=shown)
    lay = {
        "live": both_eaves(lay_live(job.loads.roof_live, plan), overhang),
        "snow": both_eaves(snow.laid, overhang),
        "wind": both_eaves(lay_uplift(job.loads.wind.uplift, plan), overhang),
    }
    cases = [setting] if job.loads.dead > 0 else []
    equations = {name.partition("/")[0] for name in only}
    for combination in COMBINATIONS[1:]:
        if not only or combination.equation in equations:
            cases += _cases(combination, dead, lay)
    return Cases(
        cases=tuple(cases) or (setting,),
        setting=setting,
        simplified_snow=snow.simplified,
        climates=climates(job.loads),
        told=(*snow.told, *_of_jacks(frame), EARTHQUAKE, *(() if lay["wind"] else (NO_WIND,))),
        working=(
            *dead_worked(job.loads.dead, float(plan.slope.mean()), shown),
            *snow.working,
            *live_working(job.loads.roof_live, plan, shown),
            *uplift_worked(job.loads.wind.uplift, float(plan.slope.mean()), shown),
        ),
        sources=(*snow.sources, *((ROOF_LIVE,) if lay["live"] else ())),
    )


def _directions_in(only: Collection[str]) -> frozenset[int] | None:
    """Whole degrees that ids name; None where all are needed: wind meets what is opposite."""
    if not only or any("W" in name.partition("/")[0] for name in only):
        return None
    ends = (name.rpartition("-")[2] for name in only)
    return frozenset(int(end) for end in ends if end.isascii() and end.isdigit())


def _of_jacks(frame: Frame) -> tuple[str, ...]:
    return (JACKS_ON_RING,) if frame.jacks and frame.hub == "ring" else ()


def _cases(combination: Combination, dead: Lines, lay: dict[str, list[Laid]]) -> list[Case]:
    """One combination with all its patterns."""
    factors = {"live": combination.live, "snow": combination.snow, "wind": combination.wind}
    changing = [name for name, factor in factors.items() if factor > 0]
    if not all(lay[name] for name in changing):
        return []
    laid, *second = (_scaled(lay[name], factors[name]) for name in changing)
    for wind in second:
        laid = [_with_wind(one, wind) for one in laid]
    return [
        _case(combination, dead * combination.dead + one.lines, one.pattern, one.direction_deg)
        for one in laid
    ]


def _scaled(laid: list[Laid], factor: float) -> list[Laid]:
    return [Laid(one.pattern, one.direction_deg, one.lines * factor) for one in laid]


def _with_wind(one: Laid, wind: list[Laid]) -> Laid:
    """A pattern and the uplift that goes with it: all over, or on the other half."""
    eaves = "-bare-eaves" if one.pattern.endswith("-bare-eaves") else ""
    name = f"{one.pattern.removesuffix('-bare-eaves')}+uplift{eaves}"
    if one.direction_deg is None:
        (lift,) = (each for each in wind if each.pattern == f"uplift{eaves}")
    else:
        opposite = one.direction_deg + 180.0
        around = [each for each in wind if each.pattern == f"uplift-one-sided{eaves}"]
        # Opposite among the directions the wind was laid in, whatever their rounding.
        lift = min(around, key=lambda each: _apart(each.direction_deg or 0.0, opposite))
    return Laid(name, one.direction_deg, one.lines + lift.lines)


def _apart(first_deg: float, second_deg: float) -> float:
    """Angle between two directions. [deg]"""
    return abs((first_deg - second_deg + 180.0) % 360.0 - 180.0)


def _case(combination: Combination, lines: Lines, pattern: str, direction: float | None) -> Case:
    return Case(
        equation=combination.equation,
        pattern=pattern,
        direction_deg=direction,
        duration_factor=combination.duration_factor,
        dead_factor=combination.dead,
        hip_load=lines.hips,
        head_load=lines.heads,
        source=SOURCE,
        hip_push=lines.push,
        tail_load=lines.tails,
        tail_push=lines.tail_push,
        tail_moment=lines.tail_moment,
        head_push=lines.head_push,
    )


def combine(
    equation: str,
    dead: Lines,
    load: Lines | None,
    factor: float,
    *,
    pattern: str,
    direction: float | None = None,
) -> Case:
    """Add one load times its factor to the dead load.

    Args:
        equation: Name of the combination; its duration is that of snow where there is a load.
        dead: The dead load.
        load: The other load, or None.
        factor: Multiplies the other load. [-]
        pattern: Name of the pattern.
        direction: Towards the loaded side, clockwise from leg 1. [deg]

    Returns:
        The case.
    """
    named = COMBINATIONS[0 if load is None else 2]
    whole = dead if load is None else dead + load * factor
    combination = Combination(equation, named.duration_factor)
    return _case(combination, whole, pattern, direction)
