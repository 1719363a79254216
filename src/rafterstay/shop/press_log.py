"""Is this sleeve good, and is this leg ready? What a log entry must show, and what it lacks."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from rafterstay.core.quantities import show
from rafterstay.shop.eye import LEAST_TAIL, MOST_TAIL
from rafterstay.shop.marks import EYE_NAMES

if TYPE_CHECKING:
    from rafterstay.core.quantities import System
    from rafterstay.shop.eye import Eye
    from rafterstay.tie.nouns import Tie

__all__ = [
    "GAUGES",
    "LEG_EYES",
    "TEST_EYE",
    "EyePulled",
    "Pressed",
    "Readiness",
    "allowed_orders",
    "faults_of",
    "from_log",
    "pulled_in",
    "pulled_name",
    "readiness",
    "to_log",
    "untested",
]

GAUGES: Final = ("passed", "failed", "not gauged")
LEG_EYES: Final = (*EYE_NAMES["outer"], *EYE_NAMES["inner"])
TEST_EYE: Final = "test eye"
_TEST: Final = re.compile(rf"{TEST_EYE} of reel (.+?) pressed with (.+)")
_READING: Final = 0.0254 / 32  # [m] how well a tail is read


@dataclass(frozen=True)
class Pressed:
    """One sleeve as it was pressed.

    Attributes:
        leg: Number of the leg; None for a test eye or a ring.
        eye: Which eye: one of ``LEG_EYES``, or a name of its own.
        reel: Reel its rope came from.
        sleeve: Name of the sleeve.
        tool: Tool and die.
        presses: How many.
        order: In which order, as ``2-1-3`` counted from the thimble.
        tail_before: Rope past the sleeve before pressing. [m]
        tail_after: And after. [m]
        gauge: ``passed``, ``failed`` or ``not gauged``.
        who: Who pressed it.
        when: When.
    """

    leg: int | None
    eye: str
    reel: str
    sleeve: str
    tool: str
    presses: int
    order: str
    tail_before: float | None
    tail_after: float | None
    gauge: str
    who: str
    when: str


@dataclass(frozen=True)
class EyePulled:
    """A test eye that was pulled until something gave."""

    reel: str
    tool: str
    pull: float  # [N]
    held: bool


@dataclass(frozen=True)
class Readiness:
    """Whether a leg may go up.

    Attributes:
        leg: Number of the leg.
        ready: Nothing is missing.
        missing: What is, in words.
    """

    leg: int
    ready: bool
    missing: tuple[str, ...]


def allowed_orders(presses: int) -> tuple[str, ...]:
    """Orders in which a sleeve may be pressed, counted from the thimble.

    From one end to the other, or from the second on; no press ever goes between two finished
    ones, where the metal could not grow.

    Args:
        presses: How many.

    Returns:
        The orders.

    Source: makers' sleeve bulletins, read: 1-2-3 or 2-1-3, 1-2-3-4 or 2-1-3-4

    >>> allowed_orders(3), allowed_orders(2)
    (('1-2-3', '2-1-3'), ('1-2',))
    """
    run = [str(k) for k in range(1, presses + 1)]
    straight = "-".join(run)
    if presses < 3:
        return (straight,)
    return straight, "-".join([run[1], run[0], *run[2:]])


def faults_of(pressed: Pressed, tie: Tie, eye: Eye, *, system: System) -> tuple[str, ...]:
    """What is wrong with a sleeve, or not yet known.

    Args:
        pressed: As logged.
        tie: What it should be.
        eye: What its tail should be.
        system: Units of what is told.

    Returns:
        In words; empty for a good sleeve.
    """
    found = []
    if pressed.sleeve != tie.sleeve.name:
        found.append(f"sleeve is {pressed.sleeve}, not {tie.sleeve.name}: cut it off")
    if pressed.presses < tie.sleeve.presses:
        found.append(f"{pressed.presses} presses, not {tie.sleeve.presses}")
    orders = allowed_orders(pressed.presses)
    if pressed.order.replace(" ", "").replace(",", "-") not in orders:
        found.append(f"pressed in the order {pressed.order}, not {' or '.join(orders)}")
    found += _tail_faults(pressed, eye, system=system)
    if pressed.gauge != "passed":
        failed = pressed.gauge == "failed"
        found.append("gauge failed: press again or cut it off" if failed else "not gauged")
    return tuple(found)


def _tail_faults(pressed: Pressed, eye: Eye, *, system: System) -> list[str]:
    if pressed.tail_after is None:
        return ["tail after pressing not read"]
    least, most = LEAST_TAIL * eye.diameter, MOST_TAIL * eye.diameter
    said = show(pressed.tail_after, "length", system)
    if pressed.tail_after < least - _READING:
        return [f"tail {said}, under {show(least, 'length', system)}: cut it off"]
    if pressed.tail_after > most + 2 * _READING:
        return [f"tail {said}, over {show(most, 'length', system)}: trim it"]
    return []


def readiness(
    log: Iterable[Pressed],
    tie: Tie,
    eye: Eye,
    *,
    system: System,
    tested: Sequence[EyePulled] | None = None,
) -> tuple[Readiness, ...]:
    """Which legs are ready: every eye made, by its rule, gauged, its reel and tool tested.

    The last entry for an eye counts.

    Args:
        log: Sleeves as logged, in order.
        tie: Its legs and parts.
        eye: As drawn.
        system: Units of what is told.
        tested: Test eyes pulled; None where that is not asked about.

    Returns:
        One answer a leg.
    """
    last: dict[tuple[int, str], Pressed] = {}
    for pressed in log:
        if pressed.leg is not None:
            last[pressed.leg, pressed.eye] = pressed
    good = None if tested is None else {(one.reel, one.tool) for one in tested if one.held}
    answers = []
    for leg in range(1, tie.n + 1):
        missing = []
        for name in LEG_EYES:
            one = last.get((leg, name))
            if one is None:
                missing.append(f"{name}: not logged")
                continue
            missing += [f"{name}: {fault}" for fault in faults_of(one, tie, eye, system=system)]
            if good is not None and (one.reel, one.tool) not in good:
                missing.append(f"{name}: no test eye of reel {one.reel} with {one.tool} held")
        answers.append(Readiness(leg, not missing, tuple(missing)))
    return tuple(answers)


def pulled_name(reel: str, tool: str) -> str:
    """What the log of proof pulls calls the test eye of a reel pressed with a tool.

    >>> pulled_name("B-17", "bench tool, die 1/4")
    'test eye of reel B-17 pressed with bench tool, die 1/4'
    """
    return f"{TEST_EYE} of reel {reel} pressed with {tool}"


def pulled_in(part: str, *, pull: float, held: bool) -> EyePulled | None:
    """The test eye that an entry of the log of proof pulls tells of.

    Args:
        part: What was pulled, as logged.
        pull: How hard. [N]
        held: Nothing gave.

    Returns:
        The test eye; None where something else was pulled.
    """
    found = _TEST.fullmatch(part)
    return EyePulled(found[1], found[2], pull, held) if found else None


def untested(log: Iterable[Pressed], tested: Iterable[EyePulled]) -> tuple[tuple[str, str], ...]:
    """Pairs of reel and tool that were used but of which no test eye held.

    Args:
        log: Sleeves as logged.
        tested: Test eyes pulled.

    Returns:
        Reel and tool, in the order first used.
    """
    good = {(one.reel, one.tool) for one in tested if one.held}
    used = dict.fromkeys((one.reel, one.tool) for one in log)
    return tuple(pair for pair in used if pair not in good)


def to_log(pressed: Pressed) -> dict[str, str | int | float | None]:
    """Columns of the press log of a job folder; ``who`` and ``taken`` are given beside them.

    Args:
        pressed: The sleeve.

    Returns:
        Column to value; each name ends in its unit, as ``tail_after_m``. [SI]
    """
    return {
        "leg": pressed.leg,
        "eye": pressed.eye,
        "reel": pressed.reel,
        "sleeve": pressed.sleeve,
        "tool": pressed.tool,
        "presses": pressed.presses,
        "press_order": pressed.order,
        "tail_before_m": pressed.tail_before,
        "tail_after_m": pressed.tail_after,
        "gauge": pressed.gauge,
    }


def from_log(values: Mapping[str, str | int | float | None], *, who: str, when: str) -> Pressed:
    """The sleeve that an entry of the press log tells of.

    Args:
        values: Column to value; each name ends in its unit. [SI]
        who: Who pressed it.
        when: When.

    Returns:
        The sleeve.
    """
    leg, presses = values["leg"], values["presses"]
    before, after = values["tail_before_m"], values["tail_after_m"]
    return Pressed(
        leg=None if leg is None else int(leg),
        eye=str(values["eye"]),
        reel=str(values["reel"]),
        sleeve=str(values["sleeve"]),
        tool=str(values["tool"]),
        presses=int(presses or 0),
        order=str(values["press_order"]),
        tail_before=None if before is None else float(before),
        tail_after=None if after is None else float(after),
        gauge=str(values["gauge"]),
        who=who,
        when=when,
    )
