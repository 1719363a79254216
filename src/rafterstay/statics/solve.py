"""From a frame, its tie and its cases to every pull and movement, each with its error."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from rafterstay.core.errors import Finding, InternalError, Mechanism
from rafterstay.core.quantities import show_both
from rafterstay.loads.nouns import Cases
from rafterstay.roof.frame import Floats, Frame
from rafterstay.statics.beam_loads import loads_on
from rafterstay.statics.bound import force_error
from rafterstay.statics.condense import Condensed, Skeleton, condense, skeleton
from rafterstay.statics.holds import Variant, holding, thrust_today, thrusts, variants
from rafterstay.statics.network import Network, Pose, hung_on, in_weather, start_pose
from rafterstay.statics.newton import Rest
from rafterstay.statics.nouns import Forces, Setting, State
from rafterstay.statics.problem import Problem
from rafterstay.statics.report import Answer, gather_forces
from rafterstay.statics.sense import FARTHEST, UPLIFT_GOVERNS, drawn_in, require_sense
from rafterstay.statics.setting import set_legs
from rafterstay.statics.stability import require_stable
from rafterstay.statics.turning import come_to_rest, require_level
from rafterstay.tie.nouns import Tie

__all__ = ["solve", "solve_batch", "states_of", "variants"]

PROVED = 1e-6  # largest error bound beside the largest pull
SAME = 1e-5  # second order stops when no pull changes by more than this, relative
MOST_PASSES = 150  # a hip near its limit creeps: each pass moves it most of the one before
PATIENT = 8  # passes before a creeping state is helped on
ALIGNED = 0.95  # cosine between two steps that point the same way
MOST_LEAP = 20.0  # steps gone ahead at most,
LONGEST_LEAP = 1 / 200  # and as a share of the span
NOUGHT = 0.01  # of the load on a hip: a thrust of less is none
BATCH_BYTES = 2e8  # states are taken in batches whose matrices fit in about this much memory


def states_of(cases: Cases, variant: Variant, held_thrust: tuple[float, ...] = ()) -> list[State]:
    """Give the states of one group.

    Args:
        cases: What lies on the roof.
        variant: What holds the feet, and rope stiffness of the group.
        held_thrust: Inward force on each foot that carries the dead load's thrust, where the
            variant leaves it there. [N]

    Returns:
        One state for each case and each weather it is run in.
    """
    return [
        State(
            case=case,
            bound=variant.bound,
            variant=variant.told,
            weather=weather,
            wall_stiffness=variant.walls,
            rope_factor=variant.rope_factor,
            plate_stiffness=variant.plate,
            held_thrust=held_thrust if variant.on_walls else (),
        )
        for case in cases.cases
        for weather in cases.climates_of(case)
    ]


def solve(
    frame: Frame,
    tie: Tie,
    cases: Cases,
    *,
    walls: tuple[float, float] | None = None,
    plate: tuple[Floats, Floats] | None = None,
    standing: bool = False,
    leg_extra: Floats | None = None,
) -> Forces:
    """Solve every case under every bound.

    Args:
        frame: The roof.
        tie: Its tie.
        cases: What lies on it.
        walls: Least and most wall stiffness at each foot, None for no help. [N/m]
        plate: Least and most pull of each side of the plate by its lengthening, None where it is
            jointed. [N/m] (n,) each
        standing: The roof stood on its walls before the tie was set.
        leg_extra: Further unstretched length in each leg. [m] (n_legs,)

    Returns:
        All states, bare walls first.

    Raises:
        Mechanism: A part is loose, or the pretension cannot be held.
        NotConverged: A state did not come to rest.
        InternalError: An answer came out but could not be proved.

    Limits: small movements of a linear frame, exact lengths of ropes; docs/theory/sense.md and
        docs/theory/second-order.md.
    Source: docs/theory/convexity.md, docs/theory/error-bound.md
    """
    bones = skeleton(frame)
    parts: list[tuple[Answer, Setting]] = []
    lifted: list[str] = []
    setting: Setting | None = None
    strain = 0.0
    held = thrust_today(bones, cases.setting) if standing else ()
    helped = walls is not None or plate is not None
    for variant in variants(walls, plate, standing=standing):
        states = states_of(cases, variant, held)
        bare = helped and variant.bound == "bare"
        if bare:
            states, lifted = _weighed_down(bones, states)
        legs = set_legs(
            bones,
            tie,
            cases.setting,
            state=_plain(states, variant, cases),
            leg_extra=leg_extra,
            walls_help=helped,
            standing=held,
            near=strain,
        )
        strain = legs.strain
        setting = setting or legs.setting
        size = max(1, int(BATCH_BYTES / _bytes_of(bones, legs.links)))
        for start in range(0, len(states), size):
            some = states[start : start + size]
            answer, more = _held_down(bones, tie, legs.links, some, may_leave=bare)
            lifted += more
            if answer is not None:
                parts.append((answer, legs.setting))
    forces = gather_forces(frame, parts)
    return replace(forces, setting=setting or forces.setting, left_out=tuple(lifted))


def _weighed_down(bones: Skeleton, states: list[State]) -> tuple[list[State], list[str]]:
    """States whose feet push outward on the whole, and the ids of the others.

    Where the load draws the feet in, every rope hangs slack and nothing but walls and plate
    holds the roof: without them there is no state to speak of.
    """
    # Where a beam holds the ridge up thrust is nil but for what the hips give: nothing draws in.
    least = [NOUGHT * bones.frame.span * np.abs(state.case.hip_load).max() for state in states]
    pushes = thrusts(bones, [state.case for state in states]).mean(axis=1) > -np.array(least)
    kept = [state for state, push in zip(states, pushes, strict=True) if push]
    return kept, [state.id for state, push in zip(states, pushes, strict=True) if not push]


def _held_down(
    bones: Skeleton, tie: Tie, links: Network, states: list[State], *, may_leave: bool
) -> tuple[Answer | None, list[str]]:
    """Solve a batch; states that uplift carries off may be left out where help is stated."""
    left_out: list[str] = []
    while states:
        weather = in_weather(tie, links, [state.weather for state in states])
        try:
            return solve_batch(bones, weather, states), left_out
        except Mechanism as fault:
            found = fault.findings[0]
            blown = {state.id for state in states if state.case.hip_load.min() < 0.0}
            if not (may_leave and (found.remedy == UPLIFT_GOVERNS or found.key in blown)):
                raise
            left_out.append(found.key)
            states = [state for state in states if state.id != found.key]
    return None, left_out


def _plain(states: list[State], variant: Variant, cases: Cases) -> State:
    """A state of the variant as the legs are set."""
    return states[0] if states else states_of(replace(cases, cases=(cases.setting,)), variant)[0]


def solve_batch(bones: Skeleton, links: Network, states: list[State]) -> Answer:
    """First order with its proof, then second order by re-basing.

    Args:
        bones: The frame.
        links: The tie, its legs set.
        states: Of one wall stiffness.

    Returns:
        The answer.

    Raises:
        Mechanism: A part is loose.
        NotConverged: A state did not come to rest.
        InternalError: An answer came out but could not be proved.
    """
    cases = [state.case for state in states]
    names = [state.id for state in states]
    weight = np.array([case.dead_factor for case in cases])
    warming = np.array([state.weather.warming for state in states])
    forces, work = loads_on(bones, cases, warming)
    forces[:, bones.attach, 2] -= weight[:, None] * hung_on(links, len(bones.attach))
    still = np.zeros((1, len(bones.frame.nodes), 6))
    wall = holding(bones.frame, states[0])
    forces[:, bones.frame.feet] -= _held_back(bones.frame, states)
    frame = condense(bones, still, forces=forces, work=work, wall_stiffness=wall).loosened()
    points = bones.frame.nodes[None, bones.attach]
    problem = Problem(bones, frame, links, weight, points)
    start = start_pose(bones, links, points, len(states))
    problem, rest = come_to_rest(problem, start, names)
    require_sense(problem, rest, names)
    error = force_error(problem, rest.pose, rest.pulls)
    _require_proved(error, rest, names)
    first = rest.pulls.leg_pull[:, :, 0]
    movement = _whole_movement(bones, frame, rest.pose)
    movement, problem, second = _second_order(
        problem, movement, rest, names=names, forces=forces, work=work, wall=wall
    )
    require_stable(problem, second, movement, names=names, forces=forces, work=work, wall=wall)
    require_level(links, problem.links, second, names)
    return Answer(
        bones=bones,
        states=states,
        movement=movement,
        pose=second.pose,
        pulls=second.pulls,
        first_order=first,
        force_error=error,
        residual=second.residual,
        forces=forces,
        work=work,
        links=problem.links,
    )


def _held_back(frame: Frame, states: list[State]) -> Floats:
    """Inward force of what still carries the dead load's thrust. [N] (n_states or 1, n, 3)"""
    if not states[0].held_thrust:
        return np.zeros((1, frame.n, 3))
    held = np.array([state.held_thrust for state in states])
    return np.asarray(held[..., None] * frame.outward)


def _bytes_of(bones: Skeleton, links: Network) -> float:
    """About what one state's matrices take while the frame is re-based."""
    numbers = 3 * (len(bones.kept) + links.web.n_ring) ** 2 + 3 * len(bones.blocks.outer) ** 2
    numbers += 300 * len(bones.frame.members)
    for bucket in bones.blocks.buckets:
        groups, beams, _, columns = bucket.maps.shape
        numbers += groups * columns * (12 * beams + 4 * columns)
    return 8.0 * numbers


def _whole_movement(bones: Skeleton, frame: Condensed, pose: Pose) -> Floats:
    every = frame.all_movements(bones, pose.kept)
    return np.asarray(np.einsum("nkq,bq->bnk", bones.free.nodes, every))


def _second_order(
    problem: Problem,
    movement: Floats,
    rest: Rest,
    *,
    names: list[str],
    forces: Floats,
    work: Floats,
    wall: Floats,
) -> tuple[Floats, Problem, Rest]:
    """Re-base the frame on its displaced shape until the pulls stay.

    Source: docs/theory/second-order.md eq. 1 to 3
    """
    before, bones = rest.pulls.leg_pull[:, :, 0], problem.bones
    drawn = bones.frame.nodes[bones.attach]
    last: Floats | None = None
    for turn in range(MOST_PASSES):
        frame = condense(bones, movement, forces=forces, work=work, wall_stiffness=wall)
        points = drawn + movement[:, bones.attach, :3]
        problem = replace(problem, frame=frame, points=points)
        start = replace(rest.pose, kept=np.zeros_like(rest.pose.kept))
        problem, rest = come_to_rest(problem, start, names)
        step = _whole_movement(bones, frame, rest.pose)
        movement = movement + step
        _require_near(bones, movement, step, rest=rest, names=names)
        after = rest.pulls.leg_pull[:, :, 0]
        change = np.abs(after - before).max(axis=1) / np.maximum(after.max(axis=1), 1.0)
        before = after
        if change.max() <= SAME:
            return movement, problem, rest
        if turn >= PATIENT and last is not None:
            movement = movement + _ahead(bones, last, step) * (change > SAME)[:, None, None]
            last = None
        else:
            last = step
    row = int(change.argmax())
    raise _growing(bones, step[row], names[row])


def _ahead(bones: Skeleton, last: Floats, step: Floats) -> Floats:
    """Where a state that creeps, or swings to and fro, is bound for.

    Args:
        bones: The frame.
        last: Step of the pass before. [m, rad] (n_batch, n_nodes, 6)
        step: Of this pass. [m, rad] (n_batch, n_nodes, 6)

    Returns:
        The sum of all steps to come, were each the same share of the one before; nil where the
        last two are not along one line. Never back from a state that runs away.

    Source: docs/theory/second-order.md eq. 4
    """
    was, now = last[..., :3].reshape(len(last), -1), step[..., :3].reshape(len(step), -1)
    both, size = (was * now).sum(axis=1), (was * was).sum(axis=1)
    share = both / np.maximum(size, 1e-300)
    aligned = np.abs(both) > ALIGNED * np.sqrt(size * (now * now).sum(axis=1))
    longest = LONGEST_LEAP * bones.frame.span / np.maximum(np.abs(now).max(axis=1), 1e-300)
    leap = np.minimum(share / np.maximum(1.0 - share, 1.0 / MOST_LEAP), longest)
    return np.asarray(np.where(aligned, leap, 0.0)[:, None, None] * step)


def _require_near(
    bones: Skeleton, movement: Floats, step: Floats, *, rest: Rest, names: list[str]
) -> None:
    """Refuse a displaced frame that runs away from its drawing."""
    moved = np.linalg.norm(movement[:, bones.frame.bolts, :3], axis=-1).max(axis=1)
    lost = (moved > FARTHEST * bones.frame.span) | rest.endless | ~rest.settled
    for row in np.flatnonzero(lost):
        raise _growing(bones, step[row], names[row])


def _growing(bones: Skeleton, step: Floats, name: str) -> Mechanism:
    size = np.linalg.norm(step[:, :3], axis=1)
    loose = bones.frame.names[int(size.argmax())]
    near = size.max() < FARTHEST * bones.frame.span
    far = (
        f"with every pass (by {show_both(float(size.max()), 'length')} in the last)"
        if near
        else "without end"
    )
    ways = "lower the tie, steepen the roof or stiffen the legs."
    remedy = (
        f"{ways[0].upper()}{ways[1:]}" if bones.frame.deck else f"Brace the hips sideways, {ways}"
    )
    if drawn_in(bones.frame, step):
        remedy = UPLIFT_GOVERNS
    return Mechanism(
        Finding(
            code="ST-006",
            key=name,
            bound=f"stable on the displaced roof: {loose} moves on {far}",
            remedy=remedy,
        ),
        loose=loose,
    )


def _require_proved(error: Floats, rest: Rest, names: list[str]) -> None:
    largest = np.maximum(rest.pulls.leg_pull.max(axis=(1, 2)), 1.0)
    for row in np.flatnonzero(~(error <= PROVED * largest)):
        raise InternalError(
            Finding(
                code="ST-007",
                key=names[row],
                value=f"pulls proved only to {error[row]:.3g} N",
                bound=f"proved to {PROVED * largest[row]:.3g} N",
                remedy="Please report this job; no answer is given.",
            )
        )
