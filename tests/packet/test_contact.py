"""The contact sheet in the docs shows every page of the demonstration's packet."""

from __future__ import annotations

import struct

from tests.contract.tree import ROOT
from tools.contact import PICTURE, contact_sheet, demo_packet


def size(png: bytes) -> tuple[int, int]:
    """Width and height of a PNG; its specification, 11.2.2 IHDR."""
    assert png[:8] == b"\x89PNG\r\n\x1a\n"
    assert png[12:16] == b"IHDR"
    found: tuple[int, int] = struct.unpack(">II", png[16:24])
    return found


def test_every_page_stands_on_it() -> None:
    pdf, pages = demo_packet()
    made = contact_sheet(pdf, pages)
    assert made == contact_sheet(pdf, pages)
    width, height = size(made)
    assert width == round(400 / 25.4 * 58)
    rows = -(-pages // 9)
    assert abs(height - (rows * 64 + 4) / 25.4 * 58) < 3
    fewer = contact_sheet(pdf, pages - 9)
    assert size(fewer)[1] < height - 100


def test_the_page_on_packets_shows_it() -> None:
    kept = (ROOT / PICTURE).read_bytes()
    assert len(kept) < 400_000
    assert size(kept)[0] == 913
    assert "(pictures/packet-pages.png)" in (ROOT / "docs" / "packet.md").read_text("utf-8")
