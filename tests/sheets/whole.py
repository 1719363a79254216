"""Whole designs for the tests of sheets, each checked once a run."""

from __future__ import annotations

from rafterstay import design
from rafterstay.design import Design
from rafterstay.job import Job

__all__ = ["designed"]

_KEPT: dict[str, Design] = {}


def designed(job: Job) -> Design:
    """A job carried to its checks; the same job once only."""
    if job.sha256 not in _KEPT:
        _KEPT[job.sha256] = design.check(job)
    return _KEPT[job.sha256]
