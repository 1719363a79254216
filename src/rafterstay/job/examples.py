"""The job files that come with the package, to start from.

There is one copy of each: ``examples/`` of the repository, which an installed package carries
inside ``rafterstay/job/example_files``.
"""

from __future__ import annotations

from difflib import get_close_matches
from pathlib import Path

from rafterstay.core.errors import Finding, InputError
from rafterstay.job.keys import printable

__all__ = ["DEMO", "example", "examples"]

DEMO = "reading-room"


def examples() -> tuple[str, ...]:
    """Name every example, in alphabetical order.

    >>> examples()
    ('bandstand', 'gable-workshop', 'octagon', 'pavilion', 'reading-room', 'round-house')
    """
    return tuple(sorted(path.stem for path in _folder().glob("*.toml")))


def example(name: str) -> str:
    """The text of an example.

    Raises:
        InputError: IN-014 there is no such example.

    >>> example("octagon").splitlines()[2][:10]
    'schema = 1'
    """
    known = examples()
    if name not in known:
        near = get_close_matches(name[:60], known, n=1)
        remedy = f"Did you mean {near[0]}?" if near else "Take one of them."
        raise InputError(
            Finding(
                "IN-014",
                key="example",
                value=printable(name),
                bound=f"one of {', '.join(known)}",
                remedy=remedy,
            )
        )
    return (_folder() / f"{name}.toml").read_text(encoding="utf-8")


def _folder() -> Path:
    installed = Path(__file__).parent / "example_files"
    return installed if installed.is_dir() else Path(__file__).parents[3] / "examples"
