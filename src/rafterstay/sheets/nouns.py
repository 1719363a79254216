"""A sheet of drawings, and the paper it is drawn on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from rafterstay.sheets.scene import Scene

__all__ = ["PAPER", "Paper", "Sheet"]

Paper = Literal["letter", "a4"]

# On their side, width and height. [mm]
# Source: ANSI/ASME Y14.1 size A, 8.5 x 11 in; ISO 216 A4
PAPER: Final[dict[Paper, tuple[float, float]]] = {"letter": (279.4, 215.9), "a4": (297.0, 210.0)}


@dataclass(frozen=True)
class Sheet:
    """One sheet.

    Attributes:
        name: Fit for a file: ``01-plan``.
        title: What it shows, in capitals as lettered.
        scale: 1 to this; None where it is lettering or a diagram only.
        scene: What is drawn. [mm on paper]
        width_mm: Of the paper. [mm]
        height_mm: Of the paper. [mm]
        shortened: Names of the job's texts that were cut short on it, ended by three dots.
        left_out: Words and figures that found no room on it.
    """

    name: str
    title: str
    scale: float | None
    scene: Scene
    width_mm: float
    height_mm: float
    shortened: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
