"""Long runs that can be stopped and taken up again, with a summary at the end."""

from __future__ import annotations

import json
import subprocess
from collections import Counter

from tests.contract.tree import ROOT

# Not kept by git: what was done so far, for the commit it was done with.
PLACE = ROOT / "build" / "soak"


def commit() -> str:
    """The commit under test, marked where files were changed since."""
    said = subprocess.run(
        ["git", "describe", "--always", "--dirty", "--abbrev=12"],
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    )
    return said.stdout.strip()


class Progress:
    """Counts of one long run.

    Attributes:
        done: Rounds completed; the next round has this number.
        counts: What they added up to.
    """

    def __init__(self, name: str) -> None:
        self.name = name
        self.done = 0
        self.counts: Counter[str] = Counter()
        self._commit = commit()
        self._file = PLACE / f"{name}.json"
        if self._file.exists():
            kept = json.loads(self._file.read_text(encoding="utf-8"))
            if kept["commit"] == self._commit:
                self.done, self.counts = kept["done"], Counter(kept["counts"])

    def add(self, counts: Counter[str]) -> None:
        """Note that a round is complete."""
        self.done += 1
        self.counts.update(counts)
        content = {"commit": self._commit, "done": self.done, "counts": dict(self.counts)}
        PLACE.mkdir(parents=True, exist_ok=True)
        part = self._file.with_suffix(".part")
        part.write_text(json.dumps(content, indent=1, sort_keys=True) + "\n", encoding="utf-8")
        part.replace(self._file)

    def finish(self) -> str:
        """The summary; the next run begins anew."""
        self._file.replace(self._file.with_suffix(".last"))
        told = ", ".join(f"{name} {count}" for name, count in sorted(self.counts.items()))
        return f"{self.name} at {self._commit}: rounds {self.done}, {told}"
