"""How long do `check`, `size` and `packet` take, from the command typed to the answer printed?

Whole processes, the interpreter's start included. Beside them the time of one plain numpy task
of the machine, so that runs on unlike machines can be compared.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage

from benchmarks.page import PROGRAM, ROOT, plain

RUNS = 5
DEMO = ROOT / "examples" / "reading-room.toml"
STIFF = 'walls = "stiff"\nwall_stiffness = ["1 kip/in", "4 kip/in"]'
# What is typed, and what it is meant to keep to. [s]
TOLD = (
    ("check", "the demonstration, every state and check", DEMO.name, 1.0),
    ("size", "the demonstration, every part", DEMO.name, 5.0),
    ("packet", "the demonstration, every page and sheet", DEMO.name, 3.0),
    ("check", 'walls that help and target = "auto"', "auto.toml", 2.5),
)


def auto() -> str:
    """The demonstration with walls that help and a pull to be found."""
    text = DEMO.read_text(encoding="utf-8")
    lines = [STIFF if line.startswith("walls = ") else line for line in text.splitlines()]
    lines = ['target = "auto"' if line.startswith("target = ") else line for line in lines]
    return "\n".join(lines) + "\n"


def least(command: list[str]) -> tuple[float, float]:
    """The least time of some runs of one process, and of its work on a processor. [s]"""
    spent, worked = [], []
    for _ in range(RUNS):
        before, begun = getrusage(RUSAGE_CHILDREN), time.perf_counter()
        done = subprocess.run(command, capture_output=True, check=False)
        spent.append(time.perf_counter() - begun)
        after = getrusage(RUSAGE_CHILDREN)
        worked.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
        assert done.returncode in (0, 1), done.stderr.decode()[:400]
    return min(spent), min(worked)


def main() -> None:
    """Print the time of each command beside what it is meant to be."""
    unit = plain()
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / DEMO.name).write_bytes(DEMO.read_bytes())
        (Path(folder) / "auto.toml").write_text(auto(), encoding="utf-8")
        for command, words, name, meant in TOLD:
            typed = [sys.executable, "-c", PROGRAM, command, str(Path(folder) / name)]
            if command == "packet":
                typed += ["-o", str(Path(folder) / "packet.pdf"), "--force"]
            spent, worked = least(typed)
            print(
                f"{command}, whole process, {words}: {spent:.2f} s (meant to be under"
                f" {meant:.1f} s), {worked:.2f} s of a processor, {worked / unit:.0f} plain solves"
                " of 300 unknowns"
            )


if __name__ == "__main__":
    main()
