"""Which parts a check depends on: what may be changed when it does not pass."""

from __future__ import annotations

from typing import Final

__all__ = ["FOLLOW", "ORDER", "reads"]

ORDER: Final = ("ply", "rope", "ring_rope", "turnbuckle", "bolt", "shackle")
"""Parts that are sized, the dearest to change first."""

FOLLOW: Final = ("thimble", "sleeve")
"""Parts that go by the size of the rope."""

_LEGS: Final = frozenset({"rope", "ring_rope"})
_WOOD: Final = frozenset({"bolt", "ply"})
_EYES: Final = frozenset({"rope", "ring_rope", "turnbuckle", "bolt", "shackle"})
_ALL: Final = frozenset(ORDER)
_READS: Final[dict[str, frozenset[str]]] = {
    "rope-strength": frozenset({"rope"}),
    "eye-fit": _EYES,
    "eye-pin": frozenset({"rope", "turnbuckle", "bolt", "shackle"}),
    "ring-pull": frozenset({"ring_rope"}),
    "ring-bend": _LEGS,
    "ring-clearance": frozenset({"rope"}),
    # The bar of a ring and its plate are stated, not sized.
    "ring-welded": frozenset(),
    "hubplate-net": frozenset(),
    "hubplate-bearing": frozenset({"shackle"}),
    "hubplate-tearout": frozenset({"shackle"}),
    "turnbuckle-load": frozenset({"turnbuckle"}),
    "turnbuckle-thread": frozenset({"turnbuckle", "rope"}),
    "shackle-load": frozenset({"shackle"}),
    "bolt-yield": frozenset({"bolt", "rope", "ply", "shackle"}),
    "bolt-steel": frozenset({"bolt"}),
    "bolt-distances": _WOOD,
    "wood-splitting": _WOOD | {"rope", "shackle"},
    "wood-net": _WOOD,
    "rafter-hole": _WOOD,
    "ply-buckling": frozenset({"ply"}),
    "ply-blocks": frozenset({"ply"}),
    "plate-bending": frozenset(),
    "plate-joint": frozenset(),
    "hub-bearing": frozenset({"ply"}),
    "hub-shear": frozenset(),
    "hub-tension": frozenset(),
    "hub-drop": _LEGS | {"ply"},
    "holddown": frozenset(),
    "wall-spread": _LEGS | {"ply"},
    "ring-sag": _LEGS,
    "ring-shift": _LEGS,
    "leg-slack": _LEGS,
    # Parts are sized with all legs in place: what the loss of one asks is for an engineer to weigh.
    "leg-lost": frozenset(),
    "ring-lost": _LEGS,
    "unbalanced-snow": frozenset(),
}


def reads(check_id: str) -> frozenset[str]:
    """Give the parts whose size can make a check pass.

    Args:
        check_id: Id of the contract.

    Returns:
        Parts of ``ORDER``; all of them for a check that is not listed.

    >>> sorted(reads("ring-bend")), sorted(reads("hub-shear"))
    (['ring_rope', 'rope'], [])
    """
    if check_id.startswith("rafter-") and check_id not in _READS:
        return frozenset({"ply"})
    return _READS.get(check_id, _ALL)
