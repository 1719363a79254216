"""In which weather, and how dry, the combinations are run."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from rafterstay.core.sources import Source
from rafterstay.loads.nouns import SET, Climate

if TYPE_CHECKING:
    from rafterstay.job.building import Loads

__all__ = ["TIMBER", "TIMBER_EXPANSION", "climates"]

TIMBER: Final = Source(
    "Wood Handbook FPL-GTR-190", "2010", "chapter 4, expansion along the grain", "memory", 92
)
TIMBER_EXPANSION: Final = 3.8e-6  # middle of 3.1e-6 to 4.5e-6 [1/K]
SAME = 1e-6  # two ways to write one temperature differ by a rounding [K]


def climates(loads: Loads) -> tuple[Climate, ...]:
    """Give the climates a job asks for.

    Strength is judged as set and at the coldest; the least pull of every leg at the warmest,
    when the timber has dried and the new rope has bedded in.

    Args:
        loads: Temperatures and drying.

    Returns:
        ``set``; ``cold`` where it gets colder; ``dry`` where timber dries, else ``warm`` where
        it gets warmer. ``dry`` is at the warmest too.
    """
    found = [SET]
    cooling = loads.coldest - loads.set_temperature
    if cooling < -SAME:
        found.append(
            Climate("cold", cooling, 0.0, bedded=False, with_snow=True, answers="strength")
        )
    warming = max(loads.warmest - loads.set_temperature, 0.0)
    if warming > SAME or loads.drying > 0:
        name = "dry" if loads.drying > 0 else "warm"
        found.append(
            Climate(name, warming, loads.drying, bedded=True, with_snow=False, answers="least pull")
        )
    return tuple(found)
