"""What the rest of a tie takes when one leg or one side of the ring is gone.

docs/theory/leg-lost.md.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from rafterstay.core.errors import Mechanism, NotConverged
from rafterstay.loads.nouns import Cases
from rafterstay.roof.frame import Floats, Frame
from rafterstay.statics.condense import skeleton
from rafterstay.statics.network import Network
from rafterstay.statics.nouns import Forces
from rafterstay.statics.report import gather_forces
from rafterstay.statics.setting import set_legs
from rafterstay.statics.solve import solve_batch, states_of, variants
from rafterstay.tie.nouns import Tie

__all__ = ["Loss", "lose_leg", "lose_side"]

SUDDEN = 2.0  # what is shed suddenly counts twice: docs/theory/leg-lost.md
AWAY = 2.0  # spans: a link this long is never reached


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
    after, loose = None, ""
    try:
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
        leg_pull=_sudden(before.leg_pull, after.leg_pull),
        ring_pull=_sudden(before.ring_pull, _each_side(after.ring_pull, before.ring_pull)),
    )


def _each_side(pull: Floats, sides: Floats) -> Floats:
    """Pull of as many sides as there were: a sliding rope that passes an eye has fewer."""
    if pull.shape == sides.shape:
        return pull
    return np.broadcast_to(pull[:, :1], sides.shape)


def _sudden(before: Floats, after: Floats) -> Floats:
    """Pull when what is shed arrives suddenly; never less than at rest afterwards."""
    return np.maximum(after, before + SUDDEN * (after - before))
