"""Every command that the README or a page tells a reader to type exists, options too."""

from __future__ import annotations

import functools
import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

from tests.contract.tree import ROOT, kept_files

BLOCK = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
TYPED = {"", "sh", "bash", "console"}  # what a block of commands may be marked as
TARGET = re.compile(r"^([a-z][\w-]*):(?!=)", re.MULTILINE)
PROGRAM = "from rafterstay.cli import main; main()"


def told(page: str) -> list[list[str]]:
    """Give the words of each `rafterstay` or `make` line in a page's code blocks."""
    commands = []
    blocks = [block for kind, block in BLOCK.findall(page) if kind in TYPED]
    for block in blocks:
        for line in block.replace("\\\n", " ").splitlines():
            words = shlex.split(line.removeprefix("$ "), comments=True)
            if words and words[0].removeprefix(".venv/bin/") in {"make", "rafterstay"}:
                commands.append([Path(words[0]).name, *words[1:]])
    return commands


@functools.cache
def help_of(path: tuple[str, ...]) -> str | None:
    """Give what `rafterstay PATH --help` prints, or None when it is refused."""
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM, *path, "--help"],
        env=os.environ | {"PYTHONPATH": str(ROOT / "src")},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        check=False,
        encoding="utf-8",
    )
    return done.stdout if done.returncode == 0 else None


def fault(words: list[str]) -> str | None:
    """Give what is wrong with a command that a page tells, or None."""
    said = " ".join(words)
    if words[0] == "make":
        targets = set(TARGET.findall((ROOT / "Makefile").read_text(encoding="utf-8")))
        return None if targets.issuperset(words[1:]) else f"no such target: {said}"
    path: tuple[str, ...] = ()
    for word in words[1:]:
        if word.startswith("-") or "Commands:" not in (help_of(path) or ""):
            break
        path += (word,)
    page = help_of(path)
    if page is None:
        return f"refused: {said}"
    known = set(re.findall(r"(?<![\w-])--?[a-z][\w-]*", page))
    options = {word.split("=")[0] for word in words if re.match(r"--?[a-zA-Z]", word)}
    return None if options <= known else f"no such option: {said}"


def test_every_command_told_exists() -> None:
    pages = [path for path in kept_files(ROOT) if path.suffix == ".md"]
    commands = [words for path in pages for words in told(path.read_text(encoding="utf-8"))]
    assert ["make", "test"] in commands
    assert [said for words in commands if (said := fault(words))] == []


NOT_ALL_EXIST = """
```sh
$ .venv/bin/rafterstay nosuch job.toml   # comment
rafterstay \\
    --nosuch
make nosuch
make test
rafterstay --help
```
```toml
make = 'not a command'
```
"""


def test_a_command_that_does_not_exist_is_found() -> None:
    found = [fault(words) for words in told(NOT_ALL_EXIST)]
    assert found == [
        "refused: rafterstay nosuch job.toml",
        "no such option: rafterstay --nosuch",
        "no such target: make nosuch",
        None,
        None,
    ]
