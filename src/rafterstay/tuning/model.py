"""Where does the tie come to rest with given lengths and stiffnesses, and what changes it?

The statics of the whole roof, hub on its prop, with every leg and side of the ring off its
length, ropes, frame and walls off their stiffness. docs/theory/tuning.md section 1.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rafterstay.core.errors import Finding, Mechanism, NotConverged
from rafterstay.loads.nouns import SET, Case, Climate
from rafterstay.roof.frame import Floats
from rafterstay.statics.beam_loads import loads_on
from rafterstay.statics.condense import Condensed, Skeleton, condense
from rafterstay.statics.derivatives import Changes, derivatives
from rafterstay.statics.holds import HELD, holding
from rafterstay.statics.network import (
    Network,
    Pose,
    Pulls,
    hung_on,
    in_weather,
    start_pose,
)
from rafterstay.statics.newton import Rest
from rafterstay.statics.nouns import State
from rafterstay.statics.problem import Problem, held_in, slopes
from rafterstay.statics.sense import FARTHEST
from rafterstay.statics.tangent import newton_step, solve_step, tangent
from rafterstay.statics.turning import come_to_rest, rebased, turn_rate
from rafterstay.tie.nouns import Tie

__all__ = ["Layout", "Model", "Stand"]

STEP = 1e-3  # of a logarithm, for the slope by walls
WIDE = 3.0  # of the logarithm of the walls' stiffness over the frame's
NODES = WIDE * np.cos(np.pi * np.arange(13) / 12)  # Chebyshev's, with their weights
WEIGHTS = (-1.0) ** np.arange(13) * np.array([0.5, *np.ones(11), 0.5])
TOO_NEAR = 1e-12  # a node of Chebyshev's: the table's own row there
MOST_STEPS = 12
EARLY = 4  # steps that may go astray, where legs fall slack and come back
SOFT = 1e-9  # of a leg's stiffness, for what nothing else holds
BALANCED = 1e-9  # left out of balance, of the largest pull
FALLING = 0.5  # a step that leaves more than this of what was out of balance is too slow
DEGREE = 5.0  # for the slope by temperature [K]


@dataclass(frozen=True)
class Layout:
    """Where each cause stands in a vector of causes.

    Attributes:
        n: Legs, each longer by. [m]
        sides: Sides of the ring, each longer by; 1 for a rope that slides, 0 for none. [m]
        walls: 1 where walls help.
    """

    n: int
    sides: int
    walls: int

    @property
    def size(self) -> int:
        """Legs, sides, then logarithms of EA of legs and ring, of frame and walls, and warmth."""
        return self.n + self.sides + 4 + self.walls

    @property
    def rope(self) -> int:
        """Place of the logarithm of the legs' EA over the catalogue's."""
        return self.n + self.sides

    @property
    def ring(self) -> int:
        """Of the ring rope's."""
        return self.rope + 1

    @property
    def frame(self) -> int:
        """Of the frame's stiffness over the model's."""
        return self.rope + 2

    @property
    def wall(self) -> int:
        """Of the walls' stiffness; the warmth's where no walls help."""
        return self.rope + 3

    @property
    def warmth(self) -> int:
        """Of the rise of temperature since the legs were set. [K]"""
        return self.size - 1


@dataclass(frozen=True)
class Stand:
    """A tie at rest.

    Attributes:
        causes: What it is off by. (size,)
        problem: As solved.
        rest: Where it came to rest.
        pull: Of the legs. [N] (n,)
        eyes: Ring ends of the legs. [m] (n, 3)
        outward: Movement of the feet. [m] (n_feet,)
    """

    causes: Floats
    problem: Problem
    rest: Rest
    pull: Floats
    eyes: Floats
    outward: Floats

    @property
    def seen(self) -> Floats:
        """Pulls, then eyes, then feet, in one row.

        Returns:
            [N, m] (n + 3 n + n_feet,)
        """
        return np.concatenate([self.pull, self.eyes.ravel(), self.outward])


@dataclass(frozen=True)
class Model:
    """The roof and its tie as drawn and set, on the prop.

    Attributes:
        bones: The frame.
        tie: Its tie.
        links: Legs and ring cut so that the legs pull what the job asks for.
        case: Load while the legs are tuned.
        walls: Spring at each foot. [N/m]
        set_temperature: At which the legs are to pull that. [K]
        plate: Pull of each side of a plate that runs on, by its lengthening; empty where it is
            jointed. [N/m] (n,)
        standing: Inward force on each foot that carries the dead load of a roof that stood before
            its tie; empty where the hub is propped. [N] (n,)
        astray: How far each bolt is from its place; empty where none is. [m] (n, 3)
    """

    bones: Skeleton
    tie: Tie
    links: Network
    case: Case
    walls: float
    set_temperature: float
    plate: tuple[float, ...] = ()
    standing: tuple[float, ...] = ()
    astray: tuple[tuple[float, float, float], ...] = ()

    @property
    def propped(self) -> bool:
        """The prop still stands under the hub."""
        return not self.standing

    @property
    def helped(self) -> bool:
        """Walls or plate hold the feet beside the tie."""
        return self.walls > 0 or bool(self.plate)

    @cached_property
    def layout(self) -> Layout:
        """Where each cause stands."""
        m = len(self.links.web.sides)
        return Layout(self.tie.n, min(m, 1) if self.links.web.sliding else m, int(self.helped))

    def stand(self, causes: Floats, near: Stand | None = None) -> Stand:
        """Bring the tie to rest.

        Args:
            causes: What it is off by, as ``layout`` tells. [m, -, K] (size,)
            near: A rest to start from.

        Returns:
            The rest.

        Raises:
            NotConverged: TU-030 the tie does not come to rest at these lengths.
            Mechanism: TU-031 neither the dead load nor the walls hold such pulls.
        """
        problem = self._problem(causes)
        quick = None if near is None else self._quick(problem, causes, near)
        if quick is None:
            start = start_pose(self.bones, problem.links, problem.points, 1)
            quick = come_to_rest(problem, start, ["the tie as read"])
        problem, rest = quick
        if not rest.settled.all():
            raise _not_at_rest(rest)
        moved = np.abs(self.bones.reach @ rest.pose.kept[0]).max()
        if moved > FARTHEST * self.bones.frame.span:
            raise _not_held()
        return self._stand(causes, problem, rest)

    def _stand(self, causes: Floats, problem: Problem, rest: Rest) -> Stand:
        every = problem.frame.all_movements(self.bones, rest.pose.kept)
        return Stand(
            causes=causes,
            problem=problem,
            rest=rest,
            pull=rest.pulls.leg_pull[0, :, 0],
            eyes=rest.pulls.ends[0],
            outward=np.asarray(self.bones.free.outward @ every[0]),
        )

    def _quick(
        self, problem: Problem, causes: Floats, near: Stand, halvings: int = 2
    ) -> tuple[Problem, Rest] | None:
        """Steps from near by, half the way first where the whole is too far."""
        found = _stepped(problem, near)
        if found is not None or not halvings:
            return found
        middle = (causes + near.causes) / 2.0
        half = self._quick(self._problem(middle), middle, near, halvings - 1)
        if half is None:
            return None
        return _stepped(problem, self._stand(middle, *half))

    def slopes(self, at: Stand) -> Floats:
        """Change of everything seen by each cause.

        Args:
            at: A rest.

        Returns:
            Slopes of ``at.seen``. [N/m and so on] (n_seen, size)

        Source: docs/theory/derivatives.md; docs/theory/tuning.md eq. 2
        """
        lay, problem, held = self.layout, at.problem, at.rest.pulls
        moved = at.rest.pose.kept[0] - self._drawn.pose.kept[0]
        by_frame = -(problem.frame.stiffness[0] @ moved)
        pushed = [_pushed(problem.frame, by_frame)]
        if lay.walls:
            step = np.zeros(lay.size)
            step[lay.wall] = STEP
            above, below = self._stiffness(at.causes + step), self._stiffness(at.causes - step)
            by_walls = -((above - below) @ moved) / (2 * STEP)
            pushed = [_pushed(problem.frame, one) for one in (by_frame - by_walls, by_walls)]
        found = derivatives(problem, at.rest, pushed)
        links = problem.links
        table = np.zeros((len(at.seen), lay.size))
        table[:, : lay.n] = _rows(found.turnbuckle)
        leg = links.leg_length[0][:, [0, 2]]
        more = _longer(leg, held.leg_long[0][:, [0, 2]], at.pull[:, None] > 0)
        more = more - _at_set(leg, links.leg_rate[0][:, [0, 2]], self._drawn_pull[:, [0, 2]])
        table[:, lay.rope] = -_rows(found.rope) @ more.sum(axis=1)
        if lay.sides:
            table[:, lay.n : lay.rope] = _rows(found.side)
            long = held.side_long[0].sum(keepdims=True) if links.web.sliding else held.side_long[0]
            taut = held.side_pull[0, : lay.sides] > 0
            side = links.side_length[0]
            more = _longer(side, long, taut)
            made = side - at.causes[lay.n : lay.rope]
            rate = links.side_rate[0] * side / made
            more = more - _at_set(made, rate, self._drawn_side)
            table[:, lay.ring] = -table[:, lay.n : lay.rope] @ more
        by_push = _rows(found.push)
        table[:, lay.frame] = by_push[:, 0]
        if lay.walls:
            table[:, lay.wall] = by_push[:, 1]
        return table

    def by_warmth(self, at: Stand) -> Floats:
        """Change of everything seen for each kelvin, legs and frame together.

        Args:
            at: A rest.

        Returns:
            Slopes. [N/K, m/K] (n_seen,)
        """
        causes = at.causes.copy()
        causes[self.layout.warmth] += DEGREE
        return (self.stand(causes, at).seen - at.seen) / DEGREE

    @cached_property
    def _drawn(self) -> Rest:
        """The rest as drawn and set: stiffnesses count from there."""
        problem = self._assembled(self.links, self._frame(0.0))
        problem = replace(problem, points=self._points(None))
        start = start_pose(self.bones, problem.links, problem.points, 1)
        return come_to_rest(problem, start, ["the tie as drawn"])[1]

    @property
    def _drawn_pull(self) -> Floats:
        return np.asarray(self._drawn.pulls.leg_pull[0])

    @property
    def _drawn_side(self) -> Floats:
        return np.asarray(self._drawn.pulls.side_pull[0, : self.layout.sides])

    def _problem(self, causes: Floats) -> Problem:
        """The tie off by the causes.

        Frame and ropes of another stiffness are the same in the drawing's own rest: they were
        framed and cut to fit there. docs/theory/tuning.md eq. 1
        """
        lay = self.layout
        base = self._frame(float(causes[lay.warmth]))
        stiffness = self._stiffness(causes)
        more = (stiffness - base.stiffness[0]) @ self._drawn.pose.kept[0]
        frame = replace(base, stiffness=stiffness[None], push=base.push + more)
        links = in_weather(self.tie, self.links, [_weather(causes[lay.warmth])])
        return self._assembled(self._off(links, causes[None]), frame)

    def _off(self, links: Network, causes: Floats) -> Network:
        """Ropes and turnbuckles off by causes, for every row of them."""
        lay, b = self.layout, len(causes)
        leg, rate = np.repeat(links.leg_length, b, 0), np.repeat(links.leg_rate, b, 0)
        ropes = np.exp(causes[:, [lay.rope]])
        for piece in (0, 2):
            leg[..., piece], rate[..., piece] = _of_other_stiffness(
                leg[..., piece], rate[..., piece], ropes, self._drawn_pull[:, piece]
            )
        leg[..., 1] += causes[:, : lay.n]
        rate[..., 1] *= links.leg_length[..., 1] / leg[..., 1]
        side, side_rate = links.side_length, links.side_rate
        if lay.sides:
            side, side_rate = _of_other_stiffness(
                side, side_rate, np.exp(causes[:, [lay.ring]]), self._drawn_side
            )
            longer = side + causes[:, lay.n : lay.rope]
            side, side_rate = longer, side_rate * side / longer
        return replace(links, leg_length=leg, leg_rate=rate, side_length=side, side_rate=side_rate)

    def _assembled(self, links: Network, frame: Condensed) -> Problem:
        points = self._points(np.array(self.astray)[None] if self.astray else None)
        weight = np.array([self.case.dead_factor])
        return Problem(self.bones, frame, links, weight, points, self.propped)

    def _points(self, astray: Floats | None) -> Floats:
        """Where the legs start on the frame unmoved. [m] (1 or n_batch, n_attach, 3)"""
        points = self.bones.frame.nodes[None, self.bones.attach]
        if astray is None:
            return np.asarray(points)
        moved = np.repeat(points, len(astray), 0)
        moved[:, self.links.web.starts] += astray
        return np.asarray(moved)

    def problems(self, causes: Floats, astray: Floats | None = None) -> Problem:
        """Many ties at once, each off by causes of its own, none of them warmed.

        Args:
            causes: As ``layout`` tells; warmth is left out. [m, -, K] (n_batch, size)
            astray: How far each bolt is from its place, as drawn if left out. [m] (n_batch, n, 3)

        Returns:
            A batch of states, the same as ``stand`` brings to rest one by one.
        """
        stiffness = self._stiffnesses(causes)
        more = (stiffness - self._cold.stiffness) @ self._drawn.pose.kept[0]
        frame = replace(self._cold, stiffness=stiffness, push=self._cold.push + more)
        links = self._off(self.links, causes)
        weight = np.full(len(causes), self.case.dead_factor)
        return Problem(self.bones, frame, links, weight, self._points(astray), self.propped)

    def _frame(self, warmth: float) -> Condensed:
        """The frame as drawn, on the movements the ropes feel."""
        return self._cold if warmth == 0.0 else self._condensed(1.0, warmth)

    @cached_property
    def _cold(self) -> Condensed:
        return self._condensed(1.0, 0.0)

    def _condensed(self, help_: float, warmth: float) -> Condensed:
        """The frame with walls and plate that many times as stiff as stated."""
        bones, weight, frame = self.bones, self.case.dead_factor, self.bones.frame
        forces, work = loads_on(bones, [self.case], np.array([warmth]))
        forces[:, bones.attach, 2] -= weight * hung_on(self.links, len(bones.attach))
        if self.standing:
            forces[:, frame.feet] -= np.array(self.standing)[:, None] * frame.outward
        still = np.zeros((1, len(frame.nodes), 6))
        firm = help_ * self._holding
        return condense(bones, still, forces=forces, work=work, wall_stiffness=firm)

    @cached_property
    def _holding(self) -> float | Floats:
        """Of walls and plate; what holds a roof that stands holds its feet still."""
        state = State(self.case, wall_stiffness=self.walls, plate_stiffness=self.plate)
        if self.standing and not self.helped:
            return HELD * np.eye(self.bones.frame.n)
        return holding(self.bones.frame, state) if self.plate else self.walls

    def _stiffness(self, causes: Floats) -> Floats:
        """Of frame and walls as the causes tell. [N/m] (n_kept, n_kept)"""
        lay = self.layout
        factor = float(np.exp(causes[lay.frame]))
        if not lay.walls:
            return np.asarray(self._cold.stiffness[0] * factor)
        # Beams that many times as stiff, the walls apart from them.
        return factor * self._on_walls(float(causes[lay.wall] - causes[lay.frame]))

    def _stiffnesses(self, causes: Floats) -> Floats:
        """The same for every row of causes. [N/m] (n_batch, n_kept, n_kept)"""
        lay, factor = self.layout, np.exp(causes[:, self.layout.frame])[:, None, None]
        if not lay.walls:
            return np.asarray(self._cold.stiffness * factor)
        ratio = causes[:, lay.wall] - causes[:, lay.frame]
        away = ratio[:, None] - NODES
        near = np.abs(away) < TOO_NEAR
        share = np.where(near.any(axis=1, keepdims=True), near, WEIGHTS / np.where(near, 1.0, away))
        table = self._at_nodes.reshape(len(NODES), -1)
        found = (share / share.sum(axis=1, keepdims=True)) @ table
        found = found.reshape(len(causes), *self._at_nodes.shape[1:])
        for row in np.flatnonzero(np.abs(ratio) > WIDE):
            found[row] = self._on_walls(float(ratio[row]))
        return np.asarray(found * factor)

    def _on_walls(self, ratio: float) -> Floats:
        """Stiffness with walls stiffer by a logarithm; smooth in it, so interpolated."""
        if abs(ratio) > WIDE:
            return np.asarray(self._condensed(float(np.exp(ratio)), 0.0).stiffness[0])
        away = ratio - NODES
        if (away == 0.0).any():
            return np.asarray(self._at_nodes[int(np.abs(away).argmin())])
        share = WEIGHTS / away
        return np.asarray(np.tensordot(share / share.sum(), self._at_nodes, axes=1))

    @cached_property
    def _at_nodes(self) -> Floats:
        return np.array([self._condensed(float(np.exp(one)), 0.0).stiffness[0] for one in NODES])


def _of_other_stiffness(
    length: Floats, rate: Floats, factor: float | Floats, pull: Floats
) -> tuple[Floats, Floats]:
    """Ropes of another EA that are as long under the pull they were set with."""
    strain = pull / (rate * length)
    other = length * (1.0 + strain) / (1.0 + strain / factor)
    return other, rate * factor * length / other


def _longer(length: Floats, long: Floats, taut: NDArray[np.bool_]) -> Floats:
    """Unstretched length that a unit more of log EA is worth. [m]"""
    return np.where(taut, (long - length) * length / long, 0.0)


def _at_set(length: Floats, rate: Floats, pull: Floats) -> Floats:
    """How much longer a unit more of log EA makes ropes that were set with a pull. [m]"""
    strain = pull / (rate * length)
    return np.asarray(length * strain / (1.0 + strain))


def _first_step(problem: Problem, near: Stand, held: Pulls) -> Pose:
    """By the law of the rest near by, as if links could push: a length alone may slacken them."""
    links = problem.links
    total = held.side_long.sum(axis=1, keepdims=True) if links.web.sliding else held.side_long
    bars = replace(
        held,
        leg_pull=links.leg_rate * (held.leg_long - links.leg_length),
        side_pull=np.broadcast_to(
            links.side_rate * (total - links.side_length), held.side_long.shape
        ),
    )
    out = slopes(problem, near.rest.pose, bars)
    damping = np.full(1, SOFT * problem.firm)
    stiff = tangent(problem, near.rest.pulls, pose=near.rest.pose, damping=damping)
    return solve_step(problem, stiff, out)


def _stepped(problem: Problem, near: Stand) -> tuple[Problem, Rest] | None:
    """Whole Newton steps from near by; None where they do not lead to rest at once."""
    pose, before, turns = near.rest.pose, np.inf, problem.links.web.turns
    if turns:
        lies = near.problem.links
        links = replace(problem.links, ring_at=lies.ring_at, centre=lies.centre)
        problem = replace(problem, links=links)
    for count in range(MOST_STEPS):
        held = held_in(problem, pose)
        if turns:
            rate = turn_rate(problem.links, held, problem.weight)
            problem = replace(problem, links=replace(problem.links, turn_rate=rate))
        out = slopes(problem, pose, held)
        left = float(out.largest()[0]) if count else np.inf
        if left <= BALANCED * max(float(held.leg_pull.max()), 1.0):
            one = np.ones(1, dtype=bool)
            return problem, Rest(pose, held, np.array([left]), np.array([count]), one, ~one)
        if count > EARLY and left > FALLING * before:
            return None
        before = left
        if count:
            step = newton_step(problem, pose, held, slopes=out)
        else:
            step = _first_step(problem, near, held)
        pose = pose.moved(step, np.ones(1))
        if turns:
            # A stiff ring is really turned, and its movements count from there again.
            links, _ = rebased(problem.links, pose)
            problem = replace(problem, links=links)
            pose = replace(pose, ring=np.zeros_like(pose.ring))
    return None


def _weather(warming: float) -> Climate:
    return replace(SET, warming=float(warming))


def _pushed(frame: Condensed, push: Floats) -> Condensed:
    return replace(frame.unloaded(), push=push[None])


def _rows(found: Changes) -> Floats:
    """Causes as columns, what is seen as rows."""
    causes = found.leg_pull.shape[1]
    parts = (found.leg_pull[0], found.ends[0].reshape(causes, -1), found.outward[0])
    return np.concatenate(parts, axis=1).T


def _not_held() -> Mechanism:
    return Mechanism(
        Finding(
            "TU-031",
            key="the pulls as read",
            bound="held by the dead load or by the walls: they would lift the hub off its prop "
            "and draw the walls in",
            remedy="State the dead load that lies on the roof, or walls that help; else slacken "
            "every leg until the prop carries the hub again.",
        ),
        loose="hub",
    )


def _not_at_rest(rest: Rest) -> NotConverged:
    return NotConverged(
        Finding(
            "TU-030",
            key="the tie as read",
            bound="held by legs that pull",
            remedy="Snug the slack legs by hand, set the hub on its prop and read again.",
        ),
        iterations=int(rest.steps.max()),
        residual=float(rest.residual.max()),
        worst_node="ring",
    )
