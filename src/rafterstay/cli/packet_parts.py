"""What a packet is bound from: the design, its cut list, and what the job folder keeps."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Literal

from rafterstay import design, packet, roof, shop
from rafterstay.cli.survey_frame import read_frame
from rafterstay.cli.warnings import warnings_of
from rafterstay.core.errors import InputError
from rafterstay.packet import Packet, Shop, Site, Told
from rafterstay.shop.allowances import making_of
from rafterstay.shop.buying import shopping
from rafterstay.shop.hung import shackle_of
from rafterstay.shop.measured import legs_of
from rafterstay.shop.press_log import from_log, pulled_in, readiness, ring_missing
from rafterstay.shop.proof import proof_pull
from rafterstay.shop.pull_file import pull_from_log
from rafterstay.shop.ring_rope import ring_sleeve

if TYPE_CHECKING:
    from rafterstay.design import Design
    from rafterstay.job import Job

__all__ = ["bound", "carried", "site_of"]


def carried(job: Job, readings: Path | None) -> Design:
    """Carry a job to its verdict, on the frame as it stands where there are readings.

    Args:
        job: What the user states.
        readings: Readings file.

    Returns:
        The finished design.

    Raises:
        InputError: The job or the readings cannot be used.
    """
    built = read_frame(job, roof.lay_out(job), readings) if readings else None
    return design.check(job, built=built)


def bound(
    done: Design, *, place: str, paper: Literal["letter", "a4"] = "letter", brief: bool = False
) -> Packet:
    """Bind the packet of a design with all that is known of its job.

    Args:
        done: A finished design.
        place: The job's folder or file.
        paper: Of the pages.
        brief: Four pages for the counter.

    Returns:
        The packet.

    Raises:
        StoreError: The job folder's records cannot be read.
    """
    site = site_of(place, done.job.sha256)
    told = [Told(one.code, one.text) for one in warnings_of(done)]
    made = None
    if not brief:
        try:
            made = _shop(done, site)
        except InputError as fault:
            told.append(Told("no-cut-list", f"No cut list: {fault.findings[0].bound}."))
    return packet.bind(done, told=told, shop=made, site=site, paper=paper, brief=brief)


def _shop(done: Design, site: Site) -> Shop:
    job, tie = done.job, done.tie
    legs = legs_of(job, done.frame, tie, done.built)
    making = making_of(tie.rope, tie.sleeve, prestretched=False)
    cutting = shop.cut(job, tie, done.forces, legs=legs, making=making)
    ready, joint = None, None
    if site.presses:
        found = (
            pulled_in(one.part, pull=one.pull, held=one.result != "slipped") for one in site.pulls
        )
        tested = [one for one in found if one is not None]
        ready = readiness(
            site.presses,
            tie,
            cutting.eye,
            system=job.show,
            tested=tested,
            legs=len(cutting.bodies),
        )
        if cutting.ring is not None:
            sleeve = ring_sleeve(tie, job.catalogue)
            joint = ring_missing(site.presses, tie, sleeve, system=job.show, tested=tested)
    return Shop(
        cutting=cutting,
        shopping=shopping(job, tie, cutting),
        proof=proof_pull(tie, done.forces, done.checks, shackle=shackle_of(job)),
        readiness=ready,
        ring_missing=joint,
    )


def site_of(place: str, fingerprint: str) -> Site:
    """What a job folder keeps: the revision of its text, and its logs.

    Args:
        place: A job folder or file.
        fingerprint: SHA-256 of the job's text.

    Returns:
        Nothing in it where the folder keeps no records.

    Raises:
        StoreError: The records cannot be read.
    """
    from rafterstay.store.folder import JOB_FILE, open_folder
    from rafterstay.store.schema import DATABASE

    given = Path(place)
    folder = given.parent if given.name == JOB_FILE else given
    if not (folder.is_dir() and (folder / DATABASE).exists()):
        return Site()
    with open_folder(place) as opened:
        numbers = [one.id for one in opened.revisions() if one.fingerprint == fingerprint]
        presses = tuple(
            from_log(entry.values, who=entry.who, when=entry.taken)
            for entry in opened.entries("press_log")
        )
        pulls = tuple(
            pull_from_log(entry.values, who=entry.who, when=entry.taken)
            for entry in opened.entries("proof_pulls")
        )
    return Site(max(numbers, default=None), presses, pulls)
