"""The map: which stage follows which, read from top to bottom.

Every loop of the design stands here, never hidden as a call to a higher stage.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from rafterstay import checks, loads, roof, sizing, statics, tie, tuning
from rafterstay.core.errors import InputError, Mechanism, NotConverged

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from rafterstay.checks.nouns import Checks
    from rafterstay.job import Job
    from rafterstay.loads import Cases
    from rafterstay.roof import Frame
    from rafterstay.statics import Forces
    from rafterstay.survey import AsBuilt
    from rafterstay.tie import Tie

__all__ = ["Design", "Tuned", "check", "compare", "heights", "pretension", "size", "tune"]


@dataclass(frozen=True)
class Design:
    """A job carried from what was stated to what was found.

    Attributes:
        built: The frame as it stands, where it was surveyed.
        losses: Forces with a leg or a side of the ring gone; none at a first look.
        band: Between which pulls the legs may be set, where the job asks for a pull.
    """

    job: Job
    frame: Frame
    tie: Tie
    cases: Cases
    forces: Forces
    checks: Checks
    built: AsBuilt | None = None
    band: sizing.Band | None = None
    losses: tuple[statics.Losses, ...] = ()


Found = Design | InputError | Mechanism | NotConverged


def check(job: Job, *, built: AsBuilt | None = None, only: Collection[str] = ()) -> Design:
    """Carry a job from roof to ranked checks.

    Args:
        job: What the user states, audited.
        built: The frame as it stands, where it was surveyed.
        only: Ids of the cases to solve, for a first look; all where left out or where the job
            has none of them. A first look is no verdict.

    Returns:
        Every stage's result.

    Raises:
        InputError: The parts do not fit the roof.
        Mechanism: Nothing holds a part of the roof.
        NotConverged: No answer was reached.
    """
    if only or job.pretension.target == 0.0:
        return _carry(job, built, only)
    band = pretension(job, built=built)
    if job.pretension.target != "auto":
        return replace(_carry(job, built), band=band)
    done = _carry(_set_to(job, sizing.aimed_at(band, job)), built)
    if band.status == "none":
        done = replace(done, checks=replace(done.checks, verdict="fails"))
    return replace(done, job=job, band=band)


def pretension(job: Job, *, built: AsBuilt | None = None) -> sizing.Band:
    """Find between which pulls the legs may be set.

    Args:
        job: What the user states.
        built: The frame as it stands, where it was surveyed.

    Returns:
        The band, or the two reasons that cross.

    Raises:
        Mechanism: Nothing holds a part of the roof with snug legs.
    """
    snug = _carry(_set_to(job, 0.0), built)
    watched = sizing.deciding(snug)
    search = sizing.BandSearch(snug)
    while (pull := search.propose()) is not None:
        search.learn(_attempt(_set_to(job, pull), built, watched))
    return search.band()


def size(job: Job, *, with_ply: bool = False) -> sizing.Sizes:
    """Find the smallest parts that pass together.

    Args:
        job: What the user states; of every part its kind is kept.
        with_ply: The ply may change too.

    Returns:
        The parts, each checked whole, and what one size down does.

    Raises:
        InputError: No parts fit the roof.
        Mechanism: Nothing holds a part of the roof, whatever the sizes.
    """
    if job.pretension.target == "auto":
        job = _set_to(job, sizing.aimed_at(pretension(job), job))
    search = sizing.Search(job, with_ply=with_ply)
    watched: frozenset[str] = frozenset()
    while (trial := search.propose()) is not None:
        found = _attempt(trial, None, watched)
        if watched and search.takes(found):
            # A first look passed: only the whole check may say that it is enough.
            found = _attempt(trial)
            watched |= _deciding(found)
        elif not watched:
            watched = _deciding(found)
        search.learn(found)
    return search.sizes()


def heights(job: Job) -> tuple[sizing.HeightRow, ...]:
    """Sweep the height of the tie, parts held."""
    return tuple(
        sizing.at_height(job, share, _attempt(sizing.raised(job, share)))
        for share in sizing.heights_of(job)
    )


def compare(job: Job) -> tuple[sizing.Scheme, ...]:
    """Tie the roof by a ring, a band and straight across, parts held."""
    laid = ((layout, sizing.laid_out(job, layout)) for layout in sizing.LAYOUTS)
    return tuple(
        sizing.scheme(layout, each if isinstance(each, str) else _attempt(each))
        for layout, each in laid
    )


@dataclass(frozen=True)
class Tuned:
    """A tie as read, and what to turn.

    Attributes:
        job: With its target found.
        frame: The roof.
        tie: As drawn.
        advice: The table of turns.
        built: The survey, where the frame was measured.
    """

    job: Job
    frame: Frame
    tie: Tie
    advice: tuning.Advice
    built: AsBuilt | None = None


def tune(
    job: Job,
    readings: Sequence[tuning.Reading],
    *,
    built: AsBuilt | None = None,
    standing: Mapping[int, float] | None = None,
) -> Tuned:
    """Find one table of turns for all legs.

    Args:
        job: What the user states.
        readings: Of the tie as it hangs, any mix.
        built: The frame as it stands, where it was surveyed.
        standing: How far outward each foot was surveyed, by its number. [m]

    Returns:
        The advice.

    Raises:
        InputError: TU-010 the tie has no ring, or its legs no turnbuckles.
        Mechanism: The target pull cannot be held.
        NotConverged: Nothing holds the tie as it was read.
    """
    if job.pretension.target == "auto":
        job = _set_to(job, sizing.aimed_at(pretension(job, built=built), job))
    frame = roof.stand(job, built) if built else roof.lay_out(job)
    rigged = tie.rig(job, frame)
    model = tuning.model_of(
        frame,
        rigged,
        loads.gather(job, frame),
        walls=job.support.wall_stiffness,
        set_temperature=job.loads.set_temperature,
        plate=roof.plate_sides(job, frame),
        standing=job.pretension.set_when == "standing",
    )
    checked, unchecked = _checked(job, built)
    advice = tuning.advise(
        model,
        readings,
        goal=tuning.goal_of(model, standing=standing, checked=checked, unchecked=unchecked),
        prior=tuning.prior_of(job, model, built),
    )
    return Tuned(job, frame, rigged, advice, built)


def _checked(job: Job, built: AsBuilt | None) -> tuple[tuple[Forces, Checks] | None, str]:
    """The roof in service; where it does not stand there, the code of what keeps it from it."""
    try:
        done = _carry(job, built)
    except (InputError, Mechanism, NotConverged) as error:
        return None, error.findings[0].code
    return (done.forces, done.checks), ""


def _carry(job: Job, built: AsBuilt | None = None, only: Collection[str] = ()) -> Design:
    """Every stage once."""
    frame = roof.stand(job, built) if built else roof.lay_out(job)
    rigged = tie.rig(job, frame)
    cases = loads.gather(job, frame, only=only)
    forces = statics.solve(
        frame,
        rigged,
        cases,
        walls=job.support.wall_stiffness,
        plate=roof.plate_sides(job, frame),
        standing=job.pretension.set_when == "standing",
    )
    lost: tuple[statics.Losses, ...] | None = None
    if not only:
        helped = job.support.wall_stiffness is not None or job.support.plate == "continuous"
        lost = statics.lose_each(
            frame,
            rigged,
            cases,
            forces,
            walls_help=helped,
            standing=job.pretension.set_when == "standing",
        )
    found = checks.verify(
        job, frame, rigged, forces, simplified_snow=cases.simplified_snow, losses=lost
    )
    if job.stand_ins and found.verdict == "passes":
        found = replace(found, verdict="refer")
    return Design(job, frame, rigged, cases, forces, found, built, losses=lost or ())


def _attempt(job: Job, built: AsBuilt | None = None, only: Collection[str] = ()) -> Found:
    """Every stage once, or why there is no answer."""
    try:
        return _carry(job, built, only)
    except (InputError, Mechanism, NotConverged) as fault:
        return fault


def _deciding(found: Found) -> frozenset[str]:
    return sizing.deciding(found) if isinstance(found, Design) else frozenset()


def _set_to(job: Job, pull: float) -> Job:
    return replace(job, pretension=replace(job.pretension, target=pull))
