"""From readings to one table of turns, with what it will do and what is not known."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

import numpy as np

from rafterstay.roof.frame import Floats
from rafterstay.tuning.aim import Aim, Reached, aim_at, moving, trades
from rafterstay.tuning.doubt import doubts, sigmas
from rafterstay.tuning.estimate import Known, estimate, travel_of
from rafterstay.tuning.friction import held_share, is_held, slid, told, turns_at_eyes
from rafterstay.tuning.nouns import SIGMA, Advice, Goal, Reading, State
from rafterstay.tuning.order import in_order
from rafterstay.tuning.prior import Prior
from rafterstay.tuning.rounding import Rounded, round_jointly
from rafterstay.tuning.seen import ring_centre, shift_rows

if TYPE_CHECKING:
    from rafterstay.tuning.model import Model, Stand

__all__ = ["advise"]

FAR: Final = 50.0  # turns no body ever makes [-]
TEST: Final = 1 / 4  # turn of one leg that calibrates frame and ropes [-]


def advise(model: Model, readings: Sequence[Reading], *, goal: Goal, prior: Prior) -> Advice:
    """One table of turns for all legs.

    Args:
        model: The tie as drawn and set.
        readings: Any mix of them, turns made in between among them.
        goal: What is to be reached; a pull of nil takes the mean as it stands.
        prior: What is believed without readings.

    Returns:
        The advice.

    Raises:
        NotConverged: TU-030 nothing holds the tie as it was read.

    Limits: docs/theory/tuning.md section 11.
    Source: docs/theory/tuning.md
    """
    known = estimate(model, readings, prior)
    travel = travel_of(model)
    read = Aim(model, known.causes, goal, travel)
    aim = read.cold()
    warmth = float(known.causes[model.layout.warmth])
    set_now = known.stand if warmth == 0.0 else model.stand(aim.causes, known.stand)
    if goal.pull <= 0.0:
        goal = _at(goal, float(set_now.pull.mean()))
        read, aim = (Aim(model, one.causes, goal, travel) for one in (read, aim))
    reached = aim_at(aim, near=set_now)
    after = _with_sliding(aim, sigmas(aim, reached.whole, known.spread), reached.stand, reached)
    outside = _outside(aim, set_now, reached.stand)
    rounded = round_jointly(
        aim,
        reached,
        sigma=after,
        outside=len(outside),
        bounds=_thread(model, known, travel),
    )
    ordered = in_order(read, known.stand, reached, rounded.turns)
    last = ordered.last
    doubt = doubts(aim, known, reached)
    shift = (ring_centre(model) - set_now.eyes.mean(axis=0))[:2]
    made = travel * SIGMA["turned"] * np.abs(known.slopes[: aim.n, : aim.n])
    by_hand = (made * (rounded.turns != 0)) ** 2
    then = _with_sliding(aim, sigmas(aim, reached.whole, known.spread), last, reached)
    return Advice(
        state=_state(model, known, travel),
        goal=goal,
        exact=reached.turns,
        moving=moving(aim, reached, shift),
        turns=rounded.turns,
        step=rounded.step if rounded.visits else 0.0,
        steps=ordered.steps,
        predicted=last.pull,
        predicted_sigma=np.sqrt(then[: aim.n] ** 2 + by_hand.sum(axis=1)),
        predicted_shift=(last.eyes.mean(axis=0) - ring_centre(model))[:2],
        predicted_level=last.eyes[:, 2] - last.eyes[:, 2].mean(),
        outside=outside,
        kept=rounded.kept,
        safe=ordered.safe,
        unsure_of=doubt.unsure_of,
        read_next=doubt.read_next,
        trade=trades(aim, reached),
        notes=_notes(readings, known)
        + _taken(model, goal)
        + _eyes(model, readings, last)
        + _test_first(aim, readings, set_now, rounded),
    )


def _with_sliding(aim: Aim, sigma: Floats, at: Stand, reached: Reached) -> Floats:
    """Standard deviations of pulls and centre, a ring rope that slides through eyes included."""
    moved = slid(aim.model, at, reached.whole)
    centre = shift_rows(aim.model, len(moved)) @ moved
    return np.asarray(np.hypot(sigma, np.concatenate([moved[: aim.n], centre])))


def _taken(model: Model, goal: Goal) -> tuple[str, ...]:
    """What is taken as it is because nothing better is known."""
    said = []
    if not model.propped and not model.helped:
        said.append(
            "The roof stood before its tie and no help of its walls is stated: every foot is "
            "taken as held where it stands. Where a foot gives, a turn does less than told. State "
            "support.walls, or make a test turn first."
        )
    if goal.unchecked:
        said.append(
            f"The roof in service could not be worked out ({goal.unchecked}; `check` tells why): "
            "the pull no leg may pass is that of rope and turnbuckle alone, and neither bolt nor "
            "wood nor shackle was looked at."
        )
    return tuple(said)


def _eyes(model: Model, readings: Sequence[Reading], last: Stand) -> tuple[str, ...]:
    """What a ring rope does at eyes it could slide through."""
    if not is_held(model):
        return ()
    low, high = told(float(turns_at_eyes(last).mean()))
    held = (
        "The ring rope slides through an eye only where its pulls before and after it differ by "
        f"more than friction holds: {100 * low:.0f} to {100 * high:.0f} % here. Until then it "
        "stays, and turns act as where eyes are seized; the plus and minus of every pull is "
        "reckoned so."
    )
    said = [held]
    share = held_share(model, last)
    loose = [str(int(k) + 1) for k in np.flatnonzero(share > 1.0)]
    if loose:
        named = f"eye{'s' if len(loose) > 1 else ''} {', '.join(loose)}"
        said.append(
            f"After these turns the rope may slide through {named}: what that does to the "
            "pulls is in their plus and minus. Tap each eye and read all again."
        )
    if not any(one.what in {"side", "corner"} for one in readings):
        said.append(
            "No side or corner of the ring was read: where the eyes sit along its rope is "
            "believed within 1/2 in (13 mm). Read every side."
        )
    return tuple(said)


def _test_first(
    aim: Aim, readings: Sequence[Reading], now: Stand, rounded: Rounded
) -> tuple[str, ...]:
    """On a stiff ring a quarter turn of one leg tells what turns are worth, before the others."""
    if aim.has_shape or not rounded.visits or any(one.what == "turned" for one in readings):
        return ()
    leg, n = int(now.pull.argmin()), aim.n
    turns = np.zeros(n)
    turns[leg] = TEST
    if float(aim.model.stand(aim.turned(turns), now).pull.max()) > aim.goal.most:
        return ()
    again = sorted({leg, (leg - 1) % n, (leg + 1) % n, (leg + n // 2) % n})
    named = ", ".join(str(k + 1) for k in again)
    said = (
        f"A stiff ring not turned yet: first tighten leg {leg + 1}, the slackest, by 1/4 turn, "
        f"read legs {named} twice again, write turn and readings below the others and ask anew. "
        "It tells what a turn is worth; more tables then keep the goal at once."
    )
    return (said,)


def _at(goal: Goal, pull: float) -> Goal:
    return Goal(**{**vars(goal), "pull": pull})


def _outside(aim: Aim, now: Stand, best: Stand) -> tuple[int, ...]:
    """Legs whose pull is outside its tolerance, or whose eye is off its place by more than one."""
    pull = np.abs(now.pull / aim.goal.pull - 1.0) > aim.goal.share
    off = np.linalg.norm((now.eyes - best.eyes)[:, :2], axis=1) > aim.goal.shift
    return tuple(int(k) + 1 for k in np.flatnonzero(pull | off))


def _thread(model: Model, known: Known, travel: float) -> tuple[Floats, Floats]:
    """Least and most turns that each body's thread allows, where its opening was read."""
    n, screw = model.tie.n, model.tie.turnbuckle
    low, high = np.full(n, -FAR), np.full(n, FAR)
    opening = _opening(model, known, travel)[0]
    for k in {one.where - 1 for one in known.used if one.what == "opening"}:
        high[k] = max(0.0, opening[k] / travel)
        low[k] = min(0.0, (opening[k] - screw.take_up) / travel)
    return low, high


def _opening(model: Model, known: Known, travel: float) -> tuple[Floats, Floats]:
    """Inside each body as it stands, with its standard deviation. [m] (n,) each"""
    n, screw = model.tie.n, model.tie.turnbuckle
    rows = known.unknowns.map(known.unknowns.stages - 1, travel)[:n].copy()
    rows[:, :n] = 0.0
    spread = np.einsum("ij,jk,ik->i", rows, known.covariance, rows)
    return model.tie.turnbuckle_set - screw.closed + rows @ known.value, np.sqrt(spread)


def _state(model: Model, known: Known, travel: float) -> State:
    lay, stand = model.layout, known.stand
    sigma = sigmas(Aim(model, known.causes, _NO_GOAL, travel), known.slopes, known.spread)
    opening, opening_sigma = _opening(model, known, travel)

    def factor(at: int) -> tuple[float, float]:
        return float(np.exp(known.causes[at])), float(np.exp(np.sqrt(known.spread[at, at])))

    return State(
        pull=stand.pull,
        pull_sigma=sigma[: lay.n],
        eyes=stand.eyes,
        shift=(stand.eyes.mean(axis=0) - ring_centre(model))[:2],
        shift_sigma=sigma[lay.n :],
        level=stand.eyes[:, 2] - stand.eyes[:, 2].mean(),
        side_pull=stand.rest.pulls.side_pull[0],
        opening=opening,
        opening_sigma=opening_sigma,
        rope=factor(lay.rope),
        frame=factor(lay.frame),
        walls=factor(lay.wall) if lay.walls else (1.0, 1.0),
        warmth=float(known.causes[lay.warmth]),
        misfit=known.misfit,
        blunders=known.blunders,
    )


_NO_GOAL: Final = Goal(1.0, 1.0, 1.0, 1.0, 1.0, np.zeros(0), 0.0)


def _notes(readings: Sequence[Reading], known: Known) -> tuple[str, ...]:
    notes = []
    if not any(one.what == "temperature" for one in readings):
        notes.append("No temperature of the air was read: it is taken as when the legs were set.")
    if not any(one.what == "offset" for one in readings):
        notes.append(
            "No offset of the ring was read: where its centre hangs rests on the cut list. Read "
            "it towards leg 1 and towards the leg a quarter round."
        )
    if known.misfit > 1.0 + 2.33 * np.sqrt(2.0 / max(len(known.used), 1)):
        notes.append(
            "The readings scatter more than their plus and minus says; every plus and minus "
            "below is as much wider."
        )
    if (known.stand.pull <= 0.0).any():
        slack = ", ".join(str(int(k) + 1) for k in np.flatnonzero(known.stand.pull <= 0.0))
        notes.append(f"Slack as it stands: leg {slack}. Snug it by hand before the first turn.")
    return tuple(notes)
