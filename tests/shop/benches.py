"""Awkward roofs to cut legs for: unequal legs, odd sizes, both units."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from rafterstay import design
from rafterstay.design import Design
from rafterstay.shop.measured import as_drawn
from rafterstay.shop.nouns import Legs
from tests.statics.roofs import Value, stated
from tests.tie.rings import plated, welded

__all__ = ["INCH", "LAYOUTS", "LBF", "designed", "unequal", "uneven"]

INCH = 0.0254  # [m]
LBF = 4.4482216152605  # [N]

SEVEN: dict[str, Value] = {
    "job__show": "si",
    "roof__sides": 7,
    "roof__plate_radius": "11'-7 3/8\"",
    "roof__rise": "5'-5\"",
    "loads__dead": "12 psf",
    "loads__drying": "0 in",
    "tie__height": "1/5",
    "tie__ring_radius": "7 1/4 in",
    "parts__rope": "7x19 galvanized 5/16 in",
    "parts__ring_rope": "7x19 galvanized 5/16 in",
    "parts__thimble": "heavy 5/16 in",
    "parts__sleeve": "copper oval 5/16 in",
    "parts__bolt": "A307 3/4 in",
    "pretension__target": "60 lb",
}

# A band of six unlike nothing else; four ties over one middle in mm; seven tied pairs of a gable.
BAND: dict[str, Value] = {"roof__plate_radius": "10'-5 3/8\"", "parts__bolt": "A307 5/8 in"}
CROSS: dict[str, Value] = {
    "job__show": "si",
    "roof__plate_radius": "9'-3 5/8\"",
    "tie__height": "0.31",
}
GABLE: dict[str, Value] = {
    "roof__span": "20'-7 1/2\"",
    "roof__length": "25 ft",
    "tie__height": "0.29",
}
LAYOUTS = (
    *("octagon", "seven", "reading-room", "band", "cross", "gable", "sliding"),
    *("welded", "plate"),
)


# A welded ring in mm on odd legs; a plate under shackles, whose ring must be wide for its holes.
WELDED: dict[str, Value] = {
    **{key: value for key, value in SEVEN.items() if key != "parts__ring_rope"},
    "tie__ring_bar": "17 mm",
    "tie__ring_weld": "complete-penetration",
}
PLATE: dict[str, Value] = {
    "roof__plate_radius": "11'-2 1/8\"",
    "tie__height": "0.17",
    "tie__ring_radius": "7 3/8 in",
    "rafter__gap": "1 1/2 in",
}


@cache
def designed(name: str) -> Design:
    """One of ``LAYOUTS``; ``seven`` has seven sides, pretension and both ropes alike."""
    varied = {
        "seven": ("octagon", SEVEN),
        "sliding": ("octagon", SEVEN | {"tie__ring": "rope-sliding"}),
        "band": ("bandstand", BAND),
        "cross": ("pavilion", CROSS),
        "gable": ("gable-workshop", GABLE),
    }
    if name in {"welded", "plate"}:
        made = welded(**WELDED) if name == "welded" else plated(**PLATE)
        return design.check(made)
    source, changes = varied.get(name, (name, {}))
    return design.check(stated(source, **changes))


def unequal(name: str) -> Legs:
    """Surveyed legs of one of ``LAYOUTS``, no two alike."""
    done = designed(name)
    drawn = as_drawn(done.tie, done.job.roof)
    about = float(sum(drawn.distances)) / len(drawn.distances)
    return replace(uneven(len(drawn.distances), about), typical=drawn.typical)


def uneven(n: int, about: float) -> Legs:
    """Surveyed legs, no two alike. [m]"""
    off = [0.0317, -0.0411, 0.0093, 0.0221, -0.0187, -0.0029, 0.0388, -0.0302, 0.0154, -0.0078]
    sigmas = [0.0011, 0.0016, 0.0013, 0.0021, 0.0012, 0.0018, 0.0014, 0.0015, 0.0017, 0.0019]
    return Legs(tuple(about + d for d in off[:n]), tuple(sigmas[:n]), measured=True)
