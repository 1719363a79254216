"""Everything that `sheets` writes, carried from the job through its stages."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from rafterstay import design, roof, shop
from rafterstay import job as jobs
from rafterstay import sheets as drawings
from rafterstay.cli.survey_frame import read_frame
from rafterstay.cli.warnings import Warned, warnings_of
from rafterstay.core.errors import InputError
from rafterstay.job.examples import DEMO, example
from rafterstay.sheets.contact import contact_sheet
from rafterstay.shop.measured import legs_of

if TYPE_CHECKING:
    from rafterstay.design import Design
    from rafterstay.sheets import Paper, Sheet
    from rafterstay.shop import Cutting

__all__ = ["SheetSet", "demo_sheets", "drawn_files", "sheet_set"]

_LETTERED = (*range(0x20, 0x250), *range(0x370, 0x590), *range(0x5D0, 0x700), 0xFFFD)


@dataclass(frozen=True)
class SheetSet:
    """A design and its sheets.

    Attributes:
        design: The job, checked.
        sheets: Its sheets.
        own: What to know of the sheets themselves.
        warnings: What to know, that of the check included.
    """

    design: Design
    sheets: tuple[Sheet, ...]
    own: tuple[Warned, ...]

    @property
    def warnings(self) -> tuple[Warned, ...]:
        """Of the sheets and of the check."""
        return (*self.own, *warnings_of(self.design))


def sheet_set(
    place: str, *, survey: Path | None, paper: str | None, revision: str, date: str
) -> SheetSet:
    """Carry a job to its sheets.

    Args:
        place: A job folder or file.
        survey: Readings of the frame.
        paper: ``letter`` or ``a4``; by the job's units where left out.
        revision: As lettered.
        date: As lettered.

    Returns:
        The sheets.

    Raises:
        InputError: The job or the readings cannot be used.
        Mechanism: Nothing holds a part of the roof.
    """
    job = jobs.load(place)
    built = read_frame(job, roof.lay_out(job), survey) if survey else None
    done = design.check(job, built=built)
    cut, why = _cut(done)
    size: Paper = "a4" if (paper or ("letter" if job.show == "us" else "a4")) == "a4" else "letter"
    drawn = drawings.draw(done, paper=size, revision=revision, date=date, cut=cut)
    own = [*([Warned("not-cut", why)] if why else []), *_told(drawn)]
    odd = sorted({c for c in f"{job.title}{revision}{date}" if ord(c) not in _LETTERED})
    if odd:
        text = (
            f"{len(odd)} characters of title, revision or date may show as boxes in the PDF: "
            f"its letters do not have them."
        )
        own.append(Warned("letters-missing", text))
    return SheetSet(done, drawn, tuple(own))


def drawn_files(done: SheetSet) -> dict[str, bytes]:
    """Every file: names and contents."""
    files: dict[str, bytes] = {}
    for sheet in done.sheets:
        files[f"{sheet.name}.svg"] = drawings.svg(sheet).encode("utf-8", "backslashreplace")
        files[f"{sheet.name}.dxf"] = drawings.dxf(sheet)
    return files | {"sheets.pdf": drawings.pdf(done.sheets)}


def demo_sheets() -> str:
    """Every sheet of the reading room on one picture, as an SVG document."""
    done = design.check(jobs.loads(example(DEMO)))
    return contact_sheet(drawings.draw(done, cut=_cut(done)[0]))


def _cut(done: Design) -> tuple[Cutting | None, str]:
    """The cut list, or why there is none."""
    built = done.built
    try:
        legs = legs_of(done.job, done.frame, done.tie, built)
        return shop.cut(done.job, done.tie, done.forces, legs=legs), ""
    except InputError as fault:
        first = fault.findings[0]
        text = f"No cut list, so no settings by leg: {first}"
        return None, text


def _told(drawn: tuple[Sheet, ...]) -> list[Warned]:
    """Texts that were cut short, and words without room, counted."""
    found = []
    cut = Counter(name for sheet in drawn for name in sheet.shortened)
    for name, count in sorted(cut.items()):
        text = f"{name} was too long and was cut short, marked by three dots, on {count} sheets."
        found.append(Warned("text-shortened", text))
    for sheet in drawn:
        if sheet.left_out:
            words = "; ".join(sheet.left_out[:4])
            text = f"{sheet.name}: {len(sheet.left_out)} words found no room: {words}."
            found.append(Warned("left-out", text))
    return found
