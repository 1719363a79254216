"""The tie under the six heads of the alternative-methods clause, and what was assumed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Final

from rafterstay.core.quantities import show
from rafterstay.packet.nouns import Block, Column, Page, Told, blanks, heading, listed, para, ruled
from rafterstay.packet.opening import duty_said
from rafterstay.sheets.summary import Designed, asks_and_gives, share

if TYPE_CHECKING:
    from rafterstay.core.sources import Source
    from rafterstay.packet.literal import Words

__all__ = ["assumptions_page", "heads_page"]

_MODEL: Final = (
    "Hips are straight elastic beams, free of moment at the feet.",
    "Feet: held up and down and along the wall; outwards free where walls give no help.",
    "The mean plan movement of all feet is held: the walls are braced against racking.",
    "Ropes only pull. Pulls are those on the roof as it stands displaced (second order).",
    "Loads stay over a hip's straight line: with a sag of L/180, pulls are about 1 % larger.",
    "For strength, dead load is always on the tie.",
    "Dead load is per area of the sloping plane, snow per area on plan.",
)


def heads_page(design: Designed) -> Page:
    """Quality, strength, effectiveness, fire resistance, durability, safety."""
    blocks: list[Block] = [
        para("The six heads of the alternative-methods clause", "title"),
        para(
            "The code lets the building official approve another material or method where it is at "
            "least the equivalent of what is prescribed, in the six heads below (IRC R104.11, from "
            "memory, 90 %; the words are ours). What each head rests on stands in this packet."
        ),
    ]
    for name, said in _heads(design):
        blocks += [heading(name), *said]
    blocks += [
        heading("For the official"),
        blanks(["Accepted / not accepted", "Conditions", "Name", "Date"]),
    ]
    return Page(tuple(blocks))


def _heads(design: Designed) -> Iterable[tuple[str, list[Block]]]:
    site, checks = design.job.site, design.checks
    yield (
        "1. Quality",
        [
            para(
                "Every part is made to a standard and marked or certified (Parts and the standards "
                "they must meet). Every sleeve is pressed by rule, gauged and logged; a test eye "
                "of each reel and tool is pulled (Press log). Legs are proved (Proof pull)."
            )
        ],
    )
    worst = [c for c in checks.checks if c.decides and c.utilisation is not None][:3]
    said = "; ".join(
        f"{c.id} asks {asks_and_gives(c, design.job.show)[0]} of "
        f"{asks_and_gives(c, design.job.show)[1]}, {share(c.utilisation or 0.0)}"
        for c in worst
    )
    yield (
        "2. Strength",
        [
            para(
                "Each part is set against its clause in every combination and direction (Every "
                f"check, with its working). Fullest: {said}."
            )
        ],
    )
    spread = next((c for c in checks.checks if c.id == "wall-spread"), None)
    moved = ""
    if spread is not None:
        asked, given = asks_and_gives(spread, design.job.show)
        moved = f" The feet move out by {asked}; the job allows {given}."
    yield "3. Effectiveness", [para(f"{duty_said(design)}{moved}")]
    yield (
        "4. Fire resistance",
        [
            para(
                "Bare steel has no fire rating. Where the roof must be rated, or a ceiling stands "
                "in for a rating, the tie needs a cover or an approval of its own. None is claimed "
                "here."
            )
        ],
    )
    wet = "wet service" if site.wet_service else "dry service, indoors"
    pool = " over a pool" if site.pool else ""
    treated = {
        "none": "untreated timber",
        "copper": "timber treated with copper",
    }.get(site.timber_treatment, "treated timber, its treatment not named")
    yield (
        "5. Durability",
        [
            para(
                f"Stated: {wet}{pool}; {treated}. Ropes {design.tie.rope.finish}. No heat on rope; "
                "stainless not over a pool; zinc kept off timber treated with copper. Eyes and "
                "sleeves stay open to view and are looked at (Upkeep)."
            )
        ],
    )
    one_point = "The ring is one point: losing it drops all legs (ring-lost). "
    yield (
        "6. Safety",
        [
            para(
                "The hub prop stays until every leg is pinned, tensioned, locked and recorded. "
                f"{one_point if design.tie.layout == 'ring' else ''}{_when_lost(design)} A placard "
                "tells what must not be done (Placard), a record what was (Tension record)."
            )
        ],
    )


def _when_lost(design: Designed) -> str:
    """What the loss of one leg asks, in a sentence."""
    found = next((check for check in design.checks.checks if check.id == "leg-lost"), None)
    if found is None:
        return "What the loss of a part does is not checked here (Scope)."
    said = {
        "passes": "what is left holds, this once",
        "refer": "an engineer must decide what that means",
    }
    return f"With one leg gone, {said[found.status]} (leg-lost)."


def assumptions_page(design: Designed, told: Sequence[Told], words: Words) -> Page:
    """Every default and every value from memory, on one page for an engineer."""
    job = design.job
    defaults = [(one.key, words.literal(one.value, one.key), one.why) for one in job.assumed]
    memory = _from("memory", design)
    custom = _from("common practice", design)
    blocks: list[Block] = [
        para("Assumptions, on one page for the engineer", "title"),
        heading("Defaults: the job does not say, this was taken"),
    ]
    if defaults:
        columns = [Column("Key"), Column("Taken", width=0.6), Column("Because", width=1.6)]
        blocks.append(ruled(columns, defaults, size=0.84))
    else:
        blocks.append(para("None: every key was stated."))
    blocks += [
        heading("Values from memory, to be looked up"),
        listed(memory or ["None."], size=0.84),
        heading("Common practice, no source"),
        listed(custom or ["None."], size=0.84),
        heading("Model"),
        listed(_MODEL, size=0.84),
        heading("Not covered, and to know"),
        listed((one.text for one in told if one.code not in ("from-memory", "blunder")), size=0.84),
        para(
            f"Limits of movement, set by the job: spread "
            f"{show(job.limits.spread, 'length', job.show)}, ring sag "
            f"{show(job.limits.ring_sag, 'length', job.show)}, ring shift "
            f"{show(job.limits.ring_shift, 'length', job.show)}.",
            "small",
        ),
        blanks(["Engineer", "Licence", "Signature", "Date"], gap=6.0),
    ]
    return Page(tuple(blocks), held=True)


def _from(obtained: str, design: Designed) -> list[str]:
    """Sources obtained so, once each, with the checks that use them."""
    used: dict[str, list[str]] = {}
    for check in design.checks.checks:
        for source in check.sources:
            if source.obtained == obtained:
                used.setdefault(_named(source), []).append(check.id)
    loads = [*design.cases.sources, *(case.source for case in design.cases.cases)]
    for source in loads:
        if source.obtained == obtained:
            used.setdefault(_named(source), []).append("loads")
    return [f"{name}: {', '.join(dict.fromkeys(by))}" for name, by in used.items()]


def _named(source: Source) -> str:
    return str(source)
