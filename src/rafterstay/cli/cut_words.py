"""How the cut list says a length, a force or a chance, and lays out its sections."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rafterstay.cli.report import printable_lines, wrapped
from rafterstay.core.quantities import show

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from rafterstay.cli.cut_list import CutList
    from rafterstay.core.quantities import Rounding

__all__ = [
    "chance_said",
    "force_said",
    "legs_said",
    "length_said",
    "listed",
    "merged",
    "steps_said",
    "titled",
    "whole_said",
]


def length_said(done: CutList, value: float, rounding: Rounding = "near") -> str:
    """A length in the job's units.

    Args:
        done: A finished cut list.
        value: The length. [m]
        rounding: To the tape's step, to which side.

    Returns:
        As a builder reads it.
    """
    return show(value, "length", done.design.job.show, rounding=rounding)


def steps_said(done: CutList, steps: int) -> str:
    """A length given in steps of the tape.

    Args:
        done: A finished cut list.
        steps: How many. [-]

    Returns:
        As a builder reads it.
    """
    return length_said(done, steps * done.cutting.step)


def force_said(done: CutList, value: float, rounding: Rounding = "near") -> str:
    """A force in the job's units.

    Args:
        done: A finished cut list.
        value: The force. [N]
        rounding: To which side.

    Returns:
        As a builder reads it.
    """
    return show(value, "force", done.design.job.show, rounding=rounding)


def chance_said(chance: float) -> str:
    """A chance as a count, which everybody can picture.

    Args:
        chance: Probability. [-]

    Returns:
        For example ``about 1 in 300``.
    """
    if chance < 1e-5:
        return "under 1 in 100,000"
    if chance < 0.01:
        return f"about 1 in {1 / chance:,.0f}"
    return f"about {100 * chance:.0f} in 100"


def whole_said(done: CutList) -> str:
    """What all legs together are called, in the plural."""
    if done.cutting.layout == "cross":
        return "sets of ties" if len(done.cutting.bodies) > 1 else "ties"
    return f"{done.cutting.layout}s"


def titled(title: str, *blocks: str) -> str:
    """A section: its underlined title, then its blocks; a blank line stays where a block has it."""
    body = [block.rstrip("\n") + "\n" * block.endswith("\n\n") for block in blocks if block]
    return "\n".join([title, "-" * len(title), *body]) + "\n"


def listed(lines: Iterable[str], *, first: str = "- ") -> str:
    """Sentences as a list, folded."""
    rest = " " * len(first)
    return printable_lines(wrapped(line, first=first, rest=rest) for line in lines)


def legs_said(legs: Sequence[int]) -> str:
    """Numbers of legs, neighbours drawn together.

    Args:
        legs: Ascending. [-]

    Returns:
        For example ``1 to 3, 6``.

    >>> legs_said([1, 2, 3, 6, 8, 9])
    '1 to 3, 6, 8, 9'
    """
    runs: list[list[int]] = []
    for leg in legs:
        if runs and runs[-1][-1] == leg - 1:
            runs[-1].append(leg)
        else:
            runs.append([leg])
    said = [f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs]
    return ", ".join(said)


def merged(rows: Iterable[tuple[int, Sequence[str]]]) -> list[tuple[str, ...]]:
    """Rows of legs as cells of a table; legs alike share one, in the order of the first.

    Args:
        rows: Number of a leg and its cells.

    Returns:
        The legs in words, then the cells.
    """
    alike: dict[tuple[str, ...], list[int]] = {}
    for leg, cells in rows:
        alike.setdefault(tuple(cells), []).append(leg)
    return [(legs_said(legs), *cells) for cells, legs in alike.items()]
