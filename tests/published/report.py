"""Write ``docs/verification.md`` from the rows of the published tests.

Run ``python -m tests.published.report`` after adding or changing a row; with ``--check`` it only
says whether the page is current.
"""

from __future__ import annotations

import importlib
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from rafterstay.core.sources import Source
from tests.published.printed import Row, errata

__all__ = ["Module", "main", "modules", "page"]

PAGE: Final = Path(__file__).resolve().parents[2] / "docs" / "verification.md"
UNPUBLISHED: Final = {
    "holddown": "upright reactions: `tests/statics/test_closed_forms.py`",
    "hub-drop": "the displaced triangle: `tests/statics/test_closed_forms.py`",
    "hub-shear": "snow on one half: `tests/statics/test_closed_forms.py`",
    "hub-tension": "",
    "leg-lost": "balance of the legs that are left: `tests/statics/test_lost.py`",
    "leg-slack": "two libraries: `tests/oracles/test_demo_states.py`",
    "plate-joint": "",
    "ring-lost": "balance after the cut: `tests/statics/test_lost.py`",
    "ring-sag": "",
    "ring-shift": "sideways balance: `tests/statics/test_closed_forms.py`",
    "wall-spread": "walls that help: `tests/statics/test_closed_forms.py`",
}
"""Checks no published figure was found of, and what is set beside their forces instead."""

MOST_A_FORMULA: Final = 8
"""More rows than this for one formula or table show nothing new and are not counted."""


@dataclass(frozen=True)
class Module:
    """One published module: one source and its rows."""

    name: str
    source: Source
    rows: tuple[Row, ...]


def modules() -> tuple[Module, ...]:
    """Read every module beside this one that names a source."""
    return tuple(_modules())


def page(found: tuple[Module, ...]) -> str:
    """Set out the counts, the sources, the checks served and the disagreements."""
    counted = _counted(found)
    how = Counter(obtained for _, obtained in counted)
    sources = {module.source.title for module, obtained in counted if obtained in _COUNT}
    parts = [
        "# Verification",
        "Written by `python -m tests.published.report` from `tests/published`; do not edit.",
        (
            "Every row is a published figure as printed, answered by a formula or table of ours to "
            "half a unit of its last digit. *Read* means the figure was read in the source or in a "
            "public reproduction of it; *memory* that it was not. Rows computed from a published "
            "formula do not count, nor rows that disagree, nor more than "
            f"{MOST_A_FORMULA} rows for one formula or table."
        ),
        _table(
            ("counted rows", "read", "from memory", "sources", "all rows"),
            [
                (
                    str(how["read"] + how["memory"]),
                    str(how["read"]),
                    str(how["memory"]),
                    str(len(sources)),
                    str(sum(len(module.rows) for module in found)),
                )
            ],
        ),
        "## Sources",
        _table(
            ("source", "place", "rows", "read", "from memory", "disagree", "test"),
            [_source_line(module) for module in found],
        ),
        "## Checks",
        (
            "Every check there is, with how many published figures answer it or a table it rests "
            "on. Where none was found, what its forces are set against instead."
        ),
        _table(("check", "rows"), _checks(found)),
        "## Disagreements",
        _table(
            ("source", "place", "printed", "ours", "why"),
            [
                (one["source"], one["place"], one["printed"], one["ours"], one["reason"])
                for one in errata().values()
            ],
        ),
    ]
    return "\n\n".join(parts) + "\n"


def main(arguments: list[str]) -> int:
    """Write the page, or with ``--check`` say whether it is current."""
    text = page(modules())
    if "--check" in arguments:
        current = PAGE.exists() and PAGE.read_text(encoding="utf-8") == text
        return 0 if current else 1
    PAGE.write_text(text, encoding="utf-8")
    return 0


_COUNT: Final = ("read", "memory")


def _modules() -> Iterator[Module]:
    for path in sorted(Path(__file__).parent.glob("test_*.py")):
        module = importlib.import_module(f"tests.published.{path.stem}")
        if hasattr(module, "ROWS"):
            yield Module(path.stem, module.SOURCE, tuple(module.ROWS))


def _obtained(module: Module, row: Row) -> str:
    return row.obtained or module.source.obtained


def _counted(found: tuple[Module, ...]) -> list[tuple[Module, str]]:
    """Give the rows that count, the best known first within a formula."""
    rows = [(module, row, _obtained(module, row)) for module in found for row in module.rows]
    seen: Counter[str] = Counter()
    counted = []
    for module, row, obtained in sorted(
        rows, key=lambda one: _COUNT.index(one[2]) if one[2] in _COUNT else 9
    ):
        if obtained in _COUNT and not row.erratum:
            seen[row.serves] += 1
            if seen[row.serves] <= MOST_A_FORMULA:
                counted.append((module, obtained))
    return counted


def _source_line(module: Module) -> tuple[str, ...]:
    how = Counter(_obtained(module, row) for row in module.rows)
    source = module.source
    return (
        f"{source.title} {source.edition}".strip(),
        source.place,
        str(len(module.rows)),
        str(how["read"]),
        str(how["memory"]),
        str(sum(bool(row.erratum) for row in module.rows)),
        f"`{module.name}`",
    )


def _checks(found: tuple[Module, ...]) -> list[tuple[str, str]]:
    rows = Counter(row.check for module in found for row in module.rows if row.check)
    told = {check: str(count) for check, count in rows.items()}
    for check, instead in UNPUBLISHED.items():
        told.setdefault(check, f"no published value found{f'; {instead}' if instead else ''}")
    return [(f"`{check}`", told[check]) for check in sorted(told)]


def _table(head: tuple[str, ...], lines: list[tuple[str, ...]]) -> str:
    rule = "|".join("---" for _ in head)
    rows = [" | ".join(cell.replace("|", "\\|") for cell in line) for line in (head, *lines)]
    return "\n".join([f"| {rows[0]} |", f"|{rule}|", *(f"| {row} |" for row in rows[1:])])


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
