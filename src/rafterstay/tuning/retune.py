"""How many turns will a tie need, and what is left then, if all is off by what it may be?

Thousands of builds of one drawing, each tuned by the law of the ring in hand and brought to rest
again on the whole model. docs/theory/tuning.md section 12.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, replace
from multiprocessing import get_context
from typing import Final

import numpy as np
from numpy.typing import NDArray

from rafterstay.core.errors import Finding, InputError
from rafterstay.roof.frame import Floats
from rafterstay.statics.problem import Problem
from rafterstay.statics.sense import FARTHEST
from rafterstay.tuning.aim import Aim
from rafterstay.tuning.alike import drawn_up
from rafterstay.tuning.builds import Builds, draw_builds
from rafterstay.tuning.estimate import travel_of
from rafterstay.tuning.model import Model, Stand
from rafterstay.tuning.nouns import STEPS, Goal
from rafterstay.tuning.places import whole_steps
from rafterstay.tuning.prior import Prior
from rafterstay.tuning.retuned import Retuned
from rafterstay.tuning.seen import ring_centre
from rafterstay.tuning.settling import Span, as_held, onto
from rafterstay.tuning.tuned import Slopes, Tuned, Wish, rest_after, slopes_of, tuned, wish_of

__all__ = ["retune", "retune_builds"]

TOGETHER: Final = 125  # builds: so many fit a processor's own memory; the answer rests on it not
PARTS: Final = 8  # little by little
ONE_THREAD: Final = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")


def retune(
    model: Model,
    prior: Prior,
    *,
    goal: Goal,
    samples: int,
    seed: int,
    across: float = 0.0,
    part: float | None = None,
    processes: int = 1,
) -> Retuned:
    """Draw builds at random, tune every one of them, and bring it to rest again.

    Args:
        model: The tie as drawn and set.
        prior: What a build may be off by, from ``prior_of`` or stated.
        goal: What is to be reached; a pull of nil takes the mean of the tie as drawn.
        samples: How many builds, >= 1.
        seed: Of the random numbers, >= 0.
        across: Standard deviation of a bolt's place across its leg. [m]
        part: Of a turn that a body is turned by, one of ``STEPS``; None for exact turns. [-]
        processes: That share the work, >= 1. More than one start new interpreters: a script must
            then guard what it runs with ``if __name__ == "__main__"``.

    Returns:
        What came of each; the same whatever the number of processes.

    Raises:
        InputError: TU-040 to TU-043.

    Limits: docs/theory/tuning.md section 12.
    Source: docs/theory/tuning.md eq. 7, 11 and 12
    """
    builds = draw_builds(model, prior, samples=samples, seed=seed, across=across)
    return retune_builds(model, builds, goal=goal, part=part, processes=processes)


def retune_builds(
    model: Model,
    builds: Builds,
    *,
    goal: Goal,
    part: float | None = None,
    processes: int = 1,
) -> Retuned:
    """The same for builds that are known.

    Args:
        model: The tie as drawn and set.
        builds: What each is off by.
        goal: What is to be reached; a pull of nil takes the mean of the tie as drawn.
        part: Of a turn that a body is turned by, one of ``STEPS``; None for exact turns. [-]
        processes: That share the work, >= 1.

    Returns:
        What came of each.

    Raises:
        InputError: TU-041 to TU-043.
    """
    _require(model, builds, part=part, processes=processes)
    task = _Task.of(model, goal, part)
    found = _shared_out(task, builds, processes)
    # What a first guess did not bring to rest is led there from the drawing, little by little.
    rows = np.flatnonzero(~(found.settled & np.isfinite(found.alike)))
    slowly, first, rest = replace(task, parts=PARTS), rows[:TOGETHER], rows[TOGETHER:]
    if len(first) and found.take(first, slowly.run(builds.only(first))) and len(rest):
        # Where going slowly helped none of the first, it is not tried with the others.
        found.take(rest, _shared_out(slowly, builds.only(rest), processes))
    opening = model.tie.turnbuckle_set - model.tie.turnbuckle.closed
    room = (opening - model.tie.turnbuckle.take_up) / task.travel, opening / task.travel
    return Retuned(builds=builds, goal=task.goal, part=part, room=room, **vars(found))


def _shared_out(task: _Task, builds: Builds, processes: int) -> _Done:
    """Pieces of the builds, one process or some."""
    count = len(builds.causes)
    pieces = [builds.only(slice(at, min(at + TOGETHER, count))) for at in range(0, count, TOGETHER)]
    if processes == 1 or len(pieces) == 1:
        done = [task.run(piece) for piece in pieces]
    else:
        many = min(processes, len(pieces))
        with (
            _one_thread(),
            ProcessPoolExecutor(
                many, mp_context=get_context("spawn"), initializer=_begin, initargs=(task,)
            ) as pool,
        ):
            done = list(pool.map(_run, pieces))
    names = vars(done[0])
    return _Done(**{name: np.concatenate([getattr(one, name) for one in done]) for name in names})


@dataclass(frozen=True)
class _Done:
    """What ``Retuned`` tells of some builds."""

    alike: Floats
    before: Floats
    turns: Floats
    made: Floats
    pull: Floats
    eyes: Floats
    shift: Floats
    outward: Floats
    kept: NDArray[np.bool_]
    settled: NDArray[np.bool_]

    def take(self, rows: NDArray[np.intp], again: _Done) -> bool:
        """Take some builds anew, in place, where they came to rest only then; whether any did."""
        loose, unsettled = ~np.isfinite(self.alike[rows]), ~self.settled[rows]
        for name, values in vars(self).items():
            missed = loose if name in {"alike", "before"} else unsettled
            values[rows[missed]] = getattr(again, name)[missed]
        return bool((loose & np.isfinite(again.alike)).any() or (unsettled & again.settled).any())


@dataclass(frozen=True)
class _Task:
    """What every process is told once."""

    model: Model
    goal: Goal
    part: float | None
    travel: float
    drawn: Stand
    first: Slopes
    parts: int = 1

    @classmethod
    def of(cls, model: Model, goal: Goal, part: float | None) -> _Task:
        """Bring the drawing to rest once for all."""
        drawn = _as_drawn(model)
        goal = goal if goal.pull > 0.0 else replace(goal, pull=float(drawn.pull.mean()))
        travel = travel_of(model)
        wish = wish_of(Aim(model, drawn.causes, goal, travel))
        first = slopes_of(as_held(model.problems(drawn.causes[None]), drawn), wish)
        return cls(model, goal, part, travel, drawn, first)

    def run(self, builds: Builds) -> _Done:
        """Tune some builds together."""
        model = self.model
        wish = wish_of(Aim(model, self.drawn.causes, self.goal, self.travel))
        with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
            done = self._tuned(builds, wish)
            first = drawn_up(done, wish, self.parts)
            made, span, held, settled = done.turns, done.span, done.held, done.settled
            if self.part is not None:
                made = self._rounded(done, wish)
                span, held, at_rest = rest_after(done, wish, made)
                settled = settled & at_rest
            settled = settled & _held(model, span)
            level = first.settled & _held(model, first.span)
            pull = held.leg_pull[:, :, 0]
            off = wish.off(pull, held.ends)[:, : wish.judged]
            kept = settled & (np.abs(off).max(axis=1) <= 1.0)

        def told(values: Floats, at_rest: NDArray[np.bool_] = settled) -> Floats:
            """Not a number for builds that came to no rest."""
            rows = at_rest.reshape(-1, *[1] * (values.ndim - 1))
            return np.where(rows, values, np.nan)

        return _Done(
            alike=told(first.turns, level),
            before=told(first.held.leg_pull[:, :, 0], level),
            turns=told(done.turns),
            made=told(made),
            pull=told(pull),
            eyes=told(held.ends),
            shift=told(held.ends.mean(axis=1)[:, :2] - ring_centre(model)[:2]),
            outward=told(_outward(model, span)),
            kept=kept,
            settled=settled,
        )

    def _tuned(self, builds: Builds, wish: Wish) -> Tuned:
        """Tune builds at once, or as they part from the drawing little by little."""
        n, share = self.model.tie.n, 1.0 / self.parts
        turns = share * builds.causes[:, :n] / self.travel
        start = as_held(self._problems(builds, share), self.drawn)
        done = tuned(start, wish, turns, self.first)
        for part in range(2, self.parts + 1):
            start = onto(done.span, self._problems(builds, part * share))
            done = tuned(start, wish, done.turns + turns, done.slopes)
        return done

    def _problems(self, builds: Builds, share: float) -> Problem:
        return self.model.problems(share * builds.causes, share * builds.astray)

    def _rounded(self, done: Tuned, wish: Wish) -> Floats:
        """Whole steps near the exact turns. [-] (b, n)"""
        off = wish.off(done.held.leg_pull[:, :, 0], done.held.ends)[:, : wish.judged]
        table = done.slopes.table[:, : wish.judged]
        return whole_steps(done.turns, off, table, part=float(self.part or 0))


def _held(model: Model, span: Span) -> NDArray[np.bool_]:
    """No bolt moves further than makes sense: docs/theory/sense.md."""
    reach = model.bones.reach.reshape(-1, span.kept.shape[1])
    moved = np.abs(span.kept @ reach.T).max(axis=1)
    return np.asarray(moved <= FARTHEST * model.bones.frame.span)


def _outward(model: Model, span: Span) -> Floats:
    """Movement of the feet. [m] (b, n_feet)"""
    some = np.concatenate([np.zeros((1, span.kept.shape[1])), np.eye(span.kept.shape[1])])
    every = span.problem.frame.all_movements(model.bones, some) @ model.bones.free.outward.T
    return np.asarray(every[0] + span.kept @ (every[1:] - every[0]))


_TASK: list[_Task] = []


def _begin(task: _Task) -> None:
    """In a new process: keep what all pieces have in common."""
    _TASK[:] = [task]


def _run(builds: Builds) -> _Done:
    return _TASK[0].run(builds)


@contextmanager
def _one_thread() -> Iterator[None]:
    """New processes run linear algebra on one thread each: there are as many of them as asked."""
    before = {name: os.environ.get(name) for name in ONE_THREAD}
    os.environ.update(dict.fromkeys(ONE_THREAD, "1"))
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                del os.environ[name]
            else:
                os.environ[name] = value


def _as_drawn(model: Model) -> Stand:
    """The rest as drawn, every bolt in its place."""
    return replace(model, astray=()).stand(np.zeros(model.layout.size))


def _require(model: Model, builds: Builds, *, part: float | None, processes: int) -> None:
    """Refuse what cannot be worked."""
    count, lay = len(builds.causes), model.layout
    causes, astray = np.asarray(builds.causes), np.asarray(builds.astray)
    fits = causes.shape == (count, lay.size) and astray.shape == (count, lay.n, 3)
    if not count or not fits or not (np.isfinite(causes).all() and np.isfinite(astray).all()):
        raise InputError(
            Finding(
                "TU-041",
                key="builds",
                value=f"{causes.shape} and {astray.shape}",
                bound=f"finite, of (n, {lay.size}) and (n, {lay.n}, 3), one or more",
                remedy="Draw them with `draw_builds`.",
            )
        )
    if part is not None and part not in STEPS:
        raise InputError(
            Finding(
                "TU-042",
                key="part",
                value=str(part),
                bound="1/4, 1/6, 1/12 or 1/24 of a turn",
                remedy="Leave it out for exact turns.",
            )
        )
    if processes < 1:
        raise InputError(
            Finding(
                "TU-043",
                key="processes",
                value=str(processes),
                bound="a whole number of 1 or more",
                remedy="As many as there are processors are enough.",
            )
        )
