"""A survey in words and tables, 80 columns wide, for the one who holds the tape."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Final

from rafterstay.cli.report import Align, table_text, wrapped
from rafterstay.cli.survey_frame import Listed, Surveyed
from rafterstay.core.cautions import cautions_for
from rafterstay.core.quantities import System, show
from rafterstay.sheets.literal import printable
from rafterstay.survey import Blunder

__all__ = ["plan_report", "survey_report"]

Column = tuple[str, Align]

_WAY: Final = {"level": "level", "slope": "straight", "height": "height"}


def plan_report(listed: Listed) -> str:
    """The readings to take, in walking order.

    Args:
        listed: Job and list.

    Returns:
        Text of at most 80 columns a line.
    """
    system, plan = listed.job.show, listed.plan
    rows = [
        (
            str(k),
            f"{one.start} to {one.end}",
            _WAY[one.kind],
            show(one.expected, "length", system),
            "again, from the other end" if one.repeat else "",
        )
        for k, one in enumerate(plan.readings, start=1)
    ]
    hidden = float(plan.hidden.max())
    largest = show(hidden, "length", system, rounding="up")
    told = (
        f"{len(rows)} readings, {plan.redundancy} more than just hold the shape. With a tape good "
        f"to 1/16 in, any one mistake over {largest} is found at least four times in five."
    )
    kinds = (
        "level: both marks plumbed down, the tape level between. straight: point to point. "
        "height: water at both ends of a hose, how much the second is above the first. Drawn is "
        "what the drawing says: read first, then look. docs/survey.md has the rest."
    )
    head: list[Column] = [
        ("No.", "right"),
        ("From, to", "left"),
        ("How", "left"),
        ("Drawn", "right"),
        ("", "left"),
    ]
    return "\n".join(
        [
            f"Readings to take: {printable(listed.job.title)}\n",
            table_text(head, rows),
            wrapped(told) + "\n",
            wrapped(kinds) + "\n",
            "Write them down with --form FILE: one line a reading, the value left blank.\n",
            _cautions(),
        ]
    )


def survey_report(found: Surveyed) -> str:
    """What the readings say of the frame.

    Args:
        found: Job and frame as it stands.

    Returns:
        Text of at most 80 columns a line.
    """
    system, built = found.job.show, found.built
    parts = [f"Survey: {printable(found.job.title)}\n", *_blunders(found)]
    hidden = built.smallest_hidden
    spare = (
        f"{len(built.readings)} readings, {built.redundancy} spare. A mistake no bigger than "
        f"{show(hidden, 'length', system, rounding='up')} could still hide in one of them."
        if math.isfinite(hidden)
        else f"{len(built.readings)} readings and none to spare: a slip in any would stay unseen."
    )
    parts += [wrapped(text) + "\n" for text in (spare, *built.notes)]
    parts += ["How each foot stands", _standing(found)]
    if found.legs:
        parts += ["Ring centre and legs", _legs(found) + "\n"]
    else:
        parts.append("No legs: the tie bolts were not all surveyed.\n")
    return "\n".join([*parts, _cautions()])


def _blunders(found: Surveyed) -> Iterable[str]:
    system = found.job.show
    if not found.built.blunders:
        yield "No reading disagrees with the others by more than chance.\n"
        return
    yield "Cannot be right: take these readings again"
    for one in found.built.blunders:
        yield wrapped(_blunder(one, system), first="- ", rest="  ") + "\n"


def _blunder(one: Blunder, system: System) -> str:
    way = "long" if one.residual > 0 else "short"
    line = f", line {one.line}" if one.line else ""
    said = (
        f"{one.start} to {one.end} ({_WAY[one.kind]}{line}): "
        f"{show(abs(one.residual), 'length', system)} too {way} by what all the others say, "
        f"{abs(one.standardised):.1f} times its ±."
    )
    if one.likely_slip:
        said += f" Likely slip: {one.likely_slip}."
    others = [str(number) for number in one.suspects if number != one.reading]
    if others:
        said += f" It may as well be reading {', '.join(others)}."
    return said


def _standing(found: Surveyed) -> str:
    system = found.job.show
    rows = [
        (
            one.id,
            _signed(one.outward, system),
            _signed(one.sideways, system),
            _signed(one.up, system),
        )
        for one in found.standing
    ]
    head: list[Column] = [
        ("Foot", "right"),
        ("Outward", "right"),
        ("Clockwise", "right"),
        ("Up", "right"),
    ]
    words = "\n".join(wrapped(one.words, first="- ", rest="  ") for one in found.standing)
    return f"{table_text(head, rows)}\n{words}\n"


def _legs(found: Surveyed) -> str:
    system, legs = found.job.show, found.legs
    if legs is None:
        return ""
    rows = [
        (
            str(leg.id),
            show(leg.length, "length", system),
            f"± {show(2 * leg.sigma, 'length', system, rounding='up')}",
            f"{round(leg.azimuth_deg, 1) % 360:05.1f}",
            f"{leg.slope_deg:+.1f}",
        )
        for leg in legs.legs
    ]
    x, y, z = (_signed(float(at), system) for at in legs.centre)
    spread = show(legs.largest_difference, "length", system)
    told = (
        f"Best centre: {x} east, {y} north, {z} up from the mean of the feet. Bolt to centre, "
        f"straight; longest less shortest {spread}. Each ± is met 19 times in 20. Azimuth and "
        "slope in degrees."
    )
    head: list[Column] = [
        ("Leg", "right"),
        ("To centre", "right"),
        ("", "left"),
        ("Azimuth", "right"),
        ("Slope", "right"),
    ]
    return f"{table_text(head, rows)}\n{wrapped(told)}"


def _signed(value: float, system: System) -> str:
    said = show(abs(value), "length", system)
    nil = show(0.0, "length", system)
    return said if said == nil else f"{'-' if value < 0 else '+'}{said}"


def _cautions() -> str:
    lines = [
        wrapped(one.text, first=f"{one.number:>2}. ", rest="    ") for one in cautions_for("survey")
    ]
    return "\n".join(["Cautions", *lines, ""])
