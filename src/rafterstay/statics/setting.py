"""The state in which the legs are tensioned: lengths fitted there are kept ever after."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from rafterstay.core.errors import Finding, Mechanism
from rafterstay.core.quantities import show_both
from rafterstay.loads.nouns import Case
from rafterstay.roof.frame import Floats
from rafterstay.statics.beam_loads import loads_on
from rafterstay.statics.bracket import Bracket
from rafterstay.statics.condense import Condensed, Skeleton, condense, skeleton
from rafterstay.statics.holds import HELD, holding
from rafterstay.statics.network import Network, Pose, chains, hung_on, start_pose
from rafterstay.statics.newton import Rest
from rafterstay.statics.nouns import Setting, State
from rafterstay.statics.problem import Problem, prop_push
from rafterstay.statics.sense import FARTHEST, require_sense
from rafterstay.statics.turning import come_to_rest
from rafterstay.tie.nouns import Tie

__all__ = ["Legs", "set_legs"]

CLOSE = 1e-4  # mean pull fitted to its target, relative
MOST_TRIES = 40


@dataclass(frozen=True)
class Legs:
    """Links with their fitted lengths, and the state they were fitted in.

    Attributes:
        links: Cut and set.
        setting: As they hang then.
        strain: Pull they were cut for, were the frame rigid; nought where they were not fitted.
            [N]
    """

    links: Network
    setting: Setting
    strain: float = 0.0


def set_legs(
    bones: Skeleton,
    tie: Tie,
    case: Case,
    *,
    state: State,
    leg_extra: Floats | None,
    walls_help: bool,
    standing: tuple[float, ...] = (),
    near: float = 0.0,
) -> Legs:
    """Fit the legs so that their mean pull in the setting state is the target.

    The roof carries its dead load, the hub stands on a prop that only pushes; a roof that stood
    before has no prop, and what holds its feet goes on holding them. A target of nil is snug:
    lengths as drawn; a target below the pull of snug legs lets them out a little.

    Args:
        bones: The frame.
        tie: Its tie.
        case: Load on the roof while the legs are set.
        state: Walls and rope stiffness.
        leg_extra: Further unstretched length in each leg. [m] (n_legs,)
        walls_help: The job states walls that help. A target only they can hold is then met, in
            the bound without them, as far as the dead load goes: there the pull under load
            does not depend on it.
        standing: Inward force on each foot that carries the dead load of a roof that stands;
            empty where its hub is propped. [N] (n,)
        near: ``strain`` of the same legs under another bound, to begin at; it only shortens the
            way. [N]

    Returns:
        The legs and their setting state.

    Raises:
        Mechanism: The target lifts the hub off its prop: walls and dead load cannot hold it.
    """
    bones = skeleton(bones.frame, bones.free, propped=not standing)
    site = _Site(bones, case, state, standing)

    def cut(strain: float) -> Network:
        return chains(tie, strain=strain, rope_factor=state.rope_factor, leg_extra=leg_extra)

    if tie.target <= 0:
        return Legs(cut(0.0), _as_found(site, tie, cut(0.0)))
    bare = state.wall_stiffness <= 0 and not state.plate_stiffness
    most = _dead_pull(site, cut(0.0)) if bare and (standing or walls_help) else math.inf
    if most < tie.target and not walls_help:
        raise _beyond(tie, most, standing=True)
    if not standing and 0 < most < tie.target:
        return Legs(cut(most), _as_found(site, tie, cut(most)))
    aim = min(tie.target, max(most, 0.0)) if standing else tie.target
    search, found = Bracket(near or aim, at_nought=-aim, reach=10.0 * aim), None
    for _ in range(MOST_TRIES):
        links = cut(search.at)
        problem, rest = _rest(site, links, as_set=True, near=found)
        if not rest.settled[0] or _far(problem, rest):
            break
        found = rest.pose
        off = float(rest.pulls.leg_pull[0, :, 0].mean()) - aim
        if abs(off) <= CLOSE * aim:
            return Legs(links, _as_found(site, tie, links, (problem, rest)), search.at)
        search.learn(off)
    own = _dead_pull(site, cut(0.0))
    raise _beyond(tie, own, standing=bool(standing)) if aim >= own else _too_little(tie)


@dataclass(frozen=True)
class _Site:
    """Where legs are set: frame, load, walls, and what holds a roof that stands."""

    bones: Skeleton
    case: Case
    state: State
    standing: tuple[float, ...]

    @property
    def held_still(self) -> bool:
        """Something that is not counted on holds the feet while the legs are set."""
        helped = self.state.wall_stiffness > 0 or self.state.plate_stiffness
        return bool(self.standing) and not helped

    @cached_property
    def as_set(self) -> Condensed:
        """The frame while the legs are set, without what hangs on it."""
        frame = self.bones.frame
        firm = HELD * np.eye(frame.n) if self.held_still else holding(frame, self.state)
        return self._condensed(firm, held_back=self.standing)

    @cached_property
    def let_go(self) -> Condensed:
        """The frame with nothing to help but walls and plate, without what hangs on it."""
        return self._condensed(holding(self.bones.frame, self.state), held_back=())

    def _condensed(self, firm: Floats, *, held_back: tuple[float, ...]) -> Condensed:
        bones, frame = self.bones, self.bones.frame
        forces, work = loads_on(bones, [self.case])
        if held_back:
            forces[:, frame.feet] -= np.array(held_back)[:, None] * frame.outward
        still = np.zeros((1, len(frame.nodes), 6))
        return condense(bones, still, forces=forces, work=work, wall_stiffness=firm)


def _rest(
    site: _Site, links: Network, *, as_set: bool, near: Pose | None = None
) -> tuple[Problem, Rest]:
    """Where everything comes to rest as set, or with nothing to help but walls and plate.

    The rest is one, wherever the search starts: near it only shortens the way.
    """
    bones, weight = site.bones, np.array([site.case.dead_factor])
    condensed = site.as_set if as_set else site.let_go
    # What hangs on the bolts acts on kept movements alone: nothing else is to be eliminated anew.
    hung = weight[:, None] * hung_on(links, len(bones.attach)) @ bones.reach[:, 2]
    condensed = replace(condensed, push=condensed.push - hung)
    points = bones.frame.nodes[None, bones.attach]
    propped = as_set and not site.standing
    problem = Problem(bones, condensed, links, weight, points, propped)
    return come_to_rest(problem, near or start_pose(bones, links, points, 1), ["setting"])


def _far(problem: Problem, rest: Rest) -> bool:
    moved = problem.bones.reach @ rest.pose.kept[0]
    return bool(np.linalg.norm(moved, axis=-1).max() > FARTHEST * problem.bones.frame.span)


def _as_found(
    site: _Site, tie: Tie, links: Network, set_so: tuple[Problem, Rest] | None = None
) -> Setting:
    """The setting state, and the pull once prop or whatever held the feet is taken away.

    A roof with no dead load has nothing to hold the legs' own weight: the drawing stands in
    for the setting state, with pulls of nil, and nothing is known of the lowered prop.
    """
    n, bones = tie.n, site.bones
    lengths, sides = rope_lengths(tie, links)
    drawn = tie.ring_points.mean(axis=0)
    if tie.target <= 0 and not site.case.hip_load.any():
        none = np.full(n, np.nan)
        spread = np.zeros(bones.frame.n)
        return Setting(np.zeros(n), none, 0.0, drawn, lengths, sides, spread)
    problem, rest = set_so or _rest(site, links, as_set=True)
    require_sense(problem, rest, ["setting"])
    lowered_problem, lowered = _rest(site, links, as_set=False, near=rest.pose)
    require_sense(lowered_problem, lowered, ["prop lowered"])
    every = problem.frame.all_movements(bones, rest.pose.kept)
    return Setting(
        leg_pull=rest.pulls.leg_pull[0, :, 0],
        lowered_pull=lowered.pulls.leg_pull[0, :, 0],
        prop_force=float(prop_push(problem, rest.pose.kept)[0]),
        ring_centre=rest.pulls.ends[0].mean(axis=0),
        leg_length=lengths,
        ring_length=sides,
        spread=np.asarray(bones.free.outward @ every[0]),
    )


def rope_lengths(tie: Tie, links: Network) -> tuple[Floats, Floats]:
    """Unstretched rope in each leg, and in each side of the ring. [m] (n,) and (m,)"""
    pieces = links.leg_length[0]
    legs = pieces[:, 0] + pieces[:, 2] + (0.0 if tie.has_turnbuckles else pieces[:, 1])
    sides = links.side_length[0]
    if links.web.sliding:
        sides = np.full(len(links.web.sides), sides[0] / len(links.web.sides))
    return legs, sides


def _dead_pull(site: _Site, snug: Network) -> float:
    """Mean pull that the dead load and the walls make of snug legs, unpropped; 0 if none. [N]"""
    _, rest = _rest(site, snug, as_set=False)
    return float(rest.pulls.leg_pull[0, :, 0].mean()) if rest.settled[0] else 0.0


def _too_little(tie: Tie) -> Mechanism:
    """Tell that legs let out so far hang too low to hold the roof near its drawing."""
    return Mechanism(
        Finding(
            code="ST-005",
            key="pretension.target",
            value=f"{show_both(tie.target, 'force')} mean pull",
            bound="more than what the legs' own weight pulls when they hang far below the drawing",
            remedy="Set '0 lb' for legs that are snug, cut to the drawing, or a larger target.",
        ),
        loose="feet",
    )


def _beyond(tie: Tie, most: float, *, standing: bool) -> Mechanism:
    """Tell how much pull the dead load can hold."""
    lifts = (
        "draws the walls in" if standing else "lifts the hub off its prop and draws the walls in"
    )
    return Mechanism(
        Finding(
            code="ST-005",
            key="pretension.target",
            value=f"{show_both(tie.target, 'force')} mean pull",
            bound=(
                f"below {show_both(most, 'force')}, the pull the dead load makes by itself: "
                f"more {lifts}"
            ),
            remedy="Set a smaller target ('0 lb' is snug), or state walls that help.",
        ),
        loose="feet" if standing else "hub",
    )
