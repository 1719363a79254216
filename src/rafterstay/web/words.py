"""A check, a state and a verdict in the words of the page."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from rafterstay.checks.nouns import Check, Verdict
from rafterstay.core.quantities import System
from rafterstay.core.working import Line
from rafterstay.loads.nouns import Case
from rafterstay.sheets.summary import Designed, asks_and_gives, share
from rafterstay.sheets.words import VERDICT

__all__ = ["Said", "line_in_words", "said_of", "state_in_words", "verdict_in_words", "verdict_said"]

_PROVISIONAL: Final = {
    "passes": "Provisional: nothing fails so far",
    "refer": "Provisional: an engineer must decide",
    "fails": "Does not pass so far",
}


@dataclass(frozen=True)
class Said:
    """A check as the page tells it.

    Attributes:
        check: The check itself.
        heading: What it asks and gives.
        used: Its share of what it gives; empty where none is stated.
        state: The deciding state in words; empty where none.
    """

    check: Check
    heading: str
    used: str
    state: str


def said_of(check: Check, design: Designed) -> Said:
    """Put a check into words.

    Args:
        check: Any check of the design.
        design: The design it belongs to.

    Returns:
        Heading, share and state.
    """
    named = check.id.replace("-", " ").capitalize()
    where = named + (f", leg {check.leg}" if check.leg is not None else "")
    return Said(
        check,
        f"{where}: {_asks(check, design.job.show)}",
        _used(check),
        state_in_words(check.combination, design),
    )


def _used(check: Check) -> str:
    """The share of a check's limit, where its heading does not say it already."""
    if check.utilisation is None or check.unit == "1":
        return ""
    of = "its limit" if check.unit == "m" else "what it gives"
    return f"{share(check.utilisation)} of {of}"


def _asks(check: Check, system: System) -> str:
    asked, given = asks_and_gives(check, system)
    if check.unit == "1" and check.utilisation is not None:
        return f"{share(check.utilisation)} of its limit"
    if asked == "-":
        return "an engineer must decide"
    if given == "-":
        return f"asks {asked}; what it gives is not stated"
    if check.unit == "m":
        return f"{asked} of {given}"
    return f"asks {asked}, gives {given}"


def state_in_words(combination: str, design: Designed) -> str:
    """The state of a combination id, in words; the id itself where it is of another kind.

    >>> state_in_words("", None)
    ''
    """
    for state in design.forces.states if combination else ():
        if state.id == combination:
            said = _load_in_words(state.case, design)
            weather = _WEATHER.get(state.weather.name, "")
            return f"{said}, {weather}" if weather else said
    return combination


_WEATHER: Final = {
    "cold": "in the cold",
    "warm": "in the warmth",
    "dry": "once the timber is dry",
}
# Words of an equation's loads, and of a pattern; what is missing is told by its id.
_LOADS: Final = {
    "D": "the roof's own weight",
    "D+Lr": "roof live load",
    "D+0.75Lr": "three quarters of the roof live load",
    "D+S": "snow",
    "D+0.75S": "three quarters of the snow",
    "D+0.6W": "wind uplift",
    "0.6D+0.6W": "wind uplift on a light roof",
    "D+0.75(0.6W)+0.75Lr": "three quarters of roof live load and wind",
    "D+0.75(0.6W)+0.75S": "three quarters of snow and wind",
}
_PATTERNS: Final = {
    "dead": "",
    "balanced": "even all round",
    "balanced+uplift": "both all over",
    "uplift": "all over",
    "unbalanced": "on one side",
    "one-sided": "on one side",
    "one-sided+uplift": "load on one side and wind on the other",
    "unbalanced+uplift": "snow on one side and wind on the other",
    "uplift-one-sided": "on one side",
    "unbalanced-drift": "drifted to one side",
    "unbalanced-drift+uplift": "snow drifted to one side and wind on the other",
    "unbalanced-cone": "drifted to a quarter of the roof",
    "unbalanced-cone+uplift": "snow drifted to a quarter and wind on the other side",
}


def _load_in_words(case: Case, design: Designed) -> str:
    pattern, bare, _ = case.pattern.partition("-bare-eaves")
    load = _LOADS.get(case.equation)
    if load is None or pattern not in _PATTERNS:
        return case.id
    where = [_PATTERNS[pattern]] if _PATTERNS[pattern] else []
    if case.direction_deg is not None:
        where.append(_towards(case.direction_deg, design.frame.n))
    if bare:
        where.append("eaves bare")
    return ", ".join([load, *where])


def _towards(direction: float, n: int) -> str:
    """A direction by the legs it points to.

    >>> _towards(72.0, 10), _towards(342.0, 10), _towards(11.0, 10)
    ('towards leg 3', 'towards the side between legs 10 and 1', 'towards 11°')
    """
    halves = direction * n / 180.0
    if abs(halves - round(halves)) > 1e-6:
        return f"towards {direction:.0f}°"
    leg, between = divmod(round(halves), 2)
    first = leg % n + 1
    if between:
        return f"towards the side between legs {first} and {first % n + 1}"
    return f"towards leg {first}"


def verdict_in_words(design: Designed, *, provisional: bool) -> str:
    """The verdict; with stand-ins in it, never that the tie passes."""
    verdict = design.checks.verdict
    if provisional and verdict == "refer":
        # With stand-ins nothing passes: is there a check beside them that an engineer decides?
        asked = any(one.status == "refer" for one in design.checks.checks if one.decides)
        verdict = "refer" if asked else "passes"
    return verdict_said(verdict, provisional=provisional)


def verdict_said(verdict: Verdict, *, provisional: bool) -> str:
    """A verdict in words; with stand-ins in it, never that the tie passes.

    >>> verdict_said("passes", provisional=True)
    'Provisional: nothing fails so far'
    """
    return _PROVISIONAL[verdict] if provisional else VERDICT[verdict]


def line_in_words(line: Line) -> str:
    """A line of working as it is redone by hand.

    >>> line_in_words(Line("T", "W R / 3", "12 * 2 / 3", 8.0, "lbf"))
    'T = W R / 3 = 12 * 2 / 3 = 8 lbf'
    """
    value = f"{line.value:.6g} {line.unit}".strip()
    parts = [line.symbol, line.formula, line.numbers, value.removesuffix(" 1")]
    kept = [part for number, part in enumerate(parts) if part and part != parts[number - 1]]
    return " = ".join(kept)
