"""Can I close this tool by hand? An estimate with its range, and the safer ways."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal

from rafterstay.core.quantities import parse, show
from rafterstay.core.tables import table

if TYPE_CHECKING:
    from rafterstay.catalog.rows import Rope, Sleeve
    from rafterstay.core.quantities import System
    from rafterstay.core.sources import Source
    from rafterstay.tie.nouns import Tie

__all__ = [
    "BENCH_FROM",
    "TABLES",
    "Effort",
    "Tool",
    "bench_said",
    "cutting_force",
    "efforts",
    "is_for_bench",
    "pressing_force",
    "tools",
]

TABLES: Final = Path(__file__).parent / "tables"

BENCH_FROM: Final = parse("3/8 in", "length")
"""Copper sleeves on rope of this size and above are not for a hand swager: common practice, no
source. [m]"""

# All common practice, no source; the range is meant to be wide enough to hold the truth.
_FLOW: Final = (220e6, 350e6)  # [Pa] copper from soft to worked hard
_CONFINED: Final = (1.0, 1.5)  # [-] more, as the die closes round the sleeve
_ACROSS: Final = 2.2  # [-] rope diameters that the die bears on across the sleeve
_SHEARED: Final = (0.5, 0.8)  # [-] of breaking strength, to shear a rope through

Verdict = Literal["by hand", "perhaps", "no"]
Work = Literal["press", "cut"]


@dataclass(frozen=True)
class Tool:
    """A way of closing jaws.

    Attributes:
        name: In words.
        work: ``press`` sleeves or ``cut`` rope.
        leverage: Least and most force at the jaws over force at the handles. [-]
        limit: What a person can put on the handles, steadily. [N]
        how: Which part of the body, or which other tool.
        risky: It may pass what the tool is made for.
        caution: What to mind.
        source: Where the figures come from.
    """

    name: str
    work: Work
    leverage: tuple[float, float]
    limit: float
    how: str
    risky: bool
    caution: str
    source: Source


@dataclass(frozen=True)
class Effort:
    """What a tool asks of a person on this rope.

    Attributes:
        tool: The tool.
        jaws: Least and most force that closes the jaws. [N]
        handles: Least and most force at the handles. [N]
        verdict: ``by hand`` where even the most is under the limit, ``no`` where even the least
            is over it, or where the sleeve is not for a hand swager.
    """

    tool: Tool
    jaws: tuple[float, float]
    handles: tuple[float, float]
    verdict: Verdict


def pressing_force(rope_diameter: float, sleeve: Sleeve) -> tuple[float, float]:
    """Force that closes one press of a copper sleeve.

    Args:
        rope_diameter: [m]
        sleeve: Its length and number of presses give the width of one press.

    Returns:
        Least and most: flow stress x confinement x area under the die. [N]

    Source: docs/shop.md eq. 1, common practice
    """
    area = _ACROSS * rope_diameter * sleeve.before / sleeve.presses
    return _FLOW[0] * _CONFINED[0] * area, _FLOW[1] * _CONFINED[1] * area


def cutting_force(rope: Rope) -> tuple[float, float]:
    """Force that shears a rope through.

    Args:
        rope: The rope.

    Returns:
        Least and most: a share of its breaking strength. [N]

    Source: docs/shop.md eq. 2, common practice
    """
    return _SHEARED[0] * rope.strength, _SHEARED[1] * rope.strength


def tools() -> tuple[Tool, ...]:
    """Ways of closing jaws, the lightest first."""
    return tuple(
        Tool(
            name=row.printed["tool"],
            work="cut" if row.printed["work"] == "cut" else "press",
            leverage=(row.values["least"], row.values["most"]),
            limit=row.values["limit"],
            how=row.printed["how"],
            risky=row.printed["risky"] == "yes",
            caution=row.printed["caution"],
            source=row.source,
        )
        for row in table(TABLES, "tools")
    )


def efforts(rope: Rope, sleeve: Sleeve) -> tuple[Effort, ...]:
    """Every tool on this rope.

    Args:
        rope: The rope to cut.
        sleeve: The sleeve to press on it.

    Returns:
        One answer a tool, in the order of the table.
    """
    jaws = {"press": pressing_force(rope.diameter, sleeve), "cut": cutting_force(rope)}
    bench = is_for_bench(rope.diameter)
    return tuple(
        _effort(tool, jaws[tool.work], refused=bench and _is_hand_swager(tool)) for tool in tools()
    )


def is_for_bench(rope_diameter: float) -> bool:
    """Whether a copper sleeve is pressed on a bench or hydraulic press, never by a hand swager.

    Args:
        rope_diameter: Of the rope it goes on. [m]

    Returns:
        True from 3/8 in.

    Source: common practice, no source

    >>> is_for_bench(0.375 * 0.0254), is_for_bench(0.3125 * 0.0254)
    (True, False)
    """
    return rope_diameter >= BENCH_FROM * (1 - 1e-6)


def bench_said(tie: Tie, system: System) -> str:
    """Which sleeves are not for a hand swager, and whether any of a tie is.

    Args:
        tie: Its ropes.
        system: Units of the answer.

    Returns:
        Two sentences, with the status of their source.
    """
    ropes = {"legs": tie.rope}
    if tie.layout == "ring" and tie.body is None:
        ropes["ring"] = tie.ring_rope
    large = [name for name, rope in ropes.items() if is_for_bench(rope.diameter)]
    those = f"Those of the {' and of the '.join(large)} are." if large else "None here is."
    return (
        f"Copper sleeves on rope of {show(BENCH_FROM, 'length', system)} and above are pressed on "
        f"a bench or hydraulic press, not with a hand swager: common practice, no source. {those}"
    )


def _is_hand_swager(tool: Tool) -> bool:
    return tool.work == "press" and tool.how == "both arms"


def _effort(tool: Tool, jaws: tuple[float, float], *, refused: bool) -> Effort:
    handles = jaws[0] / tool.leverage[1], jaws[1] / tool.leverage[0]
    verdict: Verdict = "perhaps"
    if handles[1] <= tool.limit:
        verdict = "by hand"
    elif handles[0] > tool.limit:
        verdict = "no"
    if refused:
        verdict = "no"
    return Effort(tool, jaws, handles, verdict)
