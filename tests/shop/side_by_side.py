"""The table of docs/theory/take-up.md section 5: ``python -m tests.shop.side_by_side``."""

from __future__ import annotations

import sys

from tests.shop.test_builds import BUILDS, RINGS, rings

__all__ = ["lines"]


def lines(seed: int = 11) -> list[str]:
    """One line of the table a ring."""
    found = []
    for name, body in RINGS:
        counts = (round(BUILDS * share) for share in rings(name, body, seed))
        found.append(f"| {name} | {body} | {' | '.join(map(str, counts))} |")
    return found


if __name__ == "__main__":
    sys.stdout.write("\n".join(lines()) + "\n")
