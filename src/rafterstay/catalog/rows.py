"""What a catalogue row holds, in SI, with the place it was read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rafterstay.core.sources import Source

__all__ = [
    "Bolt",
    "Ply",
    "Rope",
    "Shackle",
    "Sleeve",
    "Species",
    "Steel",
    "Thimble",
    "Turnbuckle",
]


@dataclass(frozen=True)
class Rope:
    """A wire rope: ``<lay> <finish> <size>``, for example ``7x19 galvanized 1/4 in``."""

    name: str
    lay: str
    finish: str
    diameter: float  # [m]
    strength: float  # minimum breaking strength [N]
    mass: float  # per length [kg/m]
    stiffness: float  # EA, from the elastic-stretch factor [N]
    source: Source
    stiffness_source: Source


@dataclass(frozen=True)
class Turnbuckle:
    """``jaw-jaw 1/2 in x 6 in``: thread, and take-up between the stops."""

    name: str
    thread: float  # nominal thread diameter [m]
    threads_per_metre: float  # [1/m]
    take_up: float  # open length less closed length [m]
    closed: float  # pin to pin, screwed right in [m]
    working_load: float  # [N]
    mass: float  # [kg]
    jaw_opening: float | None  # clear width between the jaw's cheeks [m]
    pin: float | None  # jaw pin diameter [m]
    source: Source
    length_source: Source
    jaw_source: Source | None


@dataclass(frozen=True)
class Thimble:
    """``heavy 1/4 in``: the size is the rope it is made for."""

    name: str
    rope: float  # rope diameter [m]
    inside_length: float  # [m]
    inside_width: float  # largest pin that seats on the crown [m]
    overall_length: float  # [m]
    overall_width: float  # [m]
    thickness: float  # across the groove's lips: what a gap or jaw must pass [m]
    groove: float  # groove width [m]
    source: Source


@dataclass(frozen=True)
class Sleeve:
    """``copper oval 1/4 in``: the size is the rope it is made for."""

    name: str
    material: str  # copper | zinc-plated copper | aluminium
    rope: float  # [m]
    before: float  # length before pressing [m]
    after: float  # length after pressing [m]
    presses: int
    source: Source


@dataclass(frozen=True)
class Shackle:
    """``anchor 3/8 in``: the size is the bow's bar."""

    name: str
    bar: float  # [m]
    inside_width: float | None  # at the pin [m]
    working_load: float  # [N]
    source: Source
    pin: float | None = None  # diameter [m]
    inside_length: float | None = None  # clear, from the pin to the inside of the bow [m]
    mass: float | None = None  # with its pin [kg]
    shape_source: Source | None = None


@dataclass(frozen=True)
class Bolt:
    """``A307 5/8 in``."""

    name: str
    grade: str
    diameter: float  # [m]
    yield_bending: float  # Fyb [Pa]
    shear: float  # nominal shear stress, threads in the plane [Pa]
    source: Source
    shear_source: Source


@dataclass(frozen=True)
class Species:
    """Reference design values of one species, grade and depth of sawn lumber."""

    species: str
    grade: str
    fb: float  # bending [Pa]
    ft: float  # tension along the grain [Pa]
    fv: float  # shear [Pa]
    fc_perp: float  # compression across the grain [Pa]
    fc: float  # compression along the grain [Pa]
    e: float  # mean modulus [Pa]
    e_min: float  # modulus for stability [Pa]
    gravity: float  # specific gravity, oven dry [-]
    source: Source


@dataclass(frozen=True)
class Steel:
    """``ASTM A36``: what bar and plate of a ring are made of, to 1-1/2 in thick."""

    name: str
    yield_strength: float  # least Fy [Pa]
    tensile_strength: float  # least Fu [Pa]
    source: Source


@dataclass(frozen=True)
class Ply:
    """Dressed size of a nominal ``2x8``."""

    name: str
    thickness: float  # [m]
    depth: float  # [m]
    source: Source
