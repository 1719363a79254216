"""A finished check in words and tables, 80 columns wide, for a reader who is no engineer."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from typing import Final, Literal

import numpy as np
from rich.box import Box
from rich.console import Console
from rich.table import Table
from rich.text import Text

from rafterstay import __version__
from rafterstay.checks.nouns import Check
from rafterstay.cli.setting_report import setting_lines
from rafterstay.cli.warnings import warnings_of
from rafterstay.core.cautions import cautions_for
from rafterstay.core.quantities import show
from rafterstay.core.working import Line
from rafterstay.sheets.literal import cells, printable
from rafterstay.sheets.summary import (
    Designed,
    asks_and_gives,
    first_largest,
    largest_pull,
    least_pull,
    leg_pulls,
    ring_pull,
    share,
)
from rafterstay.sheets.words import (
    DISPLACED,
    GEOMETRY,
    proof_words,
    status_words,
    verdict_words,
)

__all__ = ["WIDTH", "check_report", "opening", "table_text", "wrapped"]

WIDTH: Final = 80
Align = Literal["left", "right"]

_NAMES: Final = frozenset({"Check", "Combination", "in", "Name"})  # never folded: to search for
# Head and body parted by a rule, nothing else; plain characters for any terminal.
_RULED: Final = Box("    \n    \n -- \n    \n    \n    \n    \n    \n", ascii=True)


def check_report(design: Designed, *, working: bool = False, every: bool = False) -> str:
    """Everything `check` says in words.

    Args:
        design: A finished design.
        working: Print the lines of working of every check.
        every: Print the table of all combinations.

    Returns:
        Text of at most 80 columns a line.
    """
    parts = [opening(design), _pulls(design), _as_set(design), _ranking(design), _in_words(design)]
    if every:
        parts.append(_combinations(design))
    if working:
        parts.append(_loads_worked(design))
        parts.append(_working(design.checks.checks))
    parts += [_warned(design), _assumed(design), _cautions()]
    if not (working and every):
        parts.append("More: --working prints every line, --all every combination.\n")
    return "\n".join(parts)


def opening(design: Designed) -> str:
    """The block at the head: job, geometry, verdict, weakest part, what the tie does."""
    checks, system = design.checks, design.job.show
    pulls = leg_pulls(design)
    most, least = largest_pull(pulls), least_pull(pulls)
    geometry = GEOMETRY[design.frame.geometry]
    rows = [
        ("Verdict", verdict_words(checks.verdict, design.job).upper()),
        ("Weakest", _weakest(design)),
        ("Duty", f"{checks.duty}. {checks.duty_why}".strip()),
        ("Code tables", f"{checks.prescriptive}. {checks.prescriptive_why}".strip()),
        ("Largest pull", f"{show(most.most, 'force', system)} in leg {most.leg}, {most.most_in}"),
        (
            "Least pull",
            f"{show(least.least, 'force', system)} in leg {least.leg}, {least.least_in}",
        ),
        *_ring(design),
        ("Geometry", geometry),
        ("Job", f"{design.job.sha256[:16]}, rafterstay {__version__}"),
    ]
    lines = [line for name, said in rows for line in _entry(name, said)]
    title = wrapped(printable(design.job.title))
    return "\n".join(["=" * WIDTH, title, "-" * WIDTH, *lines, "=" * WIDTH]) + "\n"


def _ring(design: Designed) -> list[tuple[str, str]]:
    pull = ring_pull(design)
    if pull is None:
        return []
    return [("Ring", f"{show(pull, 'force', design.job.show)} in a side")]


def _weakest(design: Designed) -> str:
    for check in design.checks.checks:
        if check.id == design.checks.weakest and check.utilisation is not None:
            return f"{check.part}, {share(check.utilisation)} of what it gives ({check.id})"
    return design.checks.weakest or "none"


def _entry(name: str, said: str) -> list[str]:
    """A name and what is said of it, hanging under itself."""
    first = f"{name:<14}"
    return wrapped(printable(said), first=first, rest=" " * len(first)).split("\n")


def wrapped(text: str, *, first: str = "", rest: str = "") -> str:
    """Text folded to the width; a word that is longer than a line is broken."""
    lines, line = [], first
    for word in text.split(" "):
        for piece in _pieces(word, WIDTH - cells(rest)):
            gap = "" if line in (first, rest) else " "
            if cells(line + gap + piece) > WIDTH and line not in (first, rest):
                lines.append(line)
                line, gap = rest, ""
            line += gap + piece
    return "\n".join([*lines, line.rstrip()])


def _pieces(word: str, columns: int) -> Iterable[str]:
    """A word in pieces that fit."""
    piece = ""
    for character in word:
        if cells(piece + character) > columns:
            yield piece
            piece = ""
        piece += character
    yield piece


def table_text(columns: Sequence[tuple[str, Align]], rows: Iterable[Sequence[str]]) -> str:
    """A table of at most 80 columns; what is too wide folds inside its cell.

    Args:
        columns: Heading and alignment of each.
        rows: Cells as plain text; nothing in them is read as markup.

    Returns:
        Lines without blanks at their ends.
    """
    table = Table(box=_RULED, pad_edge=False, show_edge=False, padding=(0, 1, 0, 0))
    body = [[printable(cell) for cell in row] for row in rows]
    heads = [heading for heading, _ in columns]
    wide = sum(max(map(cells, column)) + 1 for column in zip(heads, *body, strict=True))
    for heading, align in columns:
        # Where names are too long to stand whole, figures are not folded for their sake.
        crowded = "in" in heads and wide > WIDTH
        whole = align == "right" if crowded else heading in _NAMES
        table.add_column(Text(heading), justify=align, overflow="fold", no_wrap=whole)
    for row in body:
        table.add_row(*map(Text, row))
    page = io.StringIO()
    plain = Console(file=page, width=WIDTH, color_system=None, force_terminal=False, markup=False)
    plain.print(table)
    return "".join(f"{line.rstrip()}\n" for line in page.getvalue().splitlines())


def _section(title: str, body: str) -> str:
    return f"{title}\n{body}"


def _pulls(design: Designed) -> str:
    system = design.job.show
    rows = [
        (
            str(leg.leg),
            f"{round(leg.azimuth_deg, 1) % 360:05.1f}",
            show(leg.most, "force", system),
            leg.most_in,
            show(leg.least, "force", system),
            leg.least_in,
        )
        for leg in leg_pulls(design)
    ]
    columns: list[tuple[str, Align]] = [
        ("Leg", "right"),
        ("Azimuth", "right"),
        ("Largest", "right"),
        ("in", "left"),
        ("Least", "right"),
        ("in", "left"),
    ]
    return _section("Pull of each leg", table_text(columns, rows))


def _ranking(design: Designed) -> str:
    rows = []
    for number, check in enumerate(design.checks.checks, start=1):
        asked, given = asks_and_gives(check, design.job.show)
        used = "" if check.utilisation is None else share(check.utilisation)
        leg = "" if check.leg is None else str(check.leg)
        status = status_words(check.status, design.job, brief=True) if check.decides else "advice"
        rows.append((str(number), check.part, leg, check.id, asked, given, used, status))
    columns: list[tuple[str, Align]] = [
        ("", "right"),
        ("Part", "left"),
        ("Leg", "right"),
        ("Check", "left"),
        ("Asks", "right"),
        ("Gives", "right"),
        ("Used", "right"),
        ("Status", "left"),
    ]
    return _section("Weakest first", table_text(columns, rows))


def _in_words(design: Designed) -> str:
    """Sentences on what does not pass; on the weakest part where all pass."""
    told = [check for check in design.checks.checks if check.status != "passes"]
    told = told or list(design.checks.checks[:1])
    lines = []
    for check in told:
        advice = "" if check.decides else " (advice)"
        lines.append(wrapped(f"{check.id}{advice}: {check.why}", first="- ", rest="  "))
        sources = "; ".join(map(str, check.sources))
        source = f"{check.combination}. {sources}".lstrip(". ")
        lines.append(wrapped(source, first="  ", rest="  "))
    heading = "What the weakest part says" if told[0].status == "passes" else "What must be settled"
    return _section(heading, printable_lines(lines))


def printable_lines(lines: Iterable[str]) -> str:
    """Lines that may hold other people's words, joined."""
    return "".join(f"{printable(line)}\n" for block in lines for line in block.split("\n"))


def _combinations(design: Designed) -> str:
    forces, system = design.forces, design.job.show
    rows = []
    for row, state in enumerate(forces.states):
        pulls = forces.leg_pull[row]
        rows.append(
            (
                state.id + (f" ({state.variant})" if state.variant else ""),
                f"{show(float(pulls.max()), 'force', system)} ({first_largest(pulls) + 1})",
                f"{show(float(pulls.min()), 'force', system)} ({first_largest(-pulls) + 1})",
                "-" if (ring := ring_pull(design, row)) is None else show(ring, "force", system),
                show(float(forces.head_shear[row].max()), "force", system),
                show(float(forces.spread[row].max()), "length", system),
            )
        )
    columns: list[tuple[str, Align]] = [
        ("Combination", "left"),
        ("Largest (leg)", "right"),
        ("Least (leg)", "right"),
        ("Ring", "right"),
        ("Hub shear", "right"),
        ("Spread", "right"),
    ]
    grown = float(np.nanmax(forces.amplification))
    note = wrapped(
        f"Proved: {proof_words(design.tie, forces)}. Pulls are those of the displaced roof, where "
        f"{DISPLACED}. The largest of a combination is at most {grown:.3f} times its largest on "
        "the roof as drawn."
    )
    return _section("Every combination", f"{table_text(columns, rows)}{note}\n")


def _as_set(design: Designed) -> str:
    lines = [wrapped(told, first="- ", rest="  ") for told in setting_lines(design)]
    return _section("While the legs are set", printable_lines(lines))


def _loads_worked(design: Designed) -> str:
    """How the pressures were found, line by line."""
    cases = design.cases
    lines = [wrapped(_line(line), first="   ", rest="     ") for line in cases.working]
    lines += [wrapped(f"[{source}]", first="   ", rest="    ") for source in cases.sources]
    return _section("Loads, worked", printable_lines(lines or ["   No load is stated."]))


def _working(checks: Sequence[Check]) -> str:
    lines: list[str] = []
    for number, check in enumerate(checks, start=1):
        lines.append(f"{number} {check.id}: {check.part}")
        lines += [wrapped(_line(line), first="   ", rest="     ") for line in check.working]
        lines += [wrapped(f"[{source}]", first="   ", rest="    ") for source in check.sources]
    return _section("Working", printable_lines(lines))


def _line(line: Line) -> str:
    """One line of working; a figure that was only looked up is not told twice."""
    value = f"{line.value:.6g}"
    numbers = "" if line.numbers == value else f"{line.numbers} = "
    unit = "" if line.unit in ("-", "1") else f" {line.unit}"
    return f"{line.symbol} = {line.formula} = {numbers}{value}{unit}"


def _warned(design: Designed) -> str:
    lines = [
        wrapped(f"{one.code}: {one.text}", first="- ", rest="  ") for one in warnings_of(design)
    ]
    return _section("To know", printable_lines(lines))


def _assumed(design: Designed) -> str:
    if not design.job.assumed:
        return _section("Assumed", "Nothing: every key was stated.\n")
    lines = [
        wrapped(f"{one.key} = {one.value} ({one.why})", first="- ", rest="  ")
        for one in design.job.assumed
    ]
    return _section("Assumed, because the job does not say", printable_lines(lines))


def _cautions() -> str:
    lines = [
        wrapped(one.text, first=f"{one.number:>2}. ", rest="    ") for one in cautions_for("check")
    ]
    return _section("Cautions", printable_lines(lines))
