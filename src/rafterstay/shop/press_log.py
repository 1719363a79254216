"""Is this sleeve good, and is this leg ready? What a log entry must show, and what it lacks."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from rafterstay.core.quantities import show
from rafterstay.shop.eye import LEAST_TAIL, MOST_TAIL
from rafterstay.shop.marks import EYE_NAMES
from rafterstay.shop.ring_rope import LAP_SLEEVES

if TYPE_CHECKING:
    from rafterstay.catalog.rows import Rope, Sleeve
    from rafterstay.core.quantities import System
    from rafterstay.shop.eye import Eye
    from rafterstay.shop.nouns import Layout
    from rafterstay.tie.nouns import Tie

__all__ = [
    "GAUGES",
    "LEG_EYES",
    "TEST_EYE",
    "TEST_SHARE",
    "EyePulled",
    "Pressed",
    "Readiness",
    "allowed_orders",
    "faults_of",
    "from_log",
    "leg_eyes",
    "pulled_in",
    "pulled_name",
    "readiness",
    "ring_missing",
    "ring_sleeves",
    "to_log",
    "untested",
]

LEG_EYES: Final = (*EYE_NAMES["outer"], *EYE_NAMES["inner"])
"""Eyes of a leg to a ring."""

GAUGES: Final = ("passed", "failed", "not gauged")
_RING_SLEEVES: Final = tuple(f"{nth} ring sleeve" for nth in ("first", "second", "third", "fourth"))

TEST_EYE: Final = "test eye"
TEST_SHARE: Final = 0.90
"""Of the rope's breaking strength, that a test eye must reach: the fitting's own share. [-]"""

_TEST: Final = re.compile(rf"{TEST_EYE} of reel (.+?) pressed with (.+)")
_READING: Final = 0.0254 / 32  # [m] how well a tail is read


@dataclass(frozen=True)
class Pressed:
    """One sleeve as it was pressed.

    Attributes:
        leg: Number of the leg; None for a test eye or a ring.
        eye: Which eye: one of ``leg_eyes``, or a name of its own.
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
    """A test eye that was pulled until something gave, or far enough.

    Attributes:
        reel: Reel its rope came from.
        tool: Tool and die it was pressed with.
        pull: Most it was pulled. [N]
        held: Its sleeve did not slip: it held, or the rope broke first.
    """

    reel: str
    tool: str
    pull: float
    held: bool

    def is_good(self, rope: Rope) -> bool:
        """It reached what an eye of this rope must hold."""
        return self.held and self.pull >= TEST_SHARE * rope.strength


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


def leg_eyes(layout: Layout) -> tuple[str, ...]:
    """The eyes of a leg from end to end.

    Args:
        layout: How the legs run.

    Returns:
        Their names.

    >>> leg_eyes("band")
    ('first bolt eye', 'first jaw eye', 'second jaw eye', 'second bolt eye')
    """
    if layout == "ring":
        return LEG_EYES
    return (*EYE_NAMES["first"], *EYE_NAMES["second"])


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
    """What is wrong with a sleeve of a leg, or not yet known.

    Args:
        pressed: As logged.
        tie: What it should be.
        eye: What its tail should be.
        system: Units of what is told.

    Returns:
        In words; empty for a good sleeve.
    """
    return tuple(_faults(pressed, tie.sleeve, eye.diameter, system=system))


def _faults(pressed: Pressed, sleeve: Sleeve, diameter: float, *, system: System) -> list[str]:
    found = []
    if pressed.sleeve != sleeve.name:
        found.append(f"sleeve is {pressed.sleeve}, not {sleeve.name}: cut it off")
    if pressed.presses < sleeve.presses:
        found.append(f"{pressed.presses} presses, not {sleeve.presses}")
    orders = allowed_orders(pressed.presses)
    if pressed.order.replace(" ", "").replace(",", "-") not in orders:
        found.append(f"pressed in the order {pressed.order}, not {' or '.join(orders)}")
    found += _tail_faults(pressed, diameter, system=system)
    if pressed.gauge != "passed":
        failed = pressed.gauge == "failed"
        found.append("gauge failed: press again or cut it off" if failed else "not gauged")
    return found


def _tail_faults(pressed: Pressed, diameter: float, *, system: System) -> list[str]:
    if pressed.tail_after is None:
        return ["tail after pressing not read"]
    least, most = LEAST_TAIL * diameter, MOST_TAIL * diameter
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
    legs: int | None = None,
) -> tuple[Readiness, ...]:
    """Which legs are ready: every eye made, by its rule, gauged, its reel and tool tested.

    The last entry for an eye counts.

    Args:
        log: Sleeves as logged, in order.
        tie: Its legs and parts.
        eye: As drawn.
        system: Units of what is told.
        tested: Test eyes pulled; None where that is not asked about.
        legs: How many are made; as drawn where left out. Of a gable one a tied pair.

    Returns:
        One answer a leg.
    """
    last: dict[tuple[int, str], Pressed] = {}
    for pressed in log:
        if pressed.leg is not None:
            last[pressed.leg, pressed.eye] = pressed
    held = [one for one in tested or () if one.is_good(tie.rope)]
    good = None if tested is None else {(one.reel, one.tool) for one in held}
    must = show(TEST_SHARE * tie.rope.strength, "force", system, rounding="up")
    answers = []
    for leg in range(1, (legs or tie.n) + 1):
        missing = []
        for name in leg_eyes(tie.layout):
            one = last.get((leg, name))
            if one is None:
                missing.append(f"{name}: not logged")
                continue
            missing += [f"{name}: {fault}" for fault in faults_of(one, tie, eye, system=system)]
            if good is not None and (one.reel, one.tool) not in good:
                eye_of = f"no test eye of reel {one.reel} with {one.tool}"
                missing.append(f"{name}: {eye_of} reached {must}")
        answers.append(Readiness(leg, not missing, tuple(missing)))
    return tuple(answers)


def ring_missing(
    log: Iterable[Pressed],
    tie: Tie,
    sleeve: Sleeve | None,
    *,
    system: System,
    tested: Sequence[EyePulled] = (),
) -> tuple[str, ...]:
    """What the lap of the ring rope still lacks: its sleeves by the rule, gauged, tool tested.

    Args:
        log: Sleeves as logged, in order; the last entry for a sleeve counts.
        tie: Its ring rope.
        sleeve: Of the lap; None where the catalogue has none, and nothing can be judged.
        system: Units of what is told.
        tested: Test eyes pulled.

    Returns:
        In words; empty where nothing is missing.
    """
    if sleeve is None:
        return ("its sleeve is not in the catalogue",)
    last = {pressed.eye: pressed for pressed in log if pressed.leg is None}
    good = {(one.reel, one.tool) for one in tested if one.is_good(tie.ring_rope)}
    must = show(TEST_SHARE * tie.ring_rope.strength, "force", system, rounding="up")
    missing = []
    for name in ring_sleeves(tie.ring_ropes):
        one = last.get(name)
        if one is None:
            missing.append(f"{name}: not logged")
            continue
        faults = _faults(one, sleeve, tie.ring_rope.diameter, system=system)
        missing += [f"{name}: {fault}" for fault in faults]
        if (one.reel, one.tool) not in good:
            missing.append(f"{name}: no test eye of reel {one.reel} with {one.tool} reached {must}")
    return tuple(missing)


def ring_sleeves(ropes: int) -> tuple[str, ...]:
    """What the log calls the sleeves of the ring ropes' laps, which belong to no leg.

    Args:
        ropes: Of the ring, 1 or 2. [-]

    Returns:
        Two names a rope.

    >>> ring_sleeves(1)
    ('first ring sleeve', 'second ring sleeve')
    """
    return _RING_SLEEVES[: LAP_SLEEVES * ropes]


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
        held: Its sleeve did not slip.

    Returns:
        The test eye; None where something else was pulled.
    """
    found = _TEST.fullmatch(part)
    return EyePulled(found[1], found[2], pull, held) if found else None


def untested(
    log: Iterable[Pressed], tested: Iterable[EyePulled], tie: Tie
) -> tuple[tuple[str, str], ...]:
    """Pairs of reel and tool that were used but of which no test eye held.

    Args:
        log: Sleeves as logged.
        tested: Test eyes pulled.
        tie: Its rope.

    Returns:
        Reel and tool, in the order first used.
    """
    good = {(one.reel, one.tool) for one in tested if one.is_good(tie.rope)}
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
