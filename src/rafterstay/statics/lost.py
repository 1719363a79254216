"""What the rest of a tie takes when one leg or one side of the ring is gone.

docs/theory/leg-lost.md.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from rafterstay.core.errors import Mechanism, NotConverged
from rafterstay.loads.nouns import Cases
from rafterstay.roof.frame import Floats, Frame
from rafterstay.statics.condense import skeleton
from rafterstay.statics.holds import thrust_today
from rafterstay.statics.network import Network
from rafterstay.statics.nouns import Forces, State
from rafterstay.statics.report import gather_forces
from rafterstay.statics.setting import Legs, set_legs
from rafterstay.statics.solve import solve_batch, states_of, variants
from rafterstay.tie.nouns import Tie

__all__ = ["SUDDEN", "Loss", "Losses", "lose_each", "lose_leg", "lose_side", "sudden"]

SUDDEN = 2.0  # what is shed suddenly counts twice: docs/theory/leg-lost.md
AWAY = 2.0  # spans: a link this long is never reached
AT_THE_GAP = "the feet at the gap, along the wall"  # a band that is cut holds them no more


@dataclass(frozen=True)
class Loss:
    """One leg or side of the ring lost, for every case asked.

    Attributes:
        lost: ``leg 3`` or ``ring side 3``.
        before: Forces with everything in place.
        after: Forces with it gone, at rest; None where nothing holds the roof then.
        loose: What moves away then; empty where it holds.
        leg_pull: Demand on every leg, what is shed counted twice; NaN where nothing holds. [N]
            (n_states, n)
        ring_pull: The same of every side of the ring. [N] (n_states, m)
    """

    lost: str
    before: Forces
    after: Forces | None
    loose: str
    leg_pull: Floats
    ring_pull: Floats


@dataclass(frozen=True)
class Losses:
    """One leg or side of the ring after another lost, each alone.

    Attributes:
        of: ``leg`` or ``side``.
        numbers: What is lost in each row, from 1.
        before: Forces with everything in place, one row for each loss.
        after: Forces at rest without it; None where nothing holds one of them.
        unheld: Number of the first leg or side without which nothing holds; 0 where all hold.
        loose: What moves away then; empty where all hold.
    """

    of: str
    numbers: tuple[int, ...]
    before: Forces
    after: Forces | None
    unheld: int = 0
    loose: str = ""


def lose_each(
    frame: Frame,
    tie: Tie,
    cases: Cases,
    forces: Forces,
    *,
    walls_help: bool = False,
    standing: bool = False,
) -> tuple[Losses, ...]:
    """Lose a leg, and of a seized ring a side, under dead load and snow, walls giving no help.

    Under the load that pulls hardest on the whole every leg goes once, of a regular roof as drawn
    one for all; under the one-sided load that pulls a leg hardest that leg goes. Sides of the
    ring go under the first of these.

    Args:
        frame: The roof.
        tie: Its tie.
        cases: What lies on it.
        forces: With everything in place: they say which loads ask the most.
        walls_help: The job states walls that help while the legs are set.
        standing: The roof stood on its walls before the tie was set.

    Returns:
        Losses of legs, then of sides of a ring of one rope; nothing of a sliding rope, whose eyes
        run together, and nothing where no load draws on the legs without the walls.

    Raises:
        Mechanism: The pretension cannot be held.

    Limits: one loss at a time; a sliding rope is lost by ``lose_leg`` and ``lose_side``. A band
        that is cut is not solved: what would hold its feet along the wall is not known.
    Source: docs/theory/leg-lost.md sections 1 and 3
    """
    loads = _loads(forces)
    if not loads or (tie.layout == "ring" and tie.ring == "rope-sliding"):
        return ()
    if tie.layout == "band":
        return (Losses("leg", (1,), _rows(forces, [loads[0][0]]), None, 1, AT_THE_GAP),)
    alike = frame.geometry == "designed" and frame.shape == "polygon"
    (full, _), aside = loads[0], loads[1:]
    every = range(1 if alike else tie.n)
    losses = [_Gone(full, "leg", leg) for leg in every]
    losses += [_Gone(row, "leg", leg) for row, leg in aside]
    if tie.layout == "ring" and tie.ring == "rope-seized" and tie.ring_ropes == 1:
        losses += [_Gone(full, "side", side) for side in every]
    bones = skeleton(frame)
    hung = set_legs(
        bones,
        tie,
        cases.setting,
        state=forces.states[full],
        leg_extra=None,
        walls_help=walls_help,
        standing=thrust_today(bones, cases.setting) if standing else (),
    )
    return _lose_some(frame, hung, forces, losses)


@dataclass(frozen=True)
class _Gone:
    """Row of the forces under which it goes; ``leg`` or ``side``, and its number from 0."""

    row: int
    of: str
    number: int


def _loads(forces: Forces) -> list[tuple[int, int]]:
    """Row of the load that pulls hardest on the whole; of the one-sided one, and its leg."""
    found: list[tuple[int, int]] = []
    for equation in ("D+S", "D+Lr", "D"):
        rows = [
            row
            for row, state in enumerate(forces.states)
            if state.bound == "bare"
            and state.climate == "set"
            and state.for_strength
            and state.case.equation == equation
        ]
        if rows:
            break
    else:
        return found
    found.append((rows[int(forces.leg_pull[rows].mean(axis=1).argmax())], 0))
    aside = [row for row in rows if forces.states[row].case.direction_deg is not None]
    if aside:
        hard = forces.leg_pull[aside]
        row, leg = np.unravel_index(int(hard.argmax()), hard.shape)
        found.append((aside[row], int(leg)))
    return found


def _lose_some(frame: Frame, hung: Legs, forces: Forces, losses: list[_Gone]) -> tuple[Losses, ...]:
    """Lose one after another in one batch; where one is not held, legs and sides apart."""
    groups = [[row for row, each in enumerate(losses) if each.of == of] for of in ("leg", "side")]
    groups = [rows for rows in groups if rows]
    before = _rows(forces, [each.row for each in losses])
    lost = [
        State(replace(state.case, pattern=f"{state.case.pattern}, {gone.of} {gone.number + 1}"))
        for state, gone in zip(before.states, losses, strict=True)
    ]
    links = _without(frame, hung.links, losses)
    try:
        after = gather_forces(frame, [(solve_batch(skeleton(frame), links, lost), hung.setting)])
    except (Mechanism, NotConverged) as fault:
        if len(groups) > 1:
            parts = ([losses[row] for row in rows] for rows in groups)
            return tuple(each for part in parts for each in _lose_some(frame, hung, forces, part))
        row = [state.id for state in lost].index(fault.findings[0].key)
        loose = fault.loose if isinstance(fault, Mechanism) else fault.worst_node
        numbers = tuple(each.number + 1 for each in losses)
        return (Losses(losses[0].of, numbers, before, None, numbers[row], loose),)
    return tuple(
        Losses(
            of=losses[rows[0]].of,
            numbers=tuple(losses[row].number + 1 for row in rows),
            before=_rows(before, rows),
            after=_rows(after, rows),
        )
        for rows in groups
    )


def _rows(forces: Forces, rows: list[int]) -> Forces:
    """Some rows of a table of forces, as often as they are asked for."""
    count = len(forces.states)
    picked: dict[str, Any] = {
        name: value[rows]
        for name, value in vars(forces).items()
        if isinstance(value, np.ndarray) and name != "hip_at" and len(value) == count
    }
    return replace(forces, states=tuple(forces.states[row] for row in rows), **picked)


def _without(frame: Frame, links: Network, losses: list[_Gone]) -> Network:
    """Links of as many ties, each without one leg and its weight, or with its ring rope cut."""
    parts: dict[str, Any] = {
        name: np.repeat(getattr(links, name), len(losses), axis=0)
        for name in ("leg_length", "start_weight", "joint_weight", "end_weight", "side_length")
    }
    for row, gone in enumerate(losses):
        here = (row, gone.number)
        if gone.of == "side":
            parts["side_length"][here] = AWAY * frame.span
            continue
        parts["end_weight"][here] -= parts["start_weight"][here]
        parts["start_weight"][here] = 0.0
        parts["joint_weight"][here] = 0.0
        parts["leg_length"][here] = AWAY * frame.span
    return replace(links, **parts)


def lose_leg(frame: Frame, tie: Tie, cases: Cases, leg: int) -> Loss:
    """Take one leg away, walls giving no help.

    Args:
        frame: The roof.
        tie: Its tie.
        cases: What lies on it when the leg goes; the legs were set under ``cases.setting``.
        leg: Which, from 0.

    Returns:
        Demands on what is left.

    Raises:
        Mechanism: The roof does not stand even with the leg.

    Limits: the hips' own inertia is in the factor 2 alone.
    Source: docs/theory/leg-lost.md eq. 1
    """
    span = AWAY * frame.span

    def gone(links: Network) -> Network:
        length = links.leg_length.copy()
        length[:, leg] = span
        parts = {"leg_length": length}
        for name in ("start_weight", "joint_weight"):
            weights = getattr(links, name).copy()
            weights[:, leg] = 0.0
            parts[name] = weights
        ends = links.end_weight.copy()
        ends[:, leg] -= links.start_weight[:, leg]
        web = links.web
        if web.sliding:
            # An eye without a leg slides to nowhere in particular: the rope passes it by.
            before, after = (leg - 1) % tie.n, (leg + 1) % tie.n
            sides = [pair for pair in web.sides.tolist() if leg not in pair]
            web = replace(web, sides=np.array([*sides, [before, after]], dtype=np.intp))
            ends[:, [before, after]] += ends[:, [leg]] / 2
            ends[:, leg] = 0.0
        return replace(links, web=web, end_weight=ends, **parts)

    return _lose(frame, tie, cases, f"leg {leg + 1}", gone)


def lose_side(frame: Frame, tie: Tie, cases: Cases, side: int) -> Loss:
    """Cut the ring rope once, walls giving no help.

    Args:
        frame: The roof.
        tie: Its tie, to a rope ring.
        cases: What lies on it when the rope goes.
        side: Which side, from 0; of a sliding rope any cut lets the whole rope go.

    Returns:
        Demands on what is left.

    Raises:
        Mechanism: The roof does not stand even with the side.

    Source: docs/theory/leg-lost.md eq. 1
    """
    span = AWAY * frame.span

    def gone(links: Network) -> Network:
        length = links.side_length.copy()
        length[:, 0 if links.web.sliding else side] = span
        return replace(links, side_length=length)

    return _lose(frame, tie, cases, f"ring side {side + 1}", gone)


def _lose(
    frame: Frame, tie: Tie, cases: Cases, lost: str, gone: Callable[[Network], Network]
) -> Loss:
    bones = skeleton(frame)
    variant = variants(None)[0]
    states = [state for state in states_of(cases, variant) if state.climate == "set"]
    legs = set_legs(bones, tie, cases.setting, state=states[0], leg_extra=None, walls_help=False)
    before = gather_forces(frame, [(solve_batch(bones, legs.links, states), legs.setting)])
    after, loose = None, AT_THE_GAP if tie.layout == "band" else ""
    try:
        if not loose:
            answer = solve_batch(bones, gone(legs.links), states)
            after = gather_forces(frame, [(answer, legs.setting)])
    except Mechanism as found:
        loose = found.loose
    except NotConverged as found:
        loose = found.worst_node
    nothing = np.full_like(before.leg_pull, np.nan), np.full_like(before.ring_pull, np.nan)
    if after is None:
        return Loss(lost, before, after, loose, *nothing)
    return Loss(
        lost=lost,
        before=before,
        after=after,
        loose=loose,
        leg_pull=sudden(before.leg_pull, after.leg_pull),
        ring_pull=sudden(before.ring_pull, _each_side(after.ring_pull, before.ring_pull)),
    )


def _each_side(pull: Floats, sides: Floats) -> Floats:
    """Pull of as many sides as there were: a sliding rope that passes an eye has fewer."""
    if pull.shape == sides.shape:
        return pull
    return np.broadcast_to(pull[:, :1], sides.shape)


def sudden(before: Floats, after: Floats) -> Floats:
    """Pull when what is shed arrives suddenly; never less than at rest afterwards.

    Args:
        before: With everything in place. [N]
        after: At rest without what was lost. [N]

    Returns:
        The larger of the rest and the far end of the swing. [N]

    Limits: an undamped spring; the frame's own inertia is left out.
    Source: docs/theory/leg-lost.md eq. 1

    >>> sudden(np.array([300.0, 300.0]), np.array([400.0, 100.0])).tolist()
    [500.0, 100.0]
    """
    return np.maximum(after, before + SUDDEN * (after - before))
