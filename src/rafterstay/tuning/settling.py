"""Many builds of one tie brought to rest and tuned at once, by pulls instead of places.

Legs and sides of the ring are told by the pull in them, not by where their joints are: a leg of
another length then changes what spans its ends and nothing else, and a step goes as well as
straight. docs/theory/tuning.md section 12.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from rafterstay.roof.frame import Floats
from rafterstay.statics.network import Pose, Pulls, leg_ends, length
from rafterstay.statics.problem import Problem, held_in, slopes
from rafterstay.statics.tangent import at_leg_ends, leg_ends_moved, link_stiffness, tangent
from rafterstay.statics.turning import rebased, turn_rate
from rafterstay.tuning.model import Stand

__all__ = [
    "Law",
    "Rates",
    "Span",
    "Step",
    "as_held",
    "law_of",
    "left_over",
    "lengthened",
    "let_out",
    "moved",
    "onto",
    "rates",
    "step_of",
    "stepped",
    "steps_of",
    "turning",
]

FARTHEST: Final = 0.25  # of a side: no eye of a sliding ring moves further in one step [-]
SOFT: Final = 1e-9  # of a usual leg's stiffness, for what nothing else holds
LEAST: Final = 1e-3  # of the largest pull: what a link counts with that would push [-]
EASED: Final = 0.25  # a leg's pull falls to no less of itself in one step [-]
LENGTHS: Final = ("leg_length", "leg_rate")  # of the links, what differs from build to build
LIES: Final = ("ring_at", "centre", "turn_rate")  # and where a stiff ring turns
DRAWN: Final = 8.0  # and grows to no more of itself [-]


@dataclass(frozen=True)
class Span:
    """Builds on their way to rest, told by pulls.

    Attributes:
        problem: The builds; the ring of a stiff one where it lies now.
        kept: Kept movements of the frame. [m] (b, n_kept)
        ring: Movements of the ring from where ``problem`` has it. [m] (b, n_ring)
        leg: Pull at each leg's start, towards its end. [N] (b, n, 3)
        side: Pull of each side of a seized ring, from eye to eye (b, m, 3); of the whole of a
            sliding one (b, 1); of none (b, 0). [N]
    """

    problem: Problem
    kept: Floats
    ring: Floats
    leg: Floats
    side: Floats

    def only(self, rows: NDArray[np.intp]) -> Span:
        """The same for some of the builds."""
        return Span(
            self.problem.only(rows), self.kept[rows], self.ring[rows], self.leg[rows],
            self.side[rows],
        )  # fmt: skip

    def put(self, rows: NDArray[np.intp], part: Span) -> Span:
        """The same with some of the builds where another has them.

        Args:
            rows: Which. (n_rows,)
            part: Those builds, the same ties.

        Returns:
            All builds.
        """
        links, there = self.problem.links, part.problem.links
        now: dict[str, Any] = {
            name: _put(getattr(links, name), rows, getattr(there, name))
            for name in (*LENGTHS, *(LIES if links.web.turns else ()))
        }
        problem = replace(self.problem, links=replace(links, **now))
        names = ("kept", "ring", "leg", "side")
        return Span(problem, *(_put(getattr(self, one), rows, getattr(part, one)) for one in names))

    @property
    def held(self) -> Pulls:
        """Links as their pulls stretch them; they need not meet the ends they span."""
        problem, links, web = self.problem, self.problem.links, self.problem.links.web
        starts, ends = leg_ends(
            problem.bones, links, problem.points, kept=self.kept, ring=self.ring
        )
        pull = np.empty((*self.leg.shape[:2], 3, 3))
        pull[:, :, 0] = pull[:, :, 1] = pull[:, :, 2] = self.leg
        hung = problem.weight[:, None] * np.moveaxis(links.joint_weight, 2, 0)
        pull[:, :, 1, 2] += hung[0]
        pull[:, :, 2, 2] += hung[0] + hung[1]
        size = length(pull)
        long = links.leg_length + size / links.leg_rate
        if web.sliding or not len(web.sides):
            side = ends[:, web.sides[:, 1]] - ends[:, web.sides[:, 0]]
            side_long = length(side)
            side_pull = np.broadcast_to(self.side, side_long.shape)
        else:
            side_pull = length(self.side)
            side_long = links.side_length + side_pull / links.side_rate
            side = self.side * (side_long / side_pull)[..., None]
        leg = pull * (long / size)[..., None]
        return Pulls(starts, ends, leg, side, long, side_long, size, side_pull)


def _put(values: Floats, rows: NDArray[np.intp], part: Floats) -> Floats:
    found = values.copy()
    found[rows] = part
    return found


def as_held(problem: Problem, at: Stand) -> Span:
    """Begin from a rest of the same tie.

    Args:
        problem: The builds.
        at: A rest in which every leg and side is taut.

    Returns:
        Every build with the pulls and places of that rest.
    """
    b, links, held, pose = len(problem.weight), problem.links, at.rest.pulls, at.rest.pose
    if links.web.turns:
        # A stiff ring's movements count from where it lies in that rest.
        there = at.problem.links
        lies: dict[str, Any] = {name: np.repeat(getattr(there, name), b, 0) for name in LIES}
        problem = replace(problem, links=replace(links, **lies))
    leg = held.leg[:, :, 0] * (held.leg_pull[:, :, 0] / held.leg_long[:, :, 0])[..., None]
    side = held.side * (held.side_pull / held.side_long)[..., None]
    side = side if len(links.web.sides) and not links.web.sliding else held.side_pull[:, :1]
    return Span(problem, *(np.repeat(one, b, 0) for one in (pose.kept, pose.ring, leg, side)))


def onto(span: Span, problem: Problem) -> Span:
    """The same pulls and places in builds that are off by something else.

    Args:
        span: Builds.
        problem: The same ties, off by other causes.

    Returns:
        Builds, not at rest.
    """
    links = span.problem.links
    if links.web.turns:
        lies: dict[str, Any] = {name: getattr(links, name) for name in LIES}
        problem = replace(problem, links=replace(problem.links, **lies))
    return replace(span, problem=problem)


def lengthened(span: Span, longer: Floats) -> Span:
    """The same pulls with every turnbuckle let out.

    Args:
        span: The builds.
        longer: By how much. [m] (b, n)

    Returns:
        Builds, not at rest.
    """
    links = span.problem.links
    leg, rate = links.leg_length.copy(), links.leg_rate.copy()
    leg[..., 1] += longer
    rate[..., 1] *= links.leg_length[..., 1] / leg[..., 1]
    links = replace(links, leg_length=leg, leg_rate=rate)
    return replace(span, problem=replace(span.problem, links=links))


@dataclass(frozen=True)
class Law:
    """What a step is taken by: stiffnesses of one moment, good for the steps near it.

    Attributes:
        reduced: Stiffness on kept movements and the ring's. [N/m] (b, n_all, n_all)
        legs: Of each leg between its ends. [N/m] (b, n, 3, 3)
        sides: Of each side of a seized ring between its eyes. [N/m] (b, m, 3, 3)
    """

    reduced: Floats
    legs: Floats
    sides: Floats

    @cached_property
    def inverse(self) -> Floats:
        """Of the stiffness; not a number where it is singular. [m/N] (b, n_all, n_all)"""
        return _inverted(self.reduced)

    def put(self, rows: NDArray[np.intp], other: Law) -> None:
        """Take another law for some of the builds, in place.

        Args:
            rows: Which. (n_rows,)
            other: Of those.
        """
        for name in ("reduced", "legs", "sides", "inverse"):
            getattr(self, name)[rows] = getattr(other, name)

    def answer(self, right: Floats) -> Floats:
        """Movements that forces ask for.

        Args:
            right: [N] (b, n_all, k)

        Returns:
            [m] (b, n_all, k)
        """
        if "inverse" in vars(self):
            return np.asarray(self.inverse @ right)
        try:
            return np.asarray(np.linalg.solve(self.reduced, right))
        except np.linalg.LinAlgError:
            return np.asarray(self.inverse @ right)


def law_of(span: Span, held: Pulls) -> Law:
    """Stiffness of every build as it is held now.

    Args:
        span: The builds.
        held: Their links.

    Returns:
        The law.
    """
    problem, web = span.problem, span.problem.links.web
    b, n = held.leg_pull.shape[:2]
    most = held.leg_pull.max(axis=(1, 2))[:, None]
    firm = replace(held, side_pull=np.maximum(held.side_pull, LEAST * most))
    pose = Pose(span.kept, span.ring, np.empty((b, n, 0, 3)))
    stiff = tangent(problem, firm, pose=pose, damping=np.full(b, SOFT * problem.firm))
    sides = np.zeros((b, 0, 3, 3))
    if len(web.sides) and not web.sliding:
        along = np.broadcast_to(problem.links.side_rate, held.side_long.shape)
        across = firm.side_pull / held.side_long
        sides = link_stiffness(held.side, held.side_long, along, across)
    return Law(stiff.reduced, stiff.legs, sides)


def _inverted(matrices: Floats) -> Floats:
    """Inverses; not a number where a matrix is singular or none at all."""
    try:
        return np.asarray(np.linalg.inv(matrices))
    except np.linalg.LinAlgError:
        if len(matrices) == 1:
            return np.full_like(matrices, np.nan)
        return np.concatenate([_inverted(one[None]) for one in matrices])


@dataclass(frozen=True)
class Step:
    """A step of every build, and what it leaves behind.

    Attributes:
        kept, ring, leg, side: Changes, as in ``Span``.
        ends: Movement of the legs' ends. [m] (b, n, 3)
        force: Largest force out of balance before it. [N] (b,)
        gap: By how much a link misses its ends before it, most. [m] (b,)
    """

    kept: Floats
    ring: Floats
    leg: Floats
    side: Floats
    ends: Floats
    force: Floats
    gap: Floats

    def pull(self, held: Pulls) -> Floats:
        """Pulls of the legs after it, to first order. [N] (b, n)"""
        unit = held.leg[:, :, 0] / held.leg_long[:, :, 0, None]
        return np.asarray(held.leg_pull[:, :, 0] + (unit * self.leg).sum(axis=-1))

    def plus(self, other: Step, share: Floats | None = None) -> Step:
        """This step and another.

        Args:
            other: From the same place.
            share: How much of it, all if left out. [-] (b,)

        Returns:
            The step; what it leaves behind is this one's.
        """
        names = ("kept", "ring", "leg", "side", "ends")
        added = {}
        for name in names:
            mine, theirs = getattr(self, name), getattr(other, name)
            if share is not None:
                theirs = theirs * share.reshape(-1, *[1] * (theirs.ndim - 1))
            added[name] = mine + theirs
        return replace(self, **added)


def step_of(span: Span, law: Law, held: Pulls) -> Step:
    """The step that removes what is out of balance and what gapes, by a law.

    Args:
        span: The builds.
        law: Stiffnesses of this or an earlier moment.
        held: Their links now.

    Returns:
        The step.

    Source: docs/theory/tuning.md eq. 12
    """
    out, gaps = _out(span, held), _gaps(span, held)
    right = _right(span, law, held, out=out, gaps=gaps)
    move = -law.answer(right[..., None])[..., 0]
    return _answered(span, law, held, move=move, out=out, gaps=gaps)


def steps_of(span: Span, law: Law, held: Pulls) -> tuple[Step, Step]:
    """The same step, and what letting all turnbuckles out together does.

    Args:
        span: The builds.
        law: Stiffnesses.
        held: Their links now.

    Returns:
        The step, and the change by a metre of every turnbuckle.
    """
    out, gaps = _out(span, held), _gaps(span, held)
    none, let_out = np.zeros_like(out), (_longer(span, held), np.zeros_like(gaps[1]))
    right = np.stack(
        [
            _right(span, law, held, out=out, gaps=gaps),
            _right(span, law, held, out=none, gaps=let_out),
        ],
        axis=2,
    )
    move = -law.answer(right)
    return (
        _answered(span, law, held, move=move[..., 0], out=out, gaps=gaps),
        _answered(span, law, held, move=move[..., 1], out=none, gaps=let_out),
    )


def let_out(span: Span, law: Law, held: Pulls, *, moves: Floats, longer: Floats) -> Step:
    """What letting turnbuckles out does.

    Args:
        span: The builds.
        law: Stiffnesses.
        held: Their links.
        moves: Movements by each turnbuckle, of ``rates`` by the same law. [-] (b, n_all, n)
        longer: Each let out by as much. [m] (b, n)

    Returns:
        The step.
    """
    move = _times(moves, longer)
    shape = (len(move), *((1,) if span.side.ndim == 2 else span.side.shape[1:]))
    gaps = (_longer(span, held) * longer[..., None], np.zeros(shape))
    return _answered(span, law, held, move=move, out=np.zeros_like(move), gaps=gaps)


def _longer(span: Span, held: Pulls) -> Floats:
    """What a metre of each turnbuckle adds to its leg. [-] (b, n, 3)"""
    return np.asarray(held.leg[:, :, 1] / span.problem.links.leg_length[:, :, 1, None])


def _out(span: Span, held: Pulls) -> Floats:
    """Out of balance on kept movements and ring. [N] (b, n_all)"""
    out = slopes(
        span.problem, Pose(span.kept, span.ring, np.empty((len(span.kept), 0, 2, 3))), held
    )
    return np.concatenate([out.kept, out.ring], axis=1)


def _gaps(span: Span, held: Pulls) -> tuple[Floats, Floats]:
    """How much longer legs and sides are than what they span: vectors, of a sliding rope all."""
    links, web = span.problem.links, span.problem.links.web
    leg = held.leg.sum(axis=2) - (held.ends - held.starts)
    if web.sliding:
        whole = links.side_length + span.side / links.side_rate
        return leg, np.asarray(whole - held.side_long.sum(axis=1, keepdims=True))
    return leg, np.asarray(held.side - web.incidence @ held.ends)


def _right(
    span: Span, law: Law, held: Pulls, *, out: Floats, gaps: tuple[Floats, Floats]
) -> Floats:
    """Forces that the step is to answer. [N] (b, n_all)"""
    problem, web = span.problem, span.problem.links.web
    carried = _times(law.legs, gaps[0])
    kept, ring = at_leg_ends(problem, -carried, -carried)
    if web.sliding:
        ring = ring - problem.links.side_rate * gaps[1] * _along(span, held)
    elif len(web.sides):
        ring = ring - (web.incidence.T @ _times(law.sides, gaps[1])).reshape(len(ring), -1)
    return np.asarray(out + np.concatenate([kept, ring], axis=1))


def _along(span: Span, held: Pulls) -> Floats:
    """How a closed rope lengthens by its eyes' movements. [-] (b, 3 n)"""
    unit = held.side / held.side_long[..., None]
    return np.asarray((span.problem.links.web.incidence.T @ unit).reshape(len(unit), -1))


def _answered(
    span: Span, law: Law, held: Pulls, *, move: Floats, out: Floats, gaps: tuple[Floats, Floats]
) -> Step:
    """The whole step from that of kept movements and ring."""
    links, web, n_kept = span.problem.links, span.problem.links.web, span.kept.shape[1]
    starts, ends = leg_ends_moved(span.problem, move[:, :n_kept], move[:, n_kept:])
    side = np.zeros_like(span.side)
    if web.sliding:
        along = (_along(span, held) * move[:, n_kept:]).sum(axis=1, keepdims=True)
        side = links.side_rate * (along - gaps[1])
    elif len(web.sides):
        side = _times(law.sides, web.incidence @ ends - gaps[1])
    legs = _times(law.legs, ends - starts - gaps[0])
    most = np.abs(gaps[0]).max(axis=(1, 2))
    if gaps[1].size:
        most = np.maximum(most, np.abs(gaps[1].reshape(len(most), -1)).max(axis=1))
    force = np.abs(out).max(axis=1)
    return Step(move[:, :n_kept], move[:, n_kept:], legs, side, ends, force, most)


def _times(matrices: Floats, vectors: Floats) -> Floats:
    return np.asarray((matrices @ vectors[..., None])[..., 0])


def stepped(span: Span, step: Step) -> Span:
    """Take a step; no leg and no side changes its pull too much at once, none is made to push.

    Args:
        span: The builds.
        step: As found.

    Returns:
        Where they are then.
    """
    web = span.problem.links.web
    if web.sliding:
        # Its sides are told by where their eyes are: they may not turn too far at once.
        span_of = np.linalg.norm(web.incidence @ span.problem.links.ring_at[0], axis=1).min()
        far = np.abs(step.ends).max(axis=(1, 2)) / (FARTHEST * span_of)
        step = step.plus(step, 1.0 / np.maximum(far, 1.0) - 1.0)
        side = np.clip(span.side + step.side, EASED * span.side, DRAWN * span.side)
    else:
        side = _bounded(span.side, step.side) if len(web.sides) else span.side
    there = moved(span, step.kept, step.ring)
    return replace(there, leg=_bounded(span.leg, step.leg), side=side)


def moved(span: Span, kept: Floats, ring: Floats) -> Span:
    """The same pulls with frame and ring moved.

    Args:
        span: The builds.
        kept: Kept movements of the frame. [m] (b, n_kept)
        ring: Of the ring. [m] (b, n_ring)

    Returns:
        Builds; a stiff ring's movements count from where it lies then.
    """
    problem, ring = span.problem, span.ring + ring
    if problem.links.web.turns:
        to = Pose(span.kept, ring, np.empty((len(ring), 0, 2, 3)))
        links, _ = rebased(problem.links, to)
        problem, ring = replace(problem, links=links), np.zeros_like(ring)
    return replace(span, problem=problem, kept=span.kept + kept, ring=ring)


def _bounded(pull: Floats, change: Floats) -> Floats:
    """Pulls after a change, along their former direction never nil and in size never too large."""
    size = length(pull)
    unit, after = pull / size[..., None], pull + change
    along = (after * unit).sum(axis=-1)
    after = after + unit * (np.maximum(along, EASED * size) - along)[..., None]
    grown = length(after)
    return np.asarray(after * (np.minimum(grown, DRAWN * size) / grown)[..., None])


def turning(span: Span, held: Pulls) -> Span:
    """The same with what its pulls give a stiff ring against turning.

    Args:
        span: The builds.
        held: Their links.

    Returns:
        Builds; the same where no ring turns.
    """
    problem = span.problem
    if not problem.links.web.turns:
        return span
    rate = turn_rate(problem.links, held, problem.weight)
    links = replace(problem.links, turn_rate=rate)
    return replace(span, problem=replace(problem, links=links))


@dataclass(frozen=True)
class Rates:
    """Change of pulls and eyes by each turnbuckle let out.

    Attributes:
        pull: [N/m] (b, n, n)
        eyes: [-] (b, n, 3, n)
        moves: Of kept movements and ring. [-] (b, n_all, n)
    """

    pull: Floats
    eyes: Floats
    moves: Floats

    def put(self, rows: NDArray[np.intp], other: Rates) -> None:
        """Take others for some of the builds, in place.

        Args:
            rows: Which. (n_rows,)
            other: Of those.
        """
        for name in vars(self):
            getattr(self, name)[rows] = getattr(other, name)


def rates(span: Span, law: Law, held: Pulls) -> Rates:
    """What letting out each turnbuckle changes.

    Args:
        span: The builds, about at rest.
        law: Their stiffnesses.
        held: Their links.

    Returns:
        Slopes.

    Source: docs/theory/derivatives.md eq. 1, with the joints left out
    """
    problem, web = span.problem, span.problem.links.web
    b, n = held.leg_pull.shape[:2]
    n_kept, here = span.kept.shape[1], np.arange(n)
    gap = _longer(span, held)
    carried = _times(law.legs, gap)
    reach = problem.bones.reach[web.starts]
    right = np.zeros((b, n_kept + web.n_ring, n))
    right[:, :n_kept] = np.moveaxis(np.swapaxes(reach, 1, 2) @ carried[..., None], 1, 3)[..., 0, :]
    arms = problem.links.ring_ends()
    if web.ring == "eyes":
        for way in range(3):
            right[:, n_kept + 3 * here + way, here] = -carried[:, :, way]
    else:
        turned = (np.swapaxes(arms, 2, 3) @ carried[..., None])[..., 0]
        right[:, n_kept:] = -np.swapaxes(turned, 1, 2)
    moves = -(law.inverse @ right)
    starts = (reach.reshape(3 * n, n_kept) @ moves[:, :n_kept]).reshape(b, n, 3, n)
    if web.ring == "eyes":
        ends = moves[:, n_kept:].reshape(b, n, 3, n)
    else:
        ends = arms @ moves[:, None, n_kept:]
    apart = ends - starts
    apart[:, here, :, here] -= np.moveaxis(gap, 1, 0)
    unit = held.leg[:, :, 0] / held.leg_long[:, :, 0, None]
    pull = ((unit[:, :, None] @ law.legs) @ apart)[:, :, 0]
    return Rates(pull, ends, moves)


def left_over(span: Span, held: Pulls) -> Floats:
    """What the statics itself finds out of balance where the builds came to rest.

    Args:
        span: The builds.
        held: Their links.

    Returns:
        Largest force on frame, ring or joint. [N] (b,)
    """
    first = held.starts + held.leg[:, :, 0]
    joints = np.stack([first, held.ends - held.leg[:, :, 2]], axis=2)
    pose = Pose(span.kept, span.ring, joints)
    return slopes(span.problem, pose, held_in(span.problem, pose)).largest()
