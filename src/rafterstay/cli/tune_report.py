"""A table of turns in words and tables, 80 columns wide, for the one on the ladder."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from rafterstay import __version__
from rafterstay.cli.report import WIDTH, Align, printable_lines, table_text, wrapped
from rafterstay.cli.tune_words import STRIPE, fraction, hand, way
from rafterstay.core.cautions import cautions_for
from rafterstay.core.quantities import parse, show
from rafterstay.sheets.literal import printable
from rafterstay.sheets.words import GEOMETRY

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rafterstay.core.quantities import Dimension
    from rafterstay.design import Tuned
    from rafterstay.roof.frame import Floats
    from rafterstay.tuning.nouns import Blunder

__all__ = ["tune_report"]

Column = tuple[str, Align]

_ABREAST: Final = 12  # legs beside one another in the table of steps
_OFTEN: Final = 2.0  # standard deviations that are printed after ±
_DIMENSION: Final[dict[str, Dimension]] = {
    "pull": "force",
    "corner": "angle",
    "temperature": "temperature",
}


def tune_report(done: Tuned) -> str:
    """Everything `tune` says in words.

    Args:
        done: A tie as read, and what to turn.

    Returns:
        Text of at most 80 columns a line.
    """
    sections = [
        _opening(done),
        _blunders(done),
        _turns(done),
        _order(done),
        _after_each(done),
        _kept_apart(done),
        _standing(done),
        _unsure(done),
        _trade(done),
        _notes(done),
        _cautions(),
    ]
    return "\n".join(section for section in sections if section)


def _force(done: Tuned, value: float) -> str:
    return show(value, "force", done.job.show)


def _length(done: Tuned, value: float) -> str:
    return show(value, "length", done.job.show)


def _titled(title: str, *blocks: str) -> str:
    return "\n".join([title, "-" * len(title), *(block.rstrip("\n") for block in blocks)]) + "\n"


def _listed(lines: Iterable[str]) -> str:
    return printable_lines(wrapped(line, first="- ", rest="  ") for line in lines)


def _opening(done: Tuned) -> str:
    advice = done.advice
    goal = (
        f"{_force(done, advice.goal.pull)} in every leg, within "
        f"{100 * advice.goal.share:.0f} %; ring centred and level"
    )
    rows = [
        ("Geometry", GEOMETRY[done.frame.geometry]),
        ("Goal", goal),
        ("In short", _in_short(done)),
        ("Job", f"{done.job.sha256[:16]}, rafterstay {__version__}"),
    ]
    lines = [wrapped(printable(said), first=f"{name:<10}", rest=" " * 10) for name, said in rows]
    title = wrapped(printable(f"Turns: {done.job.title}"))
    return "\n".join(["=" * WIDTH, title, "-" * WIDTH, *lines, "=" * WIDTH]) + "\n"


def _in_short(done: Tuned) -> str:
    advice = done.advice
    if advice.state.blunders:
        return "A reading cannot be right: take it again before anything is turned."
    if not advice.steps:
        return "Nothing is to be turned." if advice.kept else "No turn betters it; see below."
    legs = len({step.leg for step in advice.steps})
    said = f"{legs} of {done.tie.n} legs to be turned, in steps of {fraction(advice.step)} turn."
    if not advice.kept:
        said += " They come as near as whole steps can, but do not keep the goal: read again after."
    if not advice.safe:
        said += " NO ORDER KEEPS EVERY LEG AND WALL WITHIN ITS LIMIT: do not turn; ask."
    return said


def _blunders(done: Tuned) -> str:
    if not done.advice.state.blunders:
        return ""
    said = [_blunder(done, one) for one in done.advice.state.blunders]
    return _titled("Cannot be right: take these readings again", _listed(said))


def _blunder(done: Tuned, one: Blunder) -> str:
    dimension = _DIMENSION.get(one.reading.what, "length")
    read, expected = (
        show(value, dimension, done.job.show) for value in (one.reading.value, one.expected)
    )
    return (
        f"{one.reading.named}, line {one.reading.line}: {read} was read, the others say about "
        f"{expected}; off by {abs(one.standardised):.1f} times its ±. It was left out."
    )


def _turns(done: Tuned) -> str:
    advice = done.advice
    rows = [
        (
            str(k + 1),
            way(turn),
            fraction(turn) if turn else "",
            hand(turn) if turn else "",
            _force(done, advice.state.pull[k]),
            _force(done, advice.predicted[k]),
            f"± {_force(done, _OFTEN * advice.predicted_sigma[k])}",
        )
        for k, turn in enumerate(advice.turns)
    ]
    columns: list[Column] = [
        ("Leg", "right"),
        ("", "left"),
        ("Turns", "right"),
        ("Stripe goes", "left"),
        ("Now", "right"),
        ("After", "right"),
        ("19 in 20", "right"),
    ]
    return _titled("Turns", table_text(columns, rows), wrapped(STRIPE))


def _order(done: Tuned) -> str:
    steps = done.advice.steps
    if not steps:
        return ""
    rows = [
        (
            str(k),
            str(step.leg),
            f"{way(step.turns)} {fraction(step.turns)}",
            _force(done, step.pull[step.leg - 1]),
            f"{_force(done, float(step.pull.max()))} in {int(step.pull.argmax()) + 1}",
            _off_centre(done, step.shift),
        )
        for k, step in enumerate(steps, start=1)
    ]
    columns: list[Column] = [
        ("Visit", "right"),
        ("Leg", "right"),
        ("", "left"),
        ("It then reads", "right"),
        ("Largest pull", "right"),
        ("Ring off centre", "left"),
    ]
    goal = done.advice.goal
    most = _force(done, goal.most) + (f", set by {goal.most_by}," if goal.most_by else "")
    worst = max(step.inward for step in steps)
    walls = f"{_length(done, worst)} inside of plumb" if worst > 0 else "none inside of plumb"
    note = wrapped(
        f"Opposite legs follow one another. No leg passes {most} at any visit; walls: {walls}. "
        "Stop where a reading is off by more than three times its ± and read all again."
    )
    return _titled("Order", table_text(columns, rows), note)


def _off_centre(done: Tuned, shift: Floats) -> str:
    """How far, and towards which leg."""
    size = float(np.linalg.norm(shift))
    if size < parse("1/16 in", "length"):
        return "centred"
    line = (done.tie.bolt_points - done.tie.ring_points.mean(axis=0))[:, :2]
    leg = int((line @ shift / np.linalg.norm(line, axis=1)).argmax()) + 1
    return f"{_length(done, size)} towards {leg}"


def _after_each(done: Tuned) -> str:
    """What every leg should read after each visit."""
    steps, n = done.advice.steps, done.tie.n
    if not steps:
        return ""
    blocks = []
    for start in range(0, n, _ABREAST):
        legs = range(start, min(n, start + _ABREAST))
        columns: list[Column] = [("After visit", "right")]
        columns += [(str(k + 1), "right") for k in legs]
        rows = [
            (str(number), *(_plain(done, step.pull[k]) for k in legs))
            for number, step in enumerate(steps, start=1)
        ]
        blocks.append(table_text(columns, rows) + "\n")
    unit = "lb" if done.job.show == "us" else "N"
    return _titled(f"What every leg should read after each visit, {unit}", *blocks)


def _plain(done: Tuned, value: float) -> str:
    return f"{value / parse('1 lb', 'force'):.0f}" if done.job.show == "us" else f"{value:.0f}"


def _kept_apart(done: Tuned) -> str:
    advice = done.advice
    equalise = advice.exact - advice.moving
    rows = [
        (str(k + 1), f"{advice.exact[k]:+.3f}", f"{equalise[k]:+.3f}", f"{advice.moving[k]:+.3f}")
        for k in range(done.tie.n)
    ]
    columns: list[Column] = [
        ("Leg", "right"),
        ("Exactly", "right"),
        ("Equalise", "right"),
        ("Move the ring", "right"),
    ]
    law = {
        "rope-seized": "eyes seized to a rope ring: pulls nearly equalise themselves and the "
        "trouble shows as corners, so equalising takes whole turns",
        "rope-sliding": "a rope ring held by friction at its eyes: turns act as where eyes are "
        "seized, equalising takes whole turns; legs pull alike where corners are alike",
    }.get(
        done.tie.ring,
        "a point or a stiff ring: hundredths of a turn equalise, whole turns move it and change "
        "no pull",
    )
    note = wrapped(f"Above 0 tightens. The law of this ring: {law}.")
    return _titled("Kept apart: equalise, and move the ring", table_text(columns, rows), note)


def _standing(done: Tuned) -> str:
    state = done.advice.state
    rows = [
        (
            str(k + 1),
            _force(done, state.pull[k]),
            f"± {_force(done, _OFTEN * state.pull_sigma[k])}",
            _length(done, state.level[k]),
            "outside" if k + 1 in done.advice.outside else "",
        )
        for k in range(done.tie.n)
    ]
    columns: list[Column] = [
        ("Leg", "right"),
        ("Pull", "right"),
        ("19 in 20", "right"),
        ("Eye above mean", "right"),
        ("", "left"),
    ]
    sure = _length(done, _OFTEN * float(state.shift_sigma.max()))
    lines = [
        f"Ring: {_off_centre(done, state.shift)}, ± {sure}.",
        f"The frame is {_factor(state.frame)} as stiff as drawn, the ropes {_factor(state.rope)}.",
    ]
    return _titled("As it stands, by all readings", table_text(columns, rows), _listed(lines))


def _factor(factor: tuple[float, float]) -> str:
    middle, width = factor
    low, high = middle / width**_OFTEN, middle * width**_OFTEN
    return f"{middle:.2f} times ({low:.2f} to {high:.2f})"


def _unsure(done: Tuned) -> str:
    advice = done.advice
    lines = []
    if advice.unsure_of:
        lines.append(f"Known poorly after these turns: {', '.join(advice.unsure_of)}.")
    if advice.read_next:
        lines.append(f"Read next, it tells most: {advice.read_next}.")
    if not lines:
        lines.append("Every pull and the ring's place are known to half their tolerance or better.")
    return _titled("What is not known", _listed(lines))


def _trade(done: Tuned) -> str:
    trade = done.advice.trade
    if not trade:
        return ""
    rows = [
        (one.wish, f"{100 * one.pull_off:.0f} %", _length(done, one.shape_off)) for one in trade
    ]
    columns: list[Column] = [
        ("Wish", "left"),
        ("Worst leg off by", "right"),
        ("Eyes off by", "right"),
    ]
    note = wrapped(
        "Equal pull and a regular ring cannot both be had: sides of the ring or bolts are off "
        "their places. The table above aims at equal pull, a centred ring, and a fair shape."
    )
    return _titled("The trade", table_text(columns, rows), note)


def _notes(done: Tuned) -> str:
    notes = done.advice.notes
    return _titled("To know", _listed(notes)) if notes else ""


def _cautions() -> str:
    lines = [f"{one.number}. {one.text}" for one in cautions_for("tune")]
    return _titled("Cautions", printable_lines(wrapped(line, rest="   ") for line in lines))
