"""Which parts a check depends on: what may be changed when it does not pass."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from rafterstay.checks.nouns import Check, Status

__all__ = ["BESIDES", "FOLLOW", "ORDER", "reads", "share_of", "status_of", "thicker_is_worse"]

ORDER: Final = (
    "ply",
    "rope",
    "ring_rope",
    "turnbuckle",
    "bolt",
    "shackle",
    "ring_bar",
    "plate_thickness",
)
"""Parts that are sized, the dearest to change first: of a steel ring there is one piece only."""

FOLLOW: Final = ("thimble", "sleeve")
"""Parts that go by the size of the rope."""

_MADE_OF: Final = {
    "welded": frozenset({"ring_bar"}),
    # A larger shackle has larger holes, nearer to the middle.
    "plate": frozenset({"plate_thickness", "shackle"}),
}
"""What a ring of steel has in place of its rope."""

_ITS_RING: Final = frozenset({"eye-fit", "ring-sag", "ring-lost", "leg-lost"})
"""Checks in which a ring of steel counts as its rope would."""

_THICKER_IS_WORSE: Final = frozenset({"eye-fit", "ring-sag"})
"""It goes through less, and it weighs more."""

_SHARES: Final = ("o_ring_welded", "o_hubplate_")
"""Lines of ``leg-lost`` that say what it asks of a ring of steel."""

_LEGS: Final = frozenset({"rope", "ring_rope"})
_PLATE: Final = _MADE_OF["plate"]
_WOOD: Final = frozenset({"bolt", "ply"})
_EYES: Final = frozenset({"rope", "ring_rope", "turnbuckle", "bolt", "shackle"})
_ALL: Final = frozenset(ORDER)
_READS: Final[dict[str, frozenset[str]]] = {
    "rope-strength": frozenset({"rope"}),
    "eye-fit": _EYES,
    "eye-pin": frozenset({"rope", "turnbuckle", "bolt", "shackle", "ring_bar"}),
    "ring-pull": frozenset({"ring_rope"}),
    "ring-bend": _LEGS,
    "ring-clearance": frozenset({"rope"}),
    "ring-welded": _MADE_OF["welded"],
    "hubplate-net": _PLATE,
    "hubplate-bearing": _PLATE,
    "hubplate-tearout": _PLATE,
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
    # A ring of steel is bent hardest then, and is sized for its own share of it: see `status_of`.
    "leg-lost": frozenset(),
    "ring-lost": _LEGS,
    "unbalanced-snow": frozenset(),
}


BESIDES: Final[dict[str, frozenset[str]]] = {
    check_id: frozenset({"turnbuckle"})
    for check_id in ("hub-drop", "ring-sag", "ring-shift", "wall-spread")
}
"""What a check depends on less: a long turnbuckle stretches less than rope, a small one weighs
less. It is looked at before such a check is given up."""


def reads(check_id: str, ring: str = "") -> frozenset[str]:
    """Give the parts whose size can make a check pass.

    The weight of a steel ring moves every pull a little. It counts in each trial, but a heavier
    or lighter ring is a remedy for its own sag only.

    Args:
        check_id: Id of the contract.
        ring: Kind of the job's ring; empty where it has none.

    Returns:
        Parts of ``ORDER``; all of them for a check that is not listed.

    >>> sorted(reads("ring-bend")), sorted(reads("hub-shear"))
    (['ring_rope', 'rope'], [])
    >>> sorted(reads("ring-sag", "welded"))
    ['ring_bar', 'rope']
    """
    if check_id.startswith("rafter-") and check_id not in _READS:
        return frozenset({"ply"})
    parts = _READS.get(check_id, _ALL)
    if ring not in _MADE_OF or check_id not in _ITS_RING:
        return parts
    # A rope that is cut is as strong as its bend over the legs' eyes leaves it; steel is not.
    others = frozenset({"ring_rope", "rope"} if check_id == "ring-lost" else {"ring_rope"})
    return (parts - others) | _MADE_OF[ring]


def share_of(check: Check) -> float | None:
    """How full a check is as far as sizes are asked to make it pass.

    Args:
        check: Of a trial.

    Returns:
        Its utilisation; of ``leg-lost`` that of a steel ring alone, None where there is none:
        everything else it looks at is left to an engineer. [-]
    """
    if check.id != "leg-lost":
        return check.utilisation
    shares = (line.value for line in check.working if line.symbol.startswith(_SHARES))
    return max(shares, default=None)


def status_of(check: Check) -> Status:
    """What a check gives as far as sizes are asked to make it pass.

    Args:
        check: Of a trial.
    """
    return "passes" if check.id == "leg-lost" and (share_of(check) or 0.0) <= 1.0 else check.status


def thicker_is_worse(check_id: str, part: str) -> bool:
    """Whether a check that does not pass passes still less with a thicker bar or plate.

    Args:
        check_id: Id of the contract.
        part: Of ``ORDER``.
    """
    return check_id in _THICKER_IS_WORSE and part in {"ring_bar", "plate_thickness"}
