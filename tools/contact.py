"""Write the contact sheet of the demonstration's packet.

python tools/contact.py              write docs/pictures/packet-pages.png
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

__all__ = ["PICTURE", "contact_sheet", "demo_packet", "main"]

PICTURE = "docs/pictures/packet-pages.png"
_ROOT = Path(__file__).resolve().parent.parent
_SHEET = """
#set page(width: 400mm, height: auto, margin: 3mm, fill: rgb("#d4d4d4"))
#grid(
  columns: (1fr,) * int(sys.inputs.across), gutter: 2mm,
  ..range(1, int(sys.inputs.pages) + 1).map(k => box(
    fill: white, width: 100%, height: 62mm,
    align(center + horizon, image("bound.pdf", page: k, width: 100%, height: 62mm, fit: "contain")),
  )),
)
"""


def main() -> int:
    """Write the picture."""
    (_ROOT / PICTURE).write_bytes(contact_sheet(*demo_packet()))
    return 0


def demo_packet() -> tuple[bytes, int]:
    """The demonstration's packet and how many pages it has."""
    from rafterstay import job as jobs
    from rafterstay.cli.packet_parts import bound, carried
    from rafterstay.job.examples import DEMO, example

    made = bound(carried(jobs.loads(example(DEMO)), None), place=".")
    return made.pdf, made.pages


def contact_sheet(pdf: bytes, pages: int, *, across: int = 9, ppi: float = 58.0) -> bytes:
    """All pages of a document beside one another.

    Args:
        pdf: The document.
        pages: How many it has. [-]
        across: How many stand in a row. [-]
        ppi: Dots an inch of a sheet 400 mm wide. [1/in]

    Returns:
        A PNG; the same document gives the same bytes.
    """
    import typst

    with tempfile.TemporaryDirectory(prefix="rafterstay-") as folder:
        (Path(folder) / "bound.pdf").write_bytes(pdf)
        page = Path(folder) / "sheet.typ"
        page.write_text(_SHEET, encoding="utf-8")
        found = typst.compile(
            page,
            root=Path(folder),
            format="png",
            ppi=ppi,
            sys_inputs={"across": str(across), "pages": str(pages)},
            ignore_system_fonts=True,
        )
    return bytes(found)


if __name__ == "__main__":
    sys.exit(main())
