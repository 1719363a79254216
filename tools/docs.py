"""Write or check the pages that a command generates.

python tools/docs.py              write every page
python tools/docs.py --check      fail, with the difference, when a page is out of date
"""

from __future__ import annotations

import argparse
import difflib
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

__all__ = ["PAGES", "ROOT", "differences", "generate", "main"]

ROOT = Path(__file__).resolve().parent.parent

# Page: the arguments Python is run with; what it prints is the page.
PAGES: Mapping[str, tuple[str, ...]] = {
    "docs/job-file.md": ("-m", "rafterstay.job.document"),
    "docs/pictures/reading-room-plan.svg": (
        "-c",
        "from rafterstay.cli.demo import demo_plan; print(demo_plan(), end='')",
    ),
    "docs/pictures/sheets.svg": (
        "-c",
        "from rafterstay.cli.sheet_set import demo_sheets; print(demo_sheets(), end='')",
    ),
}


def main() -> int:
    """Write every page, or say which differ from what their commands print."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--check", action="store_true", help="fail when a page is out of date")
    if parser.parse_args().check:
        found = differences(ROOT, PAGES)
        print("\n".join(found) or "The generated pages are up to date.")
        return 1 if found else 0
    for page, arguments in PAGES.items():
        (ROOT / page).write_text(generate(arguments), encoding="utf-8")
    return 0


def generate(arguments: tuple[str, ...]) -> str:
    """Give what this Python prints when run with ``arguments``."""
    done = subprocess.run(
        [sys.executable, *arguments], cwd=ROOT, check=True, stdout=subprocess.PIPE, encoding="utf-8"
    )
    return done.stdout


def differences(root: Path, pages: Mapping[str, tuple[str, ...]]) -> list[str]:
    """Give the lines in which the pages under ``root`` differ from their commands' print."""
    found: list[str] = []
    for page, arguments in pages.items():
        path = root / page
        held = path.read_text(encoding="utf-8") if path.exists() else ""
        found += difflib.unified_diff(
            held.splitlines(), generate(arguments).splitlines(), page, "generated", lineterm=""
        )
    return found


if __name__ == "__main__":
    sys.exit(main())
