"""Between which pulls the legs may be set, in words and as part of a document."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from rafterstay.cli.report import printable_lines, wrapped
from rafterstay.core.quantities import System, show

if TYPE_CHECKING:
    from rafterstay.sizing import Band

__all__ = ["band_document", "band_text"]

_SAID: Final = {
    "snug": "snug",
    "hub-prop": "the hub prop",
    "walls-drawn-in": "the walls",
}


def band_document(band: Band) -> dict[str, Any]:
    """The band as the contract has it; ``told`` is what a reader must know beside it."""
    return {
        "status": band.status,
        "low_N": band.low,
        "high_N": band.high,
        "low_because": f"{band.low_because}: {band.low_why}",
        "high_because": f"{band.high_because}: {band.high_why}",
        "told": list(band.told),
    }


def band_text(band: Band, target: float, system: System) -> str:
    """The band and where in it the legs are set.

    Args:
        band: Between which pulls.
        target: Mean pull the legs are set to. [N]
        system: ``us`` or ``si``.

    Returns:
        Text of at most 80 columns a line.
    """
    low = "no pull is enough" if band.low is None else show(band.low, "force", system)
    high = "any is too much" if band.high is None else show(band.high, "force", system)
    said = [f"least {low}, most {high}; checked here at {show(target, 'force', system)}."]
    if band.status == "none":
        said = [f"NONE: the least and the most cross. {said[0][0].upper()}{said[0][1:]}"]
    elif not (band.low or 0.0) <= target <= (band.high or 0.0):
        said.append("The target lies outside the band.")
    lines = [
        wrapped(f"Set the legs between: {' '.join(said)}"),
        wrapped(f"least, by {_by(band.low_because)}: {band.low_why}", first="- ", rest="  "),
        wrapped(f"most, by {_by(band.high_because)}: {band.high_why}", first="- ", rest="  "),
        *(wrapped(told, first="- ", rest="  ") for told in band.told),
    ]
    return f"Pretension\n{printable_lines(lines)}"


def _by(because: str) -> str:
    return _SAID.get(because, because)
