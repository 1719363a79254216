"""Writes the table of every key: ``python -m rafterstay.job.document > docs/job-file.md``."""

from __future__ import annotations

import sys
from typing import Final

from rafterstay.core.quantities import units
from rafterstay.job.examples import example, examples
from rafterstay.job.keys import REQUIRED, Choice, Flag, Key, Quantity, TieHeight, printable
from rafterstay.job.nouns import keys
from rafterstay.job.read import FILE_NAME, LARGEST

__all__ = ["page"]

_HEAD: Final = f"""# The job file

<!-- Written by `python -m rafterstay.job.document`; change the models, not this page. -->

A job is a folder with a `{FILE_NAME}`: UTF-8 text in TOML 1.0, at most {LARGEST:,} bytes. Commands
take the folder or the file. Start from an example with `rafterstay new EXAMPLE`:
{{examples}}.

- A quantity is text with its unit, US or SI: `"12 ft 6 1/2 in"`, `"11'-6 1/2\\""`, `"3/8 in"`,
  `"40 psf"`, `"1.9 kPa"`, `"60 degF"`. A bare number where a unit is due is refused.
- An unknown key, a key that is *not served yet*, a wrong unit, NaN, infinity and anything out of
  bounds is refused by name, with its line and column, all findings at once.
- A key left out takes its default, which every answer lists as *assumed*. A key without a
  default is required.

Units read:
{{units}}
"""


def page() -> str:
    """The whole of ``docs/job-file.md``."""
    named = ", ".join(f"`{name}`" for name in examples())
    lines = [_HEAD.format(examples=named, units=_units())]
    for path, key in keys():
        if isinstance(key, Key):
            if len(path) == 1:
                lines += _table_head("At the top of the file")
            lines.append(_row(".".join(path[1:]) or path[0], key))
        elif len(path) == 1:
            lines += _table_head(f"[{path[0]}]")
    lines += ["", "## The example with every key", "", "```toml", example("octagon").rstrip()]
    return "\n".join([*lines, "```", ""])


def _table_head(title: str) -> list[str]:
    return [
        "",
        f"## {title}",
        "",
        "| key | type | allowed | default | served | what it states |",
        "|---|---|---|---|---|---|",
    ]


def _row(name: str, key: Key) -> str:
    cells = (f"`{name}`", _type(key), key.bounds(), _default(key), _served(key), key.means)
    return f"| {' | '.join(cell.replace('|', '/') for cell in cells)} |"


def _type(key: Key) -> str:
    if isinstance(key, Quantity):
        return f"{key.kind}: {key.dimension}"
    return key.kind


def _default(key: Key) -> str:
    if key.default is REQUIRED:
        return "**required**"
    if key.default is None:
        return f"none; {key.why}" if key.why else "none"
    if key.same_as:
        return f"that of `{key.same_as}`: {key.why}"
    written = printable(key.default)
    return (
        f"`{written}`: {key.why}"
        if not isinstance(key.default, str)
        else f'`"{written}"`: {key.why}'
    )


def _served(key: Key) -> str:
    if not key.served:
        return "not yet"
    if key.proviso:
        return key.proviso
    if isinstance(key, Choice) and key.names_later:
        return "yes; not yet: names of the catalogue"
    if isinstance(key, Quantity | Choice) and key.later:
        return f"yes; not yet: {', '.join(key.later)}"
    only = key.only if isinstance(key, Quantity | Flag) else None
    if only not in ("", None):
        return f"only `{str(only).lower() if isinstance(only, bool) else only}`"
    return "yes"


def _units() -> str:
    stated = {key.dimension for _, key in keys() if isinstance(key, Quantity)}
    stated |= {"length" for _, key in keys() if isinstance(key, TieHeight)}
    rows = (
        f"- {name}: {', '.join(f'`{unit}`' for unit in units(name))}" for name in sorted(stated)
    )
    return "\n".join(rows)


if __name__ == "__main__":
    sys.stdout.write(page())
