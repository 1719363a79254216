"""Which cases decide: the few a first look has to solve."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rafterstay.sizing.nouns import Carried

__all__ = ["deciding"]


def deciding(found: Carried) -> frozenset[str]:
    """Give the ids of the cases that decide any check, and of the load the legs are set under.

    A first look at these only can find less than a whole check finds, never more: what fails
    there fails.

    Args:
        found: A job carried to a whole check.

    Returns:
        Ids of cases, without bound and climate.

    Source: docs/sizing.md
    """
    named = {"/".join(check.combination.split("/")[:2]) for check in found.checks.checks}
    return frozenset(named - {""} | {found.cases.setting.id})
