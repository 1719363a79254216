"""Packets bound in this process, and their text as another program reads it."""

from __future__ import annotations

import io
import re
import subprocess
from functools import cache
from typing import Any

from pypdf import PdfReader

from rafterstay import design, packet
from rafterstay.design import Design
from rafterstay.packet import Packet
from tests.statics.roofs import stated

__all__ = ["designed", "made", "pages_of", "squashed", "text_of"]

SOFT = "\u200b"


@cache
def designed(name: str = "reading-room") -> Design:
    """A roof kept beside the tests, or an example, carried to its verdict."""
    return design.check(stated(name))


def made(done: Design, **asked: Any) -> Packet:
    return packet.bind(done, **asked)


def text_of(pdf: bytes, *how: str) -> str:
    """All text, as poppler finds it: in reading order, or ``-raw``, as it was written."""
    done = subprocess.run(
        ["pdftotext", *how, "-enc", "UTF-8", "-", "-"],
        input=pdf,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        check=True,
    )
    return done.stdout.decode()


def squashed(text: str) -> str:
    """Text without blanks and line ends: a table cell folds where it likes."""
    return re.sub(r"\s", "", text.replace(SOFT, ""))


def pages_of(pdf: bytes) -> list[str]:
    """Text of every page."""
    return text_of(pdf).removesuffix("\f").split("\f")


def reader(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))
