"""How commands end: exit codes, one document, no traceback, nothing half said."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from rafterstay import design
from rafterstay.cli.contract import LATER
from rafterstay.core.errors import Finding, InternalError, Mechanism, NotConverged

from .run import EXAMPLES, document, run, start

OCTAGON = str(EXAMPLES / "octagon.toml")
ENVELOPE = ["schema", "command", "job_sha256", "geometry", "assumed", "warnings"]
ERROR = {"code", "file", "line", "column", "key", "value", "bound", "remedy"}


def raising(error: BaseException) -> Callable[..., Any]:
    def check(job: object, **_: object) -> None:
        raise error

    return check


LOOSE = Mechanism(Finding("ST-001", key="hub", bound="held", remedy="Brace it."), loose="hub")
LOST = NotConverged(
    Finding("ST-002", key="leg 3", bound="solved"), iterations=9, residual=2.0, worst_node="hub"
)


@pytest.mark.parametrize(
    ("error", "code", "told"),
    [
        (LOOSE, 3, "ST-001"),
        (LOST, 3, "ST-002"),
        (RuntimeError("bad\nday"), 4, "CL-006"),
        (InternalError(Finding("ST-003", bound="kept")), 4, "CL-006"),
        (MemoryError(), 4, "CL-006"),
        (RecursionError("deep"), 4, "CL-006"),
        (KeyboardInterrupt(), 130, "CL-007"),
    ],
    ids=lambda value: type(value).__name__ if isinstance(value, BaseException) else None,
)
def test_every_ending_has_its_code(
    monkeypatch: pytest.MonkeyPatch, error: BaseException, code: int, told: str
) -> None:
    monkeypatch.setattr(design, "check", raising(error))
    plain, machine = run("check", OCTAGON), run("check", "--json", OCTAGON)
    assert (plain.exit_code, machine.exit_code) == (code, code)
    assert plain.stdout == ""
    assert plain.stderr.lstrip("\n").startswith(told)
    assert "Traceback" not in plain.output + machine.output
    found = document(machine)
    assert list(found) == [*ENVELOPE, "errors"]
    assert [set(one) for one in found["errors"]] == [ERROR]
    assert (found["command"], found["errors"][0]["code"]) == ("check", told)


def test_an_unexpected_fault_gives_a_line_to_report(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(job: object, **_: object) -> None:
        raise ZeroDivisionError("division by zero")

    monkeypatch.setattr(design, "check", broken)
    said = run("check", OCTAGON).stderr
    assert re.search(
        r"rafterstay \d+\.\d+.*, Python 3\.\d+.*, ZeroDivisionError at cli/check", said
    )
    assert str(Path(__file__).parents[2]) not in said


@pytest.mark.parametrize("name", LATER)
def test_commands_to_come_are_refused_by_name(name: str) -> None:
    plain, machine = run(name, "somewhere"), run(name, "--json", "--height", "1/3")
    assert (plain.exit_code, machine.exit_code) == (2, 2)
    assert plain.stderr.startswith(f"CL-002 the command `{name}`")
    assert document(machine)["command"] == name
    assert document(machine)["errors"][0]["code"] == "CL-002"


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        (["chekc", OCTAGON], "Did you mean check?"),
        (["check"], "Missing argument 'JOB'"),
        (["check", OCTAGON, "--nosuch"], "--nosuch"),
        (["check", OCTAGON, "second"], "unexpected extra argument"),
        (["--nosuch"], "--nosuch"),
        (["new", "-o"], "-o"),
    ],
)
def test_usage_errors_are_told(typed: list[str], words: str) -> None:
    plain, machine = (
        run(*typed),
        run("--json", *typed) if typed[0][0] == "-" else run(typed[0], "--json", *typed[1:]),
    )
    assert (plain.exit_code, machine.exit_code) == (2, 2)
    assert words in plain.stderr
    assert plain.stderr.startswith("CL-001 ")
    assert document(machine)["errors"][0]["code"] == "CL-001"


def test_json_behind_two_dashes_is_an_argument() -> None:
    result = run("check", "--", "--json")
    assert (result.exit_code, result.stdout) == (2, "")


def test_no_command_prints_the_help() -> None:
    result = run()
    assert result.exit_code == 2
    assert result.stdout == run("--help").stdout
    assert run("--help").exit_code == 0


@pytest.mark.parametrize("typed", [["--help"], ["check", "-h"], ["new", "-h"], ["parts", "-h"]])
def test_help_fits_the_screen(typed: list[str]) -> None:
    result = run(*typed)
    assert result.exit_code == 0
    assert max(map(len, result.stdout.splitlines())) <= 80


def test_help_loads_nothing_heavy() -> None:
    code = (
        "import sys\nfrom rafterstay.cli import main\nsys.argv = ['rafterstay', '--help']\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "print(sorted({'numpy', 'pydantic', 'rich', 'tomlkit', 'scipy'} & set(sys.modules)))"
    )
    source = str(EXAMPLES.parent / "src")
    said = subprocess.run(
        [sys.executable, "-c", code],
        env=os.environ | {"PYTHONPATH": source},
        capture_output=True,
        check=True,
        encoding="utf-8",
    ).stdout
    assert said.splitlines()[-1] == "[]"


def test_a_reader_that_leaves_is_no_fault() -> None:
    with start("check", OCTAGON, "--working", "--all") as command:
        assert command.stdout is not None
        assert command.stderr is not None
        command.stdout.close()
        said = command.stderr.read()
        assert command.wait(60) in (0, 1)
    assert "Error" not in said
    assert "Traceback" not in said


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_a_full_disk_is_told() -> None:
    with Path("/dev/full").open("w") as full, start("parts", stdout=full) as command:
        assert command.stderr is not None
        said = command.stderr.read()
        assert command.wait(60) == 4
    assert said.startswith("CL-006 ")
    assert "Traceback" not in said


def test_an_interrupt_ends_with_130() -> None:
    code = (
        "import time\nfrom rafterstay import design\nfrom rafterstay.cli import main\n"
        "def wait(job, **_):\n    print('waiting', flush=True)\n    time.sleep(60)\n"
        "design.check = wait\nmain()"
    )
    source = str(EXAMPLES.parent / "src")
    with subprocess.Popen(
        [sys.executable, "-c", code, "check", OCTAGON],
        env=os.environ | {"PYTHONPATH": source},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        encoding="utf-8",
    ) as command:
        assert command.stdout is not None
        assert command.stderr is not None
        assert command.stdout.readline() == "waiting\n"
        time.sleep(0.05)
        command.send_signal(signal.SIGINT)
        said = command.stderr.read()
        assert command.wait(60) == 130
    assert "CL-007" in said
    assert "Traceback" not in said


def test_work_over_a_second_is_announced(monkeypatch: pytest.MonkeyPatch) -> None:
    from rafterstay.cli import output

    monkeypatch.setattr(output, "_PATIENCE", 0.01)

    def long(job: object, **_: object) -> None:
        time.sleep(0.3)
        raise LOOSE

    monkeypatch.setattr(design, "check", long)
    result = run("check", "--json", OCTAGON)
    assert result.stderr == "Checking all patterns ...\n"
    assert document(result)["errors"]


@pytest.mark.parametrize(("stated", "threads"), [({}, "1"), ({"OPENBLAS_NUM_THREADS": "2"}, "2")])
def test_one_thread_of_linear_algebra_unless_another_is_stated(
    stated: dict[str, str], threads: str
) -> None:
    """Threads are read when the library loads, so they are set before a command runs."""
    code = (
        "import os, sys\n"
        "from rafterstay.cli import main\n"
        "assert 'numpy' not in sys.modules\n"
        "sys.argv = ['rafterstay', '--version']\n"
        "try:\n"
        "    main()\n"
        "except SystemExit:\n"
        "    print(os.environ['OPENBLAS_NUM_THREADS'])\n"
    )
    env = {key: value for key, value in os.environ.items() if key != "OPENBLAS_NUM_THREADS"}
    done = subprocess.run(
        [sys.executable, "-c", code],
        env=env | stated,
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    assert done.stdout.split()[-1] == threads
