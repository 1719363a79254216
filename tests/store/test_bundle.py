"""The whole job as one file: the same bytes again, and nothing trusted on the way in."""

from __future__ import annotations

import hashlib
import json
import random
import shutil
import sqlite3
import subprocess
import sys
import zipfile
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from rafterstay.core.errors import StoreError
from rafterstay.store import bundle, create_folder, files, open_folder, schema
from rafterstay.store.bundle import MANIFEST, allowed_name, export_job
from rafterstay.store.checkup import check
from rafterstay.store.rows import insert
from rafterstay.store.unbundle import import_job
from tests.store.samples import FIRST, cider_house, said_by


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = cider_house(tmp_path_factory.mktemp("made") / "cider")
    (folder / "plan.pdf").write_text("no part of the job")
    export_job(folder, folder.parent / "cider.zip")
    return folder.parent


def refusal(act: Callable[[], object]) -> str:
    with pytest.raises(StoreError) as refused:
        act()
    return refused.value.findings[0].code


def test_exported_imported_and_exported_again_it_is_the_same_bytes(
    made: Path, tmp_path: Path
) -> None:
    first = made / "cider.zip"
    folder = import_job(first, tmp_path / "again")
    assert said_by(folder) == said_by(made / "cider")
    exported = export_job(folder, tmp_path / "again.zip")
    assert (tmp_path / "again.zip").read_bytes() == first.read_bytes()
    assert exported.sha256 == hashlib.sha256(first.read_bytes()).hexdigest()
    assert export_job(made / "cider", tmp_path / "third.zip").left_out == ("plan.pdf",)
    assert (tmp_path / "third.zip").read_bytes() == first.read_bytes()
    assert check(folder).faults == ()
    with open_folder(folder) as job:
        job.append("press_log", cast(job.entries("press_log")[0].values), who="Jo", taken="2050")
        assert job.undo().kind == "undo"


def cast(values: Any) -> dict[str, Any]:
    return dict(values)


def test_a_folder_without_a_database_goes_round_too(tmp_path: Path) -> None:
    (tmp_path / "plain").mkdir()
    (tmp_path / "plain" / "job.toml").write_text(FIRST)
    export_job(tmp_path / "plain", tmp_path / "one.zip")
    folder = import_job(tmp_path / "one.zip", tmp_path / "back")
    assert [path.name for path in folder.iterdir()] == ["job.toml"]
    export_job(folder, tmp_path / "two.zip")
    assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "two.zip").read_bytes()


def test_another_program_can_read_it(made: Path) -> None:
    """A general ZIP reader and a general JSON reader see what the page says."""
    with zipfile.ZipFile(made / "cider.zip") as archive:
        assert archive.testzip() is None
        names = archive.namelist()
        assert names[:-1] == sorted(names[:-1])
        assert names[-1] == MANIFEST
        manifest = json.loads(archive.read(MANIFEST))
        assert manifest["format"] == "rafterstay-job"
        for row in manifest["files"]:
            body = archive.read(row["name"])
            assert (len(body), hashlib.sha256(body).hexdigest()) == (row["bytes"], row["sha256"])
        lines = archive.read("site/revisions.jsonl").decode().split("\n")
        texts = [json.loads(line).get("body") for line in lines if line]
        assert texts[0] == FIRST
        assert {info.date_time for info in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert {info.compress_type for info in archive.infolist()} == {zipfile.ZIP_STORED}


def test_nothing_is_overwritten(made: Path, tmp_path: Path) -> None:
    (tmp_path / "kept").mkdir()
    (tmp_path / "kept" / "mine.txt").write_text("mine")
    (tmp_path / "file.zip").write_text("mine")
    (tmp_path / "link").symlink_to("nowhere")
    for name in ("kept", "file.zip", "link"):
        assert refusal(lambda at=name: import_job(made / "cider.zip", tmp_path / at)) == "SR-055"
    assert refusal(lambda: export_job(made / "cider", tmp_path / "file.zip")) == "SR-055"
    assert (tmp_path / "file.zip").read_text() == "mine"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["file.zip", "kept", "link"]


def rewritten(
    source: Path,
    target: Path,
    change: Callable[[dict[str, bytes]], object] = len,
    *,
    manifest: Callable[[dict[str, Any]], object] = len,
    info: Callable[[zipfile.ZipInfo], object] = str,
) -> Path:
    """An export with its parts changed and its manifest made to agree, then changed itself."""
    with zipfile.ZipFile(source) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    content = json.loads(parts.pop(MANIFEST))
    change(parts)
    content["files"] = [
        {"name": name, "bytes": len(body), "sha256": hashlib.sha256(body).hexdigest()}
        for name, body in parts.items()
    ]
    manifest(content)
    with zipfile.ZipFile(target, "w") as archive:
        for name, body in [*parts.items(), (MANIFEST, json.dumps(content).encode())]:
            entry = zipfile.ZipInfo(name)
            info(entry)
            archive.writestr(entry, body)
    return target


def test_a_rewritten_export_is_taken_when_it_is_sound(made: Path, tmp_path: Path) -> None:
    """So that each refusal below is for its own reason."""
    sound = rewritten(made / "cider.zip", tmp_path / "sound.zip")
    assert said_by(import_job(sound, tmp_path / "in")) == said_by(made / "cider")


NAMES = [
    *("../evil.csv", "readings/../../evil.csv", "/etc/evil.csv", "readings//evil.csv"),
    *("readings/a\\..\\evil.csv", "readings/", "readings/.", "evil.csv", "site.sqlite"),
    *("site/evil.jsonl", "readings/e\x1bvil.csv", "readings/" + "d/" * 9 + "x", "JOB.TOML"),
    "readings/" + "x" * 256,
]


@pytest.mark.parametrize("name", NAMES)
def test_a_path_that_leads_elsewhere_is_refused(made: Path, tmp_path: Path, name: str) -> None:
    bad = rewritten(
        made / "cider.zip", tmp_path / "bad.zip", lambda parts: parts.update({name: b"x"})
    )
    assert refusal(lambda: import_job(bad, tmp_path / "in" / "job")) in ("SR-052", "SR-015")
    (tmp_path / "in").mkdir()
    assert refusal(lambda: import_job(bad, tmp_path / "in" / "job")) == "SR-052"
    assert list((tmp_path / "in").iterdir()) == []
    assert not allowed_name(name)


def test_links_packed_and_locked_entries_are_refused(made: Path, tmp_path: Path) -> None:
    def link(info: zipfile.ZipInfo) -> None:
        info.external_attr = 0o120777 << 16

    def packed(info: zipfile.ZipInfo) -> None:
        info.compress_type = zipfile.ZIP_DEFLATED

    for change, code in ((link, "SR-052"), (packed, "SR-050")):
        bad = rewritten(made / "cider.zip", tmp_path / "bad.zip", info=change)
        assert refusal(lambda at=bad: import_job(at, tmp_path / "in")) == code


REPLACED = {
    "an entry not listed": ("SR-050", lambda c: c["files"].pop()),
    "no format": ("SR-050", lambda c: c.update(format="other")),
    "no version": ("SR-050", lambda c: c.update(version="1")),
    "true for a version": ("SR-050", lambda c: c.update(version=True)),
    "newer": ("SR-051", lambda c: c.update(version=2)),
    "newer schema": ("SR-051", lambda c: c.update(schema=99)),
    "a wrong checksum": ("SR-054", lambda c: c["files"][0].update(sha256="0" * 64)),
    "a wrong size": ("SR-054", lambda c: c["files"][0].update(bytes=3)),
    "files is no list": ("SR-050", lambda c: c.update(files={})),
    "a file is no object": ("SR-050", lambda c: c.update(files=[3])),
    "a size below nothing": ("SR-050", lambda c: c["files"][0].update(bytes=-1)),
}


@pytest.mark.parametrize("what", REPLACED)
def test_a_manifest_that_does_not_agree_is_refused(made: Path, tmp_path: Path, what: str) -> None:
    code, change = REPLACED[what]
    bad = rewritten(made / "cider.zip", tmp_path / "bad.zip", manifest=change)
    assert refusal(lambda: import_job(bad, tmp_path / "in")) == code
    assert [path.name for path in tmp_path.iterdir()] == ["bad.zip"]


def lines(parts: dict[str, bytes], change: Callable[[dict[str, Any]], None]) -> None:
    first, rest = parts["site/press_log.jsonl"].split(b"\n", 1)
    row = json.loads(first)
    change(row)
    parts["site/press_log.jsonl"] = json.dumps(row).encode() + b"\n" + rest


@pytest.mark.parametrize(
    "change",
    [
        lambda parts: lines(parts, lambda row: row.update(evil="x")),
        lambda parts: lines(parts, lambda row: row.update(leg="4")),
        lambda parts: lines(parts, lambda row: row.update(leg=2**70)),
        lambda parts: lines(parts, lambda row: row.update(leg=-4)),
        lambda parts: lines(parts, lambda row: row.update(tail_after_m=float("nan"))),
        lambda parts: lines(parts, lambda row: row.update(id=2)),
        lambda parts: lines(parts, lambda row: row.pop("gauge")),
        lambda parts: parts.update({"site/press_log.jsonl": b"[" * 100_000}),
        lambda parts: parts.update({"site/press_log.jsonl": b"3\n"}),
        lambda parts: parts.update({"site/press_log.jsonl": b"{}"}),
        lambda parts: parts.update({"site/press_log.jsonl": b"\xff\n"}),
        lambda parts: parts.update({"site/revisions.jsonl": b'{"id": 1, "body_base64": "*"}\n'}),
        lambda parts: parts.pop("site/revisions.jsonl"),
        lambda parts: parts.pop("job.toml"),
    ],
)
def test_rows_that_do_not_belong_are_refused(
    made: Path, tmp_path: Path, change: Callable[[dict[str, bytes]], None]
) -> None:
    bad = rewritten(made / "cider.zip", tmp_path / "bad.zip", change)
    assert refusal(lambda: import_job(bad, tmp_path / "in")) == "SR-050"
    assert [path.name for path in tmp_path.iterdir()] == ["bad.zip"]


def test_a_row_altered_before_the_import_is_told_by_the_check(made: Path, tmp_path: Path) -> None:
    change = lambda parts: lines(parts, lambda row: row.update(tail_after_m=0.02))  # noqa: E731
    altered = rewritten(made / "cider.zip", tmp_path / "altered.zip", change)
    folder = import_job(altered, tmp_path / "in")
    assert [str(found)[:18] for found in check(folder).faults] == ["SR-063 press_log 1"]


def test_what_is_too_large_is_refused(
    made: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def grow(parts: dict[str, bytes]) -> None:
        parts["job.toml"] = b"#" * (files.JOB_LIMIT + 1)

    bad = rewritten(made / "cider.zip", tmp_path / "bad.zip", grow)
    assert refusal(lambda: import_job(bad, tmp_path / "in")) == "SR-053"
    with (tmp_path / "huge.zip").open("wb") as file:
        file.truncate(bundle.BUNDLE_LIMIT + 1)
    assert refusal(lambda: import_job(tmp_path / "huge.zip", tmp_path / "in")) == "SR-053"
    with zipfile.ZipFile(tmp_path / "many.zip", "w") as archive:
        for number in range(bundle.ENTRIES_LIMIT + 2):
            archive.writestr(f"readings/{number}", b"")
    assert refusal(lambda: import_job(tmp_path / "many.zip", tmp_path / "in")) == "SR-053"
    monkeypatch.setattr(files, "FILE_LIMIT", 9000)
    assert refusal(lambda: export_job(made / "cider", tmp_path / "out.zip")) == "SR-003"
    monkeypatch.setattr(bundle, "ENTRIES_LIMIT", 5)
    assert refusal(lambda: export_job(made / "cider", tmp_path / "out.zip")) == "SR-053"
    assert not (tmp_path / "out.zip").exists()


def test_links_and_odd_names_are_not_exported(tmp_path: Path) -> None:
    folder = cider_house(tmp_path / "cider")
    for name in ("link", "pipe"):
        odd = folder / "readings" / name
        odd.symlink_to("/etc/hostname") if name == "link" else schema.os.mkfifo(odd)
        assert refusal(lambda: export_job(folder, tmp_path / "out.zip")) == "SR-056"
        assert "SR-056" in [found.code for found in check(folder).faults]
        odd.unlink()
    (folder / "readings" / "a\nb.csv").touch()
    assert refusal(lambda: export_job(folder, tmp_path / "out.zip")) == "SR-056"


def test_any_bytes_give_a_named_error_and_leave_nothing(made: Path, tmp_path: Path) -> None:
    whole = (made / "cider.zip").read_bytes()
    rng = random.Random(20310504)
    codes = set()
    for number in range(150):
        body = bytearray(whole)
        if number % 3 == 0:
            del body[rng.randrange(len(body)) :]
        elif number % 3 == 1:
            for _ in range(rng.randint(1, 8)):
                body[rng.randrange(len(body))] ^= 1 << rng.randrange(8)
        else:  # in the list of entries and the record at the end
            body[-rng.randint(1, 1500)] ^= rng.randint(1, 255)
        (tmp_path / "bad.zip").write_bytes(body)
        try:
            folder = import_job(tmp_path / "bad.zip", tmp_path / "in")
        except StoreError as error:
            codes.add(error.findings[0].code)
        else:  # a date, say, that carries nothing of the job
            assert said_by(folder) == said_by(made / "cider")
            shutil.rmtree(folder)
        assert [path.name for path in tmp_path.iterdir()] == ["bad.zip"]
    assert codes <= {"SR-050", "SR-051", "SR-052", "SR-053", "SR-054"}
    assert len(codes) >= 3
    for body in (b"", b"PK\5\6" + b"\0" * 18, whole[:-1], b"\0" * 5000):
        (tmp_path / "bad.zip").write_bytes(body)
        assert refusal(lambda: import_job(tmp_path / "bad.zip", tmp_path / "in")) == "SR-050"
    assert refusal(lambda: import_job(tmp_path / "none.zip", tmp_path / "in")) == "SR-015"


def test_an_export_of_an_older_schema_is_taken(tmp_path: Path) -> None:
    folder = tmp_path / "old"
    folder.mkdir()
    (folder / "job.toml").write_text(FIRST)
    with closing(schema.connect(folder / "site.sqlite", create=True)) as old:
        schema.build(old, 1)
    with open_folder(folder) as job:
        job.save(FIRST + "# later\n", expected=job.read().fingerprint)
    export_job(folder, tmp_path / "new.zip")

    def age(parts: dict[str, bytes]) -> None:
        del parts["site/inspections.jsonl"], parts["site/recordings.jsonl"]

    old_zip = rewritten(
        tmp_path / "new.zip", tmp_path / "old.zip", age, manifest=lambda c: c.update(schema=1)
    )
    assert said_by(import_job(old_zip, tmp_path / "in")) == said_by(folder)


def test_others_write_while_it_is_exported(tmp_path: Path) -> None:
    """An export is of one moment: its text is the current one of its own revisions."""
    folder = cider_house(tmp_path / "cider")
    with open_folder(folder) as job, job.snapshot() as (text, connection):
        assert connection is not None
        with open_folder(folder) as other:
            other.save("# later\n", expected=other.read().fingerprint)
        assert job.path.joinpath("job.toml").read_text() == "# later\n"
        last = connection.execute("SELECT max(id) FROM revisions").fetchone()[0]
        body = connection.execute("SELECT body FROM revisions WHERE id = ?", (last,))
        assert bytes(body.fetchone()[0]) == text.body


def test_memory_stays_small_for_a_large_job(tmp_path: Path) -> None:
    """A child with little room: 400 texts of 100 kB and a 40 MB recording go both ways."""
    folder = tmp_path / "large"
    with create_folder(folder, FIRST) as job:
        job.save("# " + "x" * 100_000, expected=job.read().fingerprint)
    with closing(sqlite3.connect(folder / "site.sqlite", isolation_level=None)) as raw:
        raw.execute("BEGIN")
        for number in range(400):
            body = f"# {number} ".encode() + b"y" * 100_000
            row = {"at": "2031", "kind": "save", "note": "", "body": body}
            made = insert(raw, "revisions", row | {"fingerprint": files.fingerprint(body)})
            insert(raw, "outcomes", {"at": "2", "revision": made["id"], "outcome": "set aside"})
        raw.execute("COMMIT")
    (folder / "readings").mkdir()
    with (folder / "readings" / "long.wav").open("wb") as file:
        file.truncate(40_000_000)
    code = (
        "import resource, sys\n"
        "from rafterstay.store.bundle import export_job\n"
        "from rafterstay.store.unbundle import import_job\n"
        "from rafterstay.store.checkup import check\n"
        "start = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss\n"
        "export_job(sys.argv[1], sys.argv[2])\n"
        "import_job(sys.argv[2], sys.argv[3])\n"
        "assert check(sys.argv[3]).faults == ()\n"
        "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - start)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, folder, tmp_path / "large.zip", tmp_path / "in"],
        env={"PYTHONPATH": str(Path(bundle.__file__).parents[2])},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "large.zip").stat().st_size > 80_000_000
    assert int(done.stdout) < 40_000  # kB
