"""Pages and sheets of a design in one PDF."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final

from rafterstay import __version__, sheets
from rafterstay.packet.brief import brief_pages
from rafterstay.packet.clause import assumptions_page, heads_page
from rafterstay.packet.hanging import placard_page, raising_page, tension_page, upkeep_page
from rafterstay.packet.literal import Words
from rafterstay.packet.making import cut_page, parts_page, press_pages, proof_page
from rafterstay.packet.nouns import (
    Block,
    Bound,
    Column,
    Packet,
    Page,
    Paper,
    Shop,
    Site,
    Told,
    figure,
    para,
    ruled,
)
from rafterstay.packet.opening import cautions_page, cover_page, criteria_page, standing_page
from rafterstay.packet.strength import check_pages, free_body_page, pulls_page, ranking_page
from rafterstay.sheets.as_svg import to_svg
from rafterstay.sheets.plan import draw_plan
from rafterstay.sheets.words import GEOMETRY

if TYPE_CHECKING:
    from rafterstay.sheets import Sheet
    from rafterstay.sheets.summary import Designed

__all__ = ["STANDARDS", "bind"]

STANDARDS: Final = ("a-2a", "ua-1")
_TEMPLATE: Final = Path(__file__).parent / "packet.typ"
_PAPERS: Final[dict[Paper, str]] = {"letter": "us-letter", "a4": "a4"}
_HEAD: Final = 60  # characters of a title at the head of every page
# The page tree is written plain, whatever else is packed.
_PAGE: Final = re.compile(rb"/Type\s*/Page\b")
_TITLE: Final = 120  # characters of a title that are printed: the job allows no more


def bind(
    design: Bound,
    *,
    told: Sequence[Told] = (),
    shop: Shop | None = None,
    site: Site | None = None,
    paper: Paper = "letter",
    brief: bool = False,
) -> Packet:
    """Bind a packet: PDF/A-2a, PDF/UA-1, the same bytes for the same job.

    Args:
        design: A finished design; its whole verdict, never a first look.
        told: What a reader must know beside the verdict.
        shop: The cut list, where there is one.
        site: What the job folder keeps: revision and logs.
        paper: ``letter`` or ``a4``.
        brief: Four pages for the counter instead.

    Returns:
        The file and what its making had to tell.
    """
    words, kept = Words(), site or Site()
    title = words.literal(design.job.title, "job.title", longest=_TITLE)
    drawn = _plan(design, words)
    if brief:
        pages = brief_pages(design, title, told, drawn, words)
    else:
        laid = _sheets(design, paper, kept, shop)
        words.note(f"{name} on a sheet" for sheet in laid for name in sheet.shortened)
        drawings = _drawings(drawn, laid, words)
        pages = _pages(design, title, told, (drawings, shop, kept, words))
    document = {
        "title": f"Packet: {title}",
        "subject": "Rope tie of a roof: calculations, sheets and records",
        "head": title if len(title) <= _HEAD else f"{title[:_HEAD]}...",
        "geometry": _geometry(design),
        "stamp": _stamp(design, kept),
        "foot": f"rafterstay {__version__}. Not an engineer's approval: see the cautions.",
        "paper": _PAPERS[paper],
        "pages": [
            {"held": page.held, "blocks": list(page.blocks), "sheet": page.sheet} for page in pages
        ],
    }
    pdf = _typeset(document)
    return Packet(pdf, len(_PAGE.findall(pdf)), words.told())


def _pages(
    design: Bound,
    title: str,
    told: Sequence[Told],
    more: tuple[tuple[Page, ...], Shop | None, Site, Words],
) -> tuple[Page, ...]:
    """Every section in the order an official reads them."""
    drawn, shop, site, words = more
    return (
        cover_page(design, title, told),
        criteria_page(design, words),
        standing_page(design),
        free_body_page(design),
        pulls_page(design),
        ranking_page(design),
        heads_page(design),
        assumptions_page(design, told, words),
        check_pages(design),
        *drawn,
        parts_page(design, shop),
        *((cut_page(design, shop),) if shop else ()),
        press_pages(design, site, words),
        proof_page(design, shop, site, words),
        raising_page(design),
        tension_page(design),
        upkeep_page(),
        placard_page(design, title),
        cautions_page(),
    )


def _plan(design: Designed, words: Words) -> Block:
    alt = (
        "Plan of the roof seen from above: legs numbered clockwise with their pulls, the weakest "
        "parts and the verdict beside it."
    )
    return figure(words.in_drawing(to_svg(draw_plan(design), paper="#ffffff"), "plan"), alt)


def _sheets(design: Designed, paper: Paper, site: Site, shop: Shop | None) -> tuple[Sheet, ...]:
    """Every sheet of the design, lettered with the revision."""
    revision = "" if site.revision is None else str(site.revision)
    return sheets.draw(
        design, paper=paper, revision=revision, cut=None if shop is None else shop.cutting
    )


def _drawings(overview: Block, drawn: Sequence[Sheet], words: Words) -> tuple[Page, ...]:
    """A list of the sheets under an overview, then each sheet on its own paper."""
    rows = [
        (sheet.name, sheet.title, "-" if sheet.scale is None else f"1 : {sheet.scale:g}")
        for sheet in drawn
    ]
    columns = [Column("Sheet", width=1), Column("Shows", width=2), Column("Scale", "right")]
    told = para(
        "Each sheet below is at true scale when it is printed without fitting to the page: check "
        "its scale with a ruler before anything is taken from it."
    )
    pages = [
        Page(
            sheet={
                "svg": words.in_drawing(sheets.svg(sheet), f"sheet {sheet.name}"),
                "alt": f"Sheet {sheet.name}: {sheet.title}",
                "width": sheet.width_mm,
                "height": sheet.height_mm,
            }
        )
        for sheet in drawn
    ]
    index = (
        para("Sheets", "title"),
        told,
        overview | {"width": 76.0},
        ruled(columns, rows, size=0.8),
    )
    return (Page(index), *pages)


def _geometry(design: Designed) -> str:
    said = GEOMETRY[design.frame.geometry]
    return said[:1].upper() + said[1:]


def _stamp(design: Designed, site: Site) -> str:
    revision = "not kept" if site.revision is None else str(site.revision)
    return f"Job {design.job.sha256[:16]}, revision {revision}"


def _typeset(document: Mapping[str, object]) -> bytes:
    import typst

    found = typst.compile(
        _TEMPLATE.read_bytes(),
        sys_inputs={"data": json.dumps(document, allow_nan=False)},
        format="pdf",
        ignore_system_fonts=True,
        pdf_standards=list(STANDARDS),
        timestamp=0,
    )
    return bytes(found)
