"""Three ways to tune a build: the two rivals as they were fixed, and the program's."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from rafterstay.roof.frame import Floats
from rafterstay.tuning import Advice, Goal, Model, Prior, Reading, advise
from rafterstay.tuning.friction import EYES, is_held
from rafterstay.tuning.nouns import SIGMA
from rafterstay.tuning.prior import PLACE
from rafterstay.tuning.seen import towards
from tests.tuning.truth import INCH, Builds, best

SHARE, NEAR = 0.10, INCH / 4
PULL, TAPE = 0.04, INCH / 16  # standard deviations of the reader
SLIPS = 0.02  # readings that are wrong
MOST_VISITS, MOST_ROUNDS = 60, 10
PAST = 1 / 8  # turns
TEST = 1 / 4  # turns
AGAIN = 3  # times a reading that was named is taken again before anything is turned


@dataclass
class Outcome:
    """What a plan came to on every build.

    Attributes:
        good: The goal is kept after each round. (b, n_rounds) of the program; (b, 1) of a rival
        rounds: Readings of the whole tie. (b,)
        visits: Bodies turned. (b,)
    """

    good: Floats
    rounds: Floats
    visits: Floats


def kept(found: Builds, target: float, at_best: tuple[Floats, Floats]) -> Floats:
    """Every leg within 10 %, centre and levels within 1/4 in of the best. (b,)"""
    centre, level = at_best
    pulls = (np.abs(found.pulls() / target - 1.0) <= SHARE).all(axis=1)
    centred = np.linalg.norm(found.centre() - centre, axis=1) <= NEAR
    return np.asarray(pulls & centred & (np.abs(found.level() - level).max(axis=1) <= NEAR))


def slackest_first(
    found: Builds, target: float, random: np.random.Generator, *, own: float
) -> Outcome:
    """Rival 1: the slackest leg by its own-leg amount to 1/4 turn, read all, repeat.

    Where none is below the target but one is too tight, that one is slackened likewise: else the
    rule would have no next turn, and never come to its end.
    """
    b, n = found.leg.shape
    at_best = best(found, target)
    visits, rounds, going = np.zeros(b), np.zeros(b), np.ones(b, dtype=bool)
    for _ in range(MOST_VISITS):
        read = _pulls_read(found, random)
        rounds += going
        going &= ~(np.abs(read / target - 1.0) <= SHARE).all(axis=1)
        if not going.any():
            break
        slack = read.min(axis=1) < target
        leg = np.where(slack, read.argmin(axis=1), read.argmax(axis=1))
        lacks = target - np.where(slack, read.min(axis=1), read.max(axis=1))
        amount = np.maximum(np.round(4 * np.abs(lacks) / own) / 4, 0.25) * np.sign(lacks)
        turns = np.zeros((b, n))
        turns[np.arange(b), leg] = np.where(going, amount, 0.0)
        visits += going
        found.turn(turns)
    return Outcome(kept(found, target, at_best)[:, None], rounds, visits)


def all_at_once(
    found: Builds, target: float, random: np.random.Generator, *, own: float
) -> Outcome:
    """Rival 2: every leg by its own-leg amount to 1/24 turn, read all, repeat."""
    b = len(found.leg)
    at_best = best(found, target)
    visits, rounds, going = np.zeros(b), np.zeros(b), np.ones(b, dtype=bool)
    for _ in range(MOST_ROUNDS):
        read = _pulls_read(found, random)
        rounds += going
        going &= ~(np.abs(read / target - 1.0) <= SHARE).all(axis=1)
        if not going.any():
            break
        turns = np.where(going[:, None], np.round(24 * (target - read) / own) / 24, 0.0)
        visits += (turns != 0).sum(axis=1)
        for k in range(turns.shape[1]):
            one = np.zeros_like(turns)
            one[:, k] = turns[:, k]
            found.turn(one)
    return Outcome(kept(found, target, at_best)[:, None], rounds, visits)


def one_table(
    found: Builds, model: Model, random: np.random.Generator, *, rounds: int = 2
) -> Outcome:
    """The program: read all, follow the table; the second round reads all again.

    The first visit of a round is the test turn that calibrates the frame: four legs are read
    again after it, and the table is asked for anew. On a rope ring it is the first of the table.
    On a stiff ring that one may leave its neighbours slack, which tells little: there the slackest
    leg is tightened by a quarter, once.
    """
    target, b = float(model.tie.target), len(found.leg)
    at_best = best(found, target)
    good, visits, used = np.zeros((b, rounds), dtype=bool), np.zeros(b), np.zeros(b)
    known: list[list[Reading]] = [[] for _ in range(b)]
    for number in range(rounds):
        going = [k for k in range(b) if not (number and good[k, number - 1])]
        used[going] += 1
        tables = {k: advised(found, k, model, random, known[k], None) for k in going}
        first, again = {}, []
        for k, advice in tables.items():
            order, done = visits_of(advice), 1
            if found.ring == "welded":
                order, done = ([first_of(advice)], 1) if number == 0 else (order, len(order))
            first[k] = order[:done]
            if len(order) > done or (found.ring == "welded" and number == 0):
                again.append(k)
        follow(found, first, known)
        rest = {}
        for k in again:
            n, leg = model.tie.n, first[k][0][0]
            near = {leg, (leg - 2) % n + 1, leg % n + 1, (leg + n // 2 - 1) % n + 1}
            rest[k] = visits_of(advised(found, k, model, random, known[k], near))
        follow(found, rest, known)
        for k in going:
            visits[k] += len(first[k]) + len(rest.get(k, []))
        good[:, number] = kept(found, target, at_best)
        if number:
            good[:, number] |= good[:, number - 1]
    return Outcome(good, used, visits)


def visits_of(advice: Advice) -> list[tuple[int, float]]:
    """Legs and turns in order."""
    return [(step.leg, step.turns) for step in advice.steps]


def first_of(advice: Advice) -> tuple[int, float]:
    """The slackest leg and a quarter turn."""
    return int(advice.state.pull.argmin()) + 1, TEST


def follow(
    found: Builds, orders: dict[int, list[tuple[int, float]]], known: list[list[Reading]]
) -> None:
    """Make the visits of every build, the k-th of all at once, and write them down."""
    for step in range(max(map(len, orders.values()), default=0)):
        turns = np.zeros(found.leg.shape)
        for k, order in orders.items():
            if step < len(order):
                turns[k, order[step][0] - 1] = order[step][1]
        # As the table tells: slacken 1/8 more, and end by tightening.
        past = np.where(turns < 0, PAST, 0.0)
        found.turn(turns - past)
        found.turn(past)
    for k, order in orders.items():
        stage = 1 + max((one.stage for one in known[k]), default=0)
        known[k] += [Reading("turned", leg, by, SIGMA["turned"], stage=stage) for leg, by in order]


def own_leg(model: Model) -> float:
    """What a turn adds to a leg's pull by its catalogue EA alone. [N]"""
    tie = model.tie
    return 2.0 / tie.turnbuckle.threads_per_metre * tie.rope.stiffness / tie.leg_lengths.mean()


def _pulls_read(found: Builds, random: np.random.Generator) -> Floats:
    """Every leg read twice, the mean. [N] (b, n)"""
    pulls = found.pulls()
    return np.asarray(np.mean([_slipped(pulls, random) for _ in range(2)], axis=0))


def _slipped(pulls: Floats, random: np.random.Generator) -> Floats:
    """Off by 4 %; one in fifty by a quarter to twice."""
    read = pulls * (1 + PULL * random.standard_normal(pulls.shape))
    wrong = random.random(pulls.shape) < SLIPS
    factor = np.exp(random.choice([-1, 1], pulls.shape) * random.uniform(0.22, 0.69, pulls.shape))
    return np.where(wrong, read * factor, read)


def advised(
    found: Builds,
    k: int,
    model: Model,
    random: np.random.Generator,
    known: list[Reading],
    legs: set[int] | None,
) -> Advice:
    """Read all of build k, or the pulls of some legs; again what cannot be right; then advise."""
    stage = max((one.stage for one in known), default=0)
    taken = _read(found, k, model, random, stage)
    known += [one for one in taken if legs is None or (one.what == "pull" and one.where in legs)]
    n = model.tie.n
    prior = Prior(
        np.zeros(n),
        np.full(n, 0.0065),
        model.tie.turnbuckle.take_up / 12**0.5,
        side_sigma=EYES if is_held(model) else PLACE,
    )
    goal = Goal(model.tie.target, SHARE, NEAR, NEAR, 9000.0, np.zeros(n), INCH)
    advice = advise(model, known, goal=goal, prior=prior)
    for _ in range(AGAIN):
        wrong = [one.reading for one in advice.state.blunders if one.reading.stage == stage]
        if not wrong:
            break
        fresh = {(one.what, one.where, one.to) for one in wrong}
        known += [one for one in _read(found, k, model, random, stage)
                  if (one.what, one.where, one.to) in fresh]  # fmt: skip
        advice = advise(model, known, goal=goal, prior=prior)
    return advice


def _read(
    found: Builds, k: int, model: Model, random: np.random.Generator, stage: int
) -> list[Reading]:
    """Pulls twice, four offsets, levels, and across a rope ring from eye to the next but one."""
    n = found.n
    pulls, centre, level = found.pulls()[k], found.centre()[k], found.level()[k]
    taken = []
    for _ in range(2):
        read = _slipped(pulls, random)
        taken += [
            Reading("pull", leg + 1, float(read[leg]), max(PULL * float(read[leg]), 5.0))
            for leg in range(n)
        ]
    way = towards(model)
    exact = [("offset", leg, 0, float(way[leg - 1] @ centre)) for leg in range(1, n + 1, n // 4)]
    exact += [("level", eye + 1, 0, float(level[eye])) for eye in range(n)]
    if found.ring != "welded":
        for eye in range(n):
            other = (eye + 2) % n
            long = float(np.linalg.norm(found.x[k, other] - found.x[k, eye]))
            exact.append(("side", eye + 1, other + 1, long))
    for what, where, to, value in exact:
        slip = INCH * random.choice([-1, 1]) * random.uniform(0.5, 1.0)
        wrong = random.random() < SLIPS
        read_ = value + TAPE * random.standard_normal() + (slip if wrong else 0.0)
        taken.append(Reading(what, where, float(read_), TAPE, to))  # type: ignore[arg-type]
    return [replace(one, stage=stage) for one in taken]
