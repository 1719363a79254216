"""Parts that have no place in a permanent leg, and metals that do not last where they hang."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from rafterstay.core.errors import Finding

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

__all__ = ["stops"]

_PARTS: Final = ("rope", "ring_rope", "turnbuckle", "bolt", "thimble", "sleeve", "shackle")
_OF_ROPE: Final = ("rope", "ring_rope")
# Word in a part's name, what it must be instead, and why.
_BARRED: Final = (
    ("clip", "a pressed sleeve", "Clips loosen as a rope beds in: they serve for a trial only."),
    ("u-bolt", "a pressed sleeve", "Clips loosen as a rope beds in: they serve for a trial only."),
    ("hook", "closed: jaws, eyes or a shackle", "A hook lets go when a leg hangs slack."),
    ("open eye", "closed: jaws, eyes or a shackle", "An open eye straightens under load."),
    (
        "alumin",
        "copper: plain on galvanized rope, zinc-plated on stainless",
        "Aluminium sleeves are not for loads overhead, and stainless rope eats them.",
    ),
)


def stops(values: Mapping[str, Any]) -> Iterator[tuple[tuple[str, ...], Finding]]:
    """Every part that must not be used, with the reason.

    Args:
        values: Values in SI by dotted key; a key that is missing or unsound is left out.

    Yields:
        The path a finding is about, and the finding.

    Source: common practice for clips, hooks and aluminium sleeves; EN 1993-1-4 annex A for
        stainless steel in the air of indoor pools (from memory, 90 %)
    """
    for part in _PARTS:
        name = str(values.get(f"parts.{part}", ""))
        for word, bound, reason in _BARRED:
            if word in name.casefold():
                yield ("parts", part), Finding("IN-018", value=name, bound=bound, remedy=reason)
                break
    if values.get("site.pool") is not True:
        return
    for part in _OF_ROPE:
        name = str(values.get(f"parts.{part}", ""))
        if "stainless" in name.casefold():
            reason = "The air over a pool cracks stainless wire under pull without warning."
            finding = Finding("IN-019", value=name, bound="galvanized over a pool", remedy=reason)
            yield ("parts", part), finding
