"""Every error code is documented once, used, and provoked by a test."""

from __future__ import annotations

import re
from pathlib import Path

from tests.contract.tree import PACKAGE, ROOT

CODE = re.compile(r"\b(?:IN|DA|ST|SV|SR|CL|GA|TU)-\d{3}\b")
ROW = re.compile(r"^\| ([A-Z]{2}-\d{3}) \|([^|]*)\|([^|]*)\|$", re.MULTILINE)
PAGE = ROOT / "docs" / "errors.md"
TESTS = ROOT / "tests"


def codes(folder: Path, *, leave_out: str = "") -> set[str]:
    """Give every code written in the files under ``folder``."""
    found: set[str] = set()
    for path in folder.rglob("*"):
        if path.suffix in {".py", ".toml", ".csv", ".json"} and leave_out not in path.parts:
            found.update(CODE.findall(path.read_text(encoding="utf-8")))
    return found


def faults(package: Path, page: Path, tests: Path) -> list[str]:
    """Give every code that is undocumented, unused, told twice or never raised in a test."""
    used = codes(package)
    rows = ROW.findall(page.read_text(encoding="utf-8"))
    told = [code for code, _, _ in rows]
    provoked = codes(tests, leave_out="contract")
    return [
        *(f"{code} is not in {page.name}" for code in sorted(used - set(told))),
        *(f"{code} is in {page.name} but is never raised" for code in sorted(set(told) - used)),
        *(
            f"{code} is told {told.count(code)} times"
            for code in sorted(set(told))
            if told.count(code) > 1
        ),
        *(
            f"{code} lacks a meaning or a remedy"
            for code, *words in rows
            if not all(w.strip() for w in words)
        ),
        *(f"{code} is raised in no test" for code in sorted(used - provoked)),
    ]


def test_every_code_is_documented_and_provoked() -> None:
    assert faults(PACKAGE, PAGE, TESTS) == []


def test_every_row_of_the_page_is_read() -> None:
    lines = [line for line in PAGE.read_text(encoding="utf-8").splitlines() if CODE.search(line)]
    assert len(ROW.findall("\n".join(lines))) == len(lines)


def test_each_kind_of_neglect_is_found(tmp_path: Path) -> None:
    package, tests, page = tmp_path / "package", tmp_path / "tests", tmp_path / "errors.md"
    package.mkdir()
    (tests / "contract").mkdir(parents=True)
    source = 'raise Finding("IN-901"), Finding("IN-902"), Finding("IN-903"), Finding("IN-904")'
    (package / "raises.py").write_text(source)
    (tests / "test_raises.py").write_text('"IN-901", "IN-903", "IN-904"')
    (tests / "contract" / "test_errors.py").write_text('"IN-902"')
    rows = ["| IN-902 | a | b |", "| IN-903 | a | b |", "| IN-903 | a | b |", "| IN-904 | a |  |"]
    page.write_text("\n".join([*rows, "| ST-905 | a | b |"]))
    assert faults(package, page, tests) == [
        "IN-901 is not in errors.md",
        "ST-905 is in errors.md but is never raised",
        "IN-903 is told 2 times",
        "IN-904 lacks a meaning or a remedy",
        "IN-902 is raised in no test",
    ]
