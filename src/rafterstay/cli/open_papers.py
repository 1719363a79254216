"""What the page can have made of a job: the packet and the sheets, as the commands make them."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path
from typing import Final

from rafterstay.web.papers import Paper, Papers

__all__ = ["papers"]

_PDF: Final = "application/pdf"
_STAMP: Final = (1980, 1, 1, 0, 0, 0)  # the least a zip can say: same job, same bytes


def papers() -> Papers:
    """Every paper by its word in addresses."""
    return {
        "packet": Paper("packet.pdf", "Packet for the building official", 20, _PDF, _packet),
        "sheets": Paper("sheets.pdf", "Sheets to build by, on paper", 10, _PDF, _sheets),
        "drawings": Paper("sheets.zip", "Sheets as SVG and DXF", 10, "application/zip", _drawings),
    }


def _packet(folder: Path) -> bytes:
    from rafterstay import job as jobs
    from rafterstay.cli.packet_parts import bound, carried

    stated = jobs.load(folder)
    return bound(
        carried(stated, None), place=str(folder), paper="letter" if stated.show == "us" else "a4"
    ).pdf


def _sheets(folder: Path) -> bytes:
    return _drawn(folder)["sheets.pdf"]


def _drawings(folder: Path) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in sorted(_drawn(folder).items()):
            if not name.endswith(".pdf"):
                archive.writestr(zipfile.ZipInfo(name, _STAMP), content)
    return made.getvalue()


def _drawn(folder: Path) -> dict[str, bytes]:
    from rafterstay.cli.sheet_set import drawn_files, sheet_set

    done = sheet_set(str(folder), survey=None, paper=None, revision="", date="")
    return dict(drawn_files(done))
