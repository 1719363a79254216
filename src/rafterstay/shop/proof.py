"""How hard a finished leg is pulled to prove it, and against what."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from rafterstay.checks.practice.loss import SHACKLE_PROOF, TURNBUCKLE_PROOF

if TYPE_CHECKING:
    from rafterstay.catalog.rows import Shackle
    from rafterstay.checks.nouns import Check, Checks
    from rafterstay.statics.nouns import Forces
    from rafterstay.tie.nouns import Tie

__all__ = [
    "OF_SERVICE",
    "OF_STRENGTH",
    "SHACKLE_PROOF",
    "TURNBUCKLE_PROOF",
    "Cap",
    "ProofPull",
    "proof_pull",
    "pull_allowed",
]

OF_SERVICE: Final = 1.25  # [-] of the largest service pull: common practice, no source
OF_STRENGTH: Final = 0.60  # [-] of breaking strength never passed: common practice, no source

_CONNECTION: Final = ("bolt-yield", "bolt-steel", "wood-splitting", "wood-net")


@dataclass(frozen=True)
class Cap:
    """What a proof pull must not pass.

    Attributes:
        what: In words.
        pull: [N]
        against_roof: It counts only when the leg is pulled where it hangs.
        referred: The check it comes from is for an engineer to decide.
    """

    what: str
    pull: float
    against_roof: bool
    referred: bool = False


@dataclass(frozen=True)
class ProofPull:
    """The range of a proof pull.

    Attributes:
        service: Largest pull of any leg in service. [N]
        least: 1.25 times that. [N]
        caps: What must not be passed.
        bench: Most on a bench. [N]
        roof: Most against the roof. [N]
        where: ``roof`` where a range is left there, ``bench`` where only the eye alone can be
            proved or an engineer has not decided on the connection, ``none`` where not even
            that: the parts are too light.
    """

    service: float
    least: float
    caps: tuple[Cap, ...]
    bench: float
    roof: float

    @property
    def undecided(self) -> bool:
        """Only a connection that an engineer has to decide on stands against the roof."""
        return self.least <= self.roof and self.where == "bench"

    @property
    def where(self) -> str:
        """Where a proof pull can be made."""
        if self.least <= self.roof and not any(cap.referred for cap in self.caps):
            return "roof"
        return "bench" if self.least <= self.bench else "none"


def pull_allowed(check: Check, forces: Forces, service: float) -> float | None:
    """Pull of a leg at which a part is used up: it may be asked a share of it only.

    Args:
        check: Of that part.
        forces: Every state in service.
        service: Largest pull of any leg in them, for a check that names no state. [N]

    Returns:
        [N]; None where the check has no capacity or nothing is asked.
    """
    if check.capacity is None or check.demand <= 0:
        return None
    rows = [row for row, state in enumerate(forces.states) if state.id == check.combination]
    pull = service
    if rows and check.leg is not None:
        pull = float(forces.leg_pull[rows, check.leg - 1].max())
    return pull * check.capacity / check.demand


def proof_pull(
    tie: Tie, forces: Forces, checks: Checks, *, shackle: Shackle | None = None
) -> ProofPull:
    """Range of the proof pull of a leg.

    Args:
        tie: Its rope and turnbuckle.
        forces: Every state in service.
        checks: Where the connection's allowable pulls are found.
        shackle: Between bolt and eye; None where there is none.

    Returns:
        The range: from 1.25 times the largest service pull to the least of the caps.

    Source: docs/shop.md, proof pull
    """
    service = float(forces.leg_pull.max())
    caps = [
        Cap(
            f"0.60 of the breaking strength of {tie.rope.name}",
            OF_STRENGTH * tie.rope.strength,
            against_roof=False,
        ),
        Cap(
            f"proof load of turnbuckle {tie.turnbuckle.name}",
            TURNBUCKLE_PROOF * tie.turnbuckle.working_load,
            against_roof=False,
        ),
    ]
    if shackle is not None:
        most = SHACKLE_PROOF * shackle.working_load
        caps.append(Cap(f"proof load of shackle {shackle.name}", most, against_roof=False))
    caps += [
        Cap(
            f"allowable of the connection, {check.id}",
            allowed,
            against_roof=True,
            referred=check.status == "refer",
        )
        for check in checks.checks
        if check.id in _CONNECTION and (allowed := pull_allowed(check, forces, service)) is not None
    ]
    return ProofPull(
        service=service,
        least=OF_SERVICE * service,
        caps=tuple(caps),
        bench=min(cap.pull for cap in caps if not cap.against_roof),
        roof=min(cap.pull for cap in caps),
    )
