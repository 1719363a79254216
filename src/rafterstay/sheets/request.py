"""What a sheet is drawn from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from rafterstay.core.quantities import Dimension, Rounding, show
from rafterstay.roof.frame import Floats
from rafterstay.sheets.desk import Desk, Stamp
from rafterstay.sheets.nouns import Paper
from rafterstay.sheets.summary import Designed
from rafterstay.shop import Cutting

__all__ = ["Request"]


@dataclass(frozen=True)
class Request:
    """A design and how its sheets are wanted.

    Attributes:
        design: A finished design.
        paper: Letter or A4.
        stamp: For the title blocks.
        cut: Its cut list; None where legs are not cut.
    """

    design: Designed
    paper: Paper
    stamp: Stamp
    cut: Cutting | None

    def desk(
        self,
        title: str,
        scale: float | None,
        *,
        cautions: Sequence[int] = (1,),
        upright: bool = False,
        scale_words: str = "",
    ) -> Desk:
        """Open a sheet.

        Args:
            title: Of the sheet, in capitals.
            scale: 1 to this; None for a diagram. [-]
            cautions: Numbers of those its reader needs.
            upright: The paper stands.
            scale_words: The scale as the title block says it, where a number is not enough.

        Returns:
            The sheet, framed.
        """
        return Desk.open(
            title,
            scale,
            stamp=self.stamp,
            paper=self.paper,
            cautions=cautions,
            upright=upright,
            scale_words=scale_words,
        )

    def said(
        self, value: float, dimension: Dimension = "length", rounding: Rounding = "near"
    ) -> str:
        """A figure as the job shows it.

        Args:
            value: In SI. [SI]
            dimension: Of the figure.
            rounding: To which side.

        Returns:
            With its unit.
        """
        return show(value, dimension, self.design.job.show, rounding=rounding)

    def range(self, lengths: Floats) -> str:
        """The least and the largest of some lengths, one figure where both are lettered alike.

        Args:
            lengths: [m] (n,)

        Returns:
            With their unit.
        """
        least, most = (self.said(float(pick(lengths))) for pick in (np.min, np.max))
        return least if least == most else f"{least} to {most}"

    @property
    def is_measured(self) -> bool:
        """Whether the frame stands on surveyed points, no two hips alike."""
        frame = self.design.frame
        return frame.geometry == "measured" and frame.shape == "polygon"

    @property
    def datum(self) -> str:
        """What heights of the whole roof count from."""
        return "the mean of the feet" if self.is_measured else "the plate"

    @property
    def head_height(self) -> float:
        """Bearing centre of the heads above that. [m]"""
        frame = self.design.frame
        return float(frame.nodes[frame.heads, 2].mean())
