"""Write or check the lock files: every package, its version, every hash, no address.

``pyproject.toml`` alone says what is wanted. The resolver runs in its own temporary
environment with this machine's pip settings put aside, so that the hashes are those of the
ordinary registry.

    python tools/lock.py              write the locks anew, newest releases
    python tools/lock.py --check      resolve with the versions kept; fail on any difference
"""

from __future__ import annotations

import argparse
import difflib
import os
import shutil
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

__all__ = ["main"]

ROOT = Path(__file__).resolve().parent.parent
RUNTIME = "requirements.lock"
TEST = "requirements-test.lock"
PYTHON = (3, 11)  # the oldest supported: its markers are the ones resolved
RESOLVER = ("pip==26.3", "pip-tools==7.6.2")
HEADINGS = {
    RUNTIME: "# What rafterstay runs and is built with. Written by `make lock`.\n",
    TEST: "# What its tests and checks add. Written by `make lock`.\n",
}


def main() -> int:
    """Write the locks, or compare them with what the resolver gives."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--check", action="store_true", help="fail when a lock is out of date")
    check = parser.parse_args().check
    if sys.version_info[:2] != PYTHON:
        sys.exit(f"The locks are made with Python {PYTHON[0]}.{PYTHON[1]}; this is {sys.version}")
    with tempfile.TemporaryDirectory() as folder:
        made = resolve(Path(folder), keep=check)
    if not check:
        for name, text in made.items():
            (ROOT / name).write_text(text, encoding="utf-8")
        return 0
    differences = [line for name, text in made.items() for line in compare(name, text)]
    print("\n".join(differences) or "The locks are what pyproject.toml asks for.")
    return 1 if differences else 0


def resolve(folder: Path, *, keep: bool) -> dict[str, str]:
    """Give the text of each lock; ``keep`` holds every version already locked."""
    subprocess.run([sys.executable, "-m", "venv", folder / "resolver"], check=True)
    python = folder / "resolver" / "bin" / "python"
    subprocess.run(
        [python, "-m", "pip", "install", "--quiet", *RESOLVER], check=True, env=plain_environment()
    )
    runtime, extra = wanted()
    (folder / "runtime.in").write_text("\n".join(runtime), encoding="utf-8")
    # The tests' packages are resolved against the runtime's versions, which stay in their own lock.
    (folder / "test.in").write_text("\n".join([f"-c {RUNTIME}", *extra]), encoding="utf-8")
    made = {}
    for source, name in (("runtime.in", RUNTIME), ("test.in", TEST)):
        if keep and (ROOT / name).exists():
            shutil.copy(ROOT / name, folder / name)
        compile_lock(python, folder, source=source, name=name)
        made[name] = (folder / name).read_text(encoding="utf-8")
    made[TEST] = without(made[TEST], names(made[RUNTIME]))
    return {name: HEADINGS[name] + text for name, text in made.items()}


def wanted() -> tuple[list[str], list[str]]:
    """Give what ``pyproject.toml`` asks for: runtime and build backend, and the test extra."""
    stated = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    project = stated["project"]
    runtime = [*project["dependencies"], *stated["build-system"]["requires"]]
    return runtime, project["optional-dependencies"]["test"]


def compile_lock(python: Path, folder: Path, *, source: str, name: str) -> None:
    """Resolve one list into one lock inside ``folder``."""
    options = (
        "--quiet --generate-hashes --no-reuse-hashes --allow-unsafe --strip-extras "
        "--no-header --no-annotate --no-emit-options --no-emit-index-url "
        "--no-emit-trusted-host --no-emit-find-links"
    )
    subprocess.run(
        [python, "-m", "piptools", "compile", *options.split(), "--output-file", name, source],
        check=True,
        cwd=folder,
        env=plain_environment(),
    )


def plain_environment() -> dict[str, str]:
    """Give this process's environment without any setting of pip's."""
    kept = {key: value for key, value in os.environ.items() if not key.startswith("PIP_")}
    return kept | {"PIP_CONFIG_FILE": os.devnull, "PIP_DISABLE_PIP_VERSION_CHECK": "1"}


def names(lock: str) -> set[str]:
    """Give the names of the packages a lock holds."""
    return {line.split("==")[0] for line in lock.splitlines() if "==" in line}


def without(lock: str, dropped: set[str]) -> str:
    """Give a lock with the packages that another lock already holds left out."""
    kept, keeping = [], True
    for line in lock.splitlines(keepends=True):
        if not line.startswith((" ", "\t")):
            keeping = line.split("==")[0] not in dropped
        if keeping:
            kept.append(line)
    return "".join(kept)


def compare(name: str, made: str) -> list[str]:
    """Give the lines in which the lock in the repository differs from ``made``."""
    path = ROOT / name
    held = path.read_text(encoding="utf-8") if path.exists() else ""
    return list(
        difflib.unified_diff(held.splitlines(), made.splitlines(), name, "resolved", lineterm="")
    )


if __name__ == "__main__":
    sys.exit(main())
