"""The locks pin every package by version and hash, and name no address."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib

import pytest

from tests.contract.tree import ROOT

LOCKS = ("requirements.lock", "requirements-test.lock")
PIN = re.compile(
    r"^([a-z0-9]+(?:-[a-z0-9]+)*)==[\w.+!]+(?: ; [^:]+)?((?: --hash=sha256:[0-9a-f]{64})+)$"
)


def pins(text: str) -> list[str]:
    """Give the packages of a lock; anything but comments, pins and hashes is a fault."""
    joined = re.sub(r" \\\n\s+", " ", text)
    names = []
    for line in joined.splitlines():
        if line and not line.startswith("#"):
            found = PIN.match(line)
            assert found, f"not a pin with hashes: {line}"
            names.append(found.group(1))
    assert "://" not in text
    return names


def wanted(*groups: list[str]) -> set[str]:
    listed = (re.split(r"[<>=!~ \[]", one)[0] for group in groups for one in group)
    return {name.lower().replace("_", "-") for name in listed}


def test_the_locks_hold_what_the_project_asks_for() -> None:
    runtime, test = (pins((ROOT / name).read_text(encoding="utf-8")) for name in LOCKS)
    stated = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    project = stated["project"]
    assert wanted(project["dependencies"], stated["build-system"]["requires"]) <= set(runtime)
    assert wanted(project["optional-dependencies"]["test"]) <= set(test)
    assert len(runtime + test) == len({*runtime, *test})


def test_what_is_installed_agrees_with_itself() -> None:
    """The locks are installed without resolving, so a missing package would show here only."""
    done = subprocess.run(
        [sys.executable, "-m", "pip", "check", "--disable-pip-version-check"],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        check=False,
        encoding="utf-8",
    )
    assert done.returncode == 0, done.stdout


HASH = "--hash=sha256:" + "0a" * 32


@pytest.mark.parametrize(
    "line",
    [
        f"click>=8 {HASH}",
        "click==8.5.1",
        f"click @ file://here {HASH}",
        f"--index-url https://here\nclick==8.5.1 {HASH}",
        f"# from https://here\nclick==8.5.1 {HASH}",
    ],
    ids=["no version", "no hash", "address", "index", "address in a comment"],
)
def test_a_loose_lock_is_found(line: str) -> None:
    assert pins(
        f"click==8.5.1 \\\n    {HASH} \\\n    {HASH}\n    # why\n".replace("    #", "#")
    ) == ["click"]
    with pytest.raises(AssertionError):
        pins(line)
