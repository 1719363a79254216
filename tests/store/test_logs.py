"""Log entries are corrected by new entries, and nothing can edit or remove one."""

from __future__ import annotations

import math
import re
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from rafterstay.core.errors import StoreError
from rafterstay.store import JobFolder, create_folder
from rafterstay.store.checkup import check
from rafterstay.store.schema import LOGS, TABLES, build, columns
from tests.contract.tree import ROOT

TEXT = "rise = '7 ft'\n"
PRESS = {
    "leg": 4,
    "eye": "ring end",
    "reel": "B-17",
    "sleeve": "copper oval 1/4 in",
    "tool": "bench press",
    "presses": 3,
    "press_order": "middle, loop, tail",
    "tail_before_m": 0.031,
    "tail_after_m": 0.0127,
    "gauge": "not gauged",
}
ROWS: dict[str, dict[str, Any]] = {
    "survey_readings": {
        "batch": "may.csv",
        "from_point": "3",
        "to_point": "7",
        "kind": "slope",
        "value_m": 6.8834,
        "sigma_m": 0.0015875,
        "written": "22'-7\"",
    },
    "press_log": PRESS,
    "proof_pulls": {
        "leg": 4,
        "part": "ring end eye",
        "tool": "come-along, scale 3",
        "pull_N": 11120.6,
        "held_s": 60.0,
        "result": "held",
    },
    "tension_readings": {
        "what": "corner",
        "place": "4",
        "value": 2.356,
        "sigma": 0.004,
        "unit": "rad",
        "method": "template",
        "air_degC": -3.5,
        "written": "135 deg",
    },
    "inspections": {
        "part": "leg 4",
        "occasion": "after deep snow",
        "finding": "act",
        "seen": "lock nut loose",
        "done": "tightened, wired",
    },
    "recordings": {
        "leg": 4,
        "path": "readings/leg-4.wav",
        "sha256": "0f" * 32,
        "span_m": 0.9144,
        "pull_N": 931.2,
        "sigma_N": 28.0,
        "refused": "",
    },
}


@pytest.fixture
def job(tmp_path: Path) -> Any:
    with create_folder(tmp_path / "barn", TEXT) as folder:
        yield folder


def add(job: JobFolder, log: str, values: dict[str, Any] | None = None, **more: Any) -> int:
    stated = {"who": "Ida", "taken": "2031-05-04"} | more
    return job.append(log, ROWS[log] if values is None else values, **stated).id


def refusal(job: JobFolder, log: str, values: dict[str, Any], **more: Any) -> list[str]:
    with pytest.raises(StoreError) as refused:
        add(job, log, values, **more)
    return [f"{found.code} {found.key}" for found in refused.value.findings]


@pytest.mark.parametrize("log", LOGS)
def test_an_entry_comes_back_as_it_was_written(job: JobFolder, log: str) -> None:
    assert add(job, log, note="first") == 1
    (entry,) = job.entries(log)
    assert {name: entry.values[name] for name in ROWS[log]} == ROWS[log]
    assert (entry.who, entry.taken, entry.note, entry.revision) == ("Ida", "2031-05-04", "first", 1)
    assert entry.at.endswith("Z")


def test_every_column_is_exercised(job: JobFolder) -> None:
    common = {
        *("id", "at", "who", "taken", "revision", "corrects"),
        *("withdrawn", "why", "note", "seal"),
    }
    for log in LOGS:
        assert set(columns(job._writable(), log)) == common | set(ROWS[log])


def test_a_correction_takes_the_place_and_leaves_the_old(job: JobFolder) -> None:
    add(job, "press_log")
    add(job, "press_log", PRESS | {"leg": 5})
    gauged = PRESS | {"gauge": "passed"}
    assert add(job, "press_log", gauged, corrects=1, why="gauged next day") == 3
    job.withdraw("press_log", 2, who="Ida", why="leg 5 was never pressed")
    assert [entry.id for entry in job.entries("press_log")] == [3]
    every = job.entries("press_log", superseded=True)
    assert [(e.id, e.corrects, e.withdrawn) for e in every] == [
        (1, None, False),
        (2, None, False),
        (3, 1, False),
        (4, 2, True),
    ]
    assert every[0].values["gauge"] == "not gauged"
    assert every[3].values["leg"] == 5


def test_a_correction_is_made_once_and_with_a_reason(job: JobFolder) -> None:
    add(job, "press_log")
    assert refusal(job, "press_log", PRESS, corrects=1) == ["SR-041 press_log.why"]
    add(job, "press_log", corrects=1, why="tail measured again")
    assert refusal(job, "press_log", PRESS, corrects=1, why="x") == ["SR-042 press_log.corrects"]
    assert refusal(job, "press_log", PRESS, corrects=9, why="x") == ["SR-042 press_log.id"]
    with pytest.raises(StoreError):
        job.withdraw("press_log", 1, who="Ida", why="x")
    assert refusal(job, "pressing_log", PRESS) == ["SR-040 log"]


@pytest.mark.parametrize(
    ("change", "keys"),
    [
        ({"gauge": "good"}, ["gauge"]),
        ({"leg": 0}, ["leg"]),
        ({"presses": 0}, ["presses"]),
        ({"presses": True}, ["presses"]),
        ({"presses": 2.0}, ["presses"]),
        ({"tail_after_m": -0.001}, ["tail_after_m"]),
        ({"tail_after_m": math.nan}, ["tail_after_m"]),
        ({"tail_after_m": math.inf}, ["tail_after_m"]),
        ({"tail_after_m": 10**400}, ["tail_after_m"]),
        ({"tail_after_m": "12 mm"}, ["tail_after_m"]),
        ({"tool": None}, ["tool"]),
        ({"tool": 3}, ["tool"]),
        ({"tool": "x" * 10_001}, ["tool"]),
        ({"tool": "half \ud800"}, ["tool"]),
        ({"tool": "a\0b"}, ["tool"]),
        ({"tail": 0.01}, ["tail"]),
        ({"leg": 0.5, "reel": b"B", "gouge": "passed"}, ["gouge", "leg", "reel"]),
    ],
)
def test_a_wrong_value_is_named_and_nothing_is_written(
    job: JobFolder, change: dict[str, Any], keys: list[str]
) -> None:
    assert refusal(job, "press_log", PRESS | change) == [f"SR-041 press_log.{key}" for key in keys]
    assert job.entries("press_log") == ()


def test_a_unit_must_suit_what_was_read(job: JobFolder) -> None:
    wrong = ROWS["tension_readings"] | {"unit": "N"}
    assert refusal(job, "tension_readings", wrong) == ["SR-041 tension_readings.unit"]


@pytest.mark.parametrize("table", TABLES)
def test_no_statement_edits_or_removes_an_entry(job: JobFolder, table: str) -> None:
    for log in LOGS:
        add(job, log)
    job.close()
    # Another program, with every guard of ours off that a connection can switch off.
    with closing(sqlite3.connect(job.path / "site.sqlite", isolation_level=None)) as other:
        names = [name for name, *_ in other.execute(f"SELECT * FROM {table}").description]
        before = other.execute(f"SELECT * FROM {table}").fetchall()
        other.execute("PRAGMA foreign_keys=OFF")
        other.execute("PRAGMA recursive_triggers=OFF")
        copy = ", ".join("'forged'" if name == "seal" else name for name in names)
        rows = f"SELECT {copy} FROM {table}"
        fresh = rows.replace("SELECT id", "SELECT id + 1000")
        for statement in (
            f"UPDATE {table} SET seal = 'forged'",
            f"UPDATE OR REPLACE {table} SET id = id + 5",
            f"DELETE FROM {table}",
            f"INSERT OR REPLACE INTO {table} {rows}",
            f"REPLACE INTO {table} {rows}",
        ):
            with pytest.raises(sqlite3.IntegrityError, match="never edited or deleted"):
                other.execute(statement)
        if table in LOGS:  # a second row that claims to correct the same entry
            other.execute("BEGIN")
            first = fresh.replace(" corrects,", " 1,")
            other.execute(f"INSERT INTO {table} {first}")
            with pytest.raises(sqlite3.IntegrityError, match="never edited or deleted"):
                other.execute(f"INSERT OR REPLACE INTO {table} {first.replace('1000', '2000')}")
            other.execute("ROLLBACK")
        assert other.execute(f"SELECT * FROM {table}").fetchall() == before


def test_an_entry_forged_past_the_triggers_is_found(job: JobFolder) -> None:
    for leg in (1, 2, 3):
        add(job, "press_log", PRESS | {"leg": leg})
    job.close()
    with closing(sqlite3.connect(job.path / "site.sqlite", isolation_level=None)) as other:
        for guard in ("keep_values", "keep_rows"):
            other.execute(f"DROP TRIGGER press_log_{guard}")
        other.execute("UPDATE press_log SET tail_after_m = 0.02 WHERE id = 3")
        other.execute("DELETE FROM press_log WHERE id = 2")
    told = {f"{found.code} {found.key}" for found in check(job.path).faults}
    assert told == {
        "SR-063 press_log 3",
        "SR-064 press_log 2",
        "SR-065 press_log_keep_rows",
        "SR-065 press_log_keep_values",
    }


def test_an_entry_names_the_revision_it_was_made_under(job: JobFolder) -> None:
    add(job, "press_log")
    (job.path / "job.toml").write_text("rise = '8 ft'\n")
    add(job, "press_log")
    assert [entry.revision for entry in job.entries("press_log")] == [1, 2]
    assert job.body_of(2) == b"rise = '8 ft'\n"


def test_the_page_names_every_log_and_column() -> None:
    page = (ROOT / "docs" / "job-folder.md").read_text(encoding="utf-8")
    table = dict(re.findall(r"^\| `(\w+)` \| (.*?) \|$", page, re.MULTILINE))
    for log, values in ROWS.items():
        assert set(re.findall(r"`(\w+)`", table[log])) == set(values)
        optional = set(re.findall(r"\*`(\w+)`\*", table[log]))
        with closing(sqlite3.connect(":memory:", isolation_level=None)) as empty:
            build(empty)
            wanted = {name for name, (_, must) in columns(empty, log).items() if not must}
        assert optional == wanted - {"id", "revision", "corrects"}
