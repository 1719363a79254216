"""What a packet is made of: pages of blocks, each block a thing the reader knows from paper."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, Protocol

from rafterstay.sheets.summary import Designed

if TYPE_CHECKING:
    from rafterstay.core.working import Line
    from rafterstay.shop import Cutting
    from rafterstay.shop.buying import Shopping
    from rafterstay.shop.press_log import Pressed, Readiness
    from rafterstay.shop.proof import ProofPull
    from rafterstay.shop.pull_file import Pulled
    from rafterstay.sizing import Band

__all__ = [
    "Block",
    "Bound",
    "Column",
    "Packet",
    "Page",
    "Paper",
    "Shop",
    "Site",
    "Told",
    "blanks",
    "figure",
    "form",
    "heading",
    "listed",
    "numbered",
    "pairs",
    "para",
    "ruled",
    "ticks",
    "value_of",
]

Paper = Literal["letter", "a4"]
Block = dict[str, Any]
Cell = str | dict[str, Any]


class Bound(Designed, Protocol):
    """What a packet reads of a design."""

    @property
    def band(self) -> Band | None: ...


@dataclass(frozen=True)
class Told:
    """Something the reader of a packet must be told, by its code."""

    code: str
    text: str


@dataclass(frozen=True)
class Shop:
    """The cut list and what stands beside it.

    Attributes:
        cutting: The cut list.
        shopping: What to buy, each part with its standard.
        proof: How hard a leg is pulled to prove it.
        readiness: Which legs are ready; None where nothing was logged.
        ring_missing: What the ring rope's lap lacks; None where nothing was logged or no ring is.
    """

    cutting: Cutting
    shopping: Shopping
    proof: ProofPull
    readiness: tuple[Readiness, ...] | None = None
    ring_missing: tuple[str, ...] | None = None


@dataclass(frozen=True)
class Site:
    """What the job folder keeps.

    Attributes:
        revision: Number of the revision that counts; None where the folder keeps none.
        presses: Sleeves as pressed.
        pulls: Legs proved and test eyes pulled.
    """

    revision: int | None = None
    presses: tuple[Pressed, ...] = ()
    pulls: tuple[Pulled, ...] = ()


@dataclass(frozen=True)
class Packet:
    """A packet as it is handed over.

    Attributes:
        pdf: The bytes of the file.
        pages: How many pages it has.
        told: What the packet itself had to say of its making: text that was shortened, a part
            that could not be had.
    """

    pdf: bytes
    pages: int
    told: tuple[Told, ...]


@dataclass(frozen=True)
class Page:
    """A section that starts on a page of its own.

    Attributes:
        blocks: In order.
        held: All of it must stand on that one page.
        sheet: A drawing that fills the page at true scale, instead of blocks.
    """

    blocks: tuple[Block, ...] = ()
    held: bool = False
    sheet: Block | None = None


@dataclass(frozen=True)
class Column:
    """A column of a table: its heading, its alignment, its share of the width (0: as needed)."""

    head: str
    align: Literal["left", "right", "center"] = "left"
    width: float = 0.0


def para(text: str, kind: Literal["para", "small", "strong", "note", "title"] = "para") -> Block:
    """A paragraph."""
    return {"kind": kind, "text": text}


def heading(text: str) -> Block:
    """A heading inside a section."""
    return {"kind": "heading", "text": text}


def listed(items: Iterable[str], *, size: float = 1.0) -> Block:
    """A list of sentences.

    Args:
        items: The sentences.
        size: Of the lettering, over the text's. [-]

    Returns:
        The block.
    """
    return {"kind": "list", "items": list(items), "size": size}


def numbered(items: Iterable[tuple[str, str]], *, size: float = 1.0) -> Block:
    """Sentences under numbers of their own.

    Args:
        items: Number and sentence.
        size: Of the lettering, over the text's. [-]

    Returns:
        The block.
    """
    return {"kind": "numbered", "items": [list(item) for item in items], "size": size}


def ticks(items: Iterable[str]) -> Block:
    """Sentences with a box to tick."""
    return {"kind": "ticks", "items": list(items)}


def pairs(rows: Iterable[tuple[str, str]], *, first: float = 38.0) -> Block:
    """Names and what is said of them.

    Args:
        rows: Name and saying.
        first: Width of the names. [mm]

    Returns:
        The block.
    """
    return {"kind": "pairs", "rows": [list(row) for row in rows], "first": first}


def ruled(columns: Sequence[Column], rows: Iterable[Sequence[Cell]], *, size: float = 0.9) -> Block:
    """A table that may run over pages.

    Args:
        columns: Its columns.
        rows: Its cells.
        size: Of the lettering, over the text's. [-]

    Returns:
        The block.
    """
    return _grid("table", columns, rows, size)


def form(
    columns: Sequence[Column],
    rows: Iterable[Sequence[Cell]],
    *,
    height: float = 7.0,
    size: float = 0.86,
) -> Block:
    """A table to write into.

    Args:
        columns: Its columns.
        rows: Its cells.
        height: Of a row. [mm]
        size: Of the lettering, over the text's. [-]

    Returns:
        The block.
    """
    return _grid("form", columns, rows, size) | {"height": height}


def blanks(items: Iterable[str], *, across: int = 2, gap: float = 7.0) -> Block:
    """Names with a line to write on.

    Args:
        items: The names.
        across: How many abreast. [-]
        gap: Between lines. [mm]

    Returns:
        The block.
    """
    return {"kind": "blanks", "items": list(items), "across": across, "gap": gap}


def figure(svg: str, alt: str, *, caption: str = "", width: float = 100.0) -> Block:
    """A drawing.

    Args:
        svg: The drawing.
        alt: The same in words.
        caption: Under it.
        width: Share of the page. [%]

    Returns:
        The block.
    """
    return {"kind": "figure", "svg": svg, "alt": alt, "caption": caption, "width": width}


def value_of(line: Line) -> str:
    """What a line of working comes to, as every output prints it.

    >>> from rafterstay.core.working import Line
    >>> value_of(Line("T", "W R", "2 * 3", 1357.66667, "lbf"))
    '1357.67 lbf'
    """
    unit = "" if line.unit in ("-", "1") else f" {line.unit}"
    return f"{line.value:.6g}{unit}"


def _grid(
    kind: str, columns: Sequence[Column], rows: Iterable[Sequence[Cell]], size: float
) -> Block:
    heads = [{"head": c.head, "align": c.align, "width": c.width} for c in columns]
    return {"kind": kind, "columns": heads, "rows": [list(row) for row in rows], "size": size}
