"""``rafterstay store``: what it prints, what it leaves behind and with which code it ends."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from rafterstay.cli.store import store
from rafterstay.core.errors import StoreError
from rafterstay.store import create_folder, open_folder
from tests.store.samples import FIRST, cider_house, said_by


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Any:
    def run(*words: object) -> tuple[int, str]:
        code = store.main([str(word) for word in words], standalone_mode=False)
        return int(code), capsys.readouterr().out

    return run


def document(out: str) -> dict[str, Any]:
    told = json.loads(out)
    assert told["command"] == "store"
    assert told["schema"] == 1
    return dict(told)


def test_check(run: Any, tmp_path: Path) -> None:
    folder = cider_house(tmp_path / "cider")
    code, out = run("check", folder)
    assert code == 0
    assert "press_log: 4\n" in out
    assert out.endswith("All is as it was written.\n")
    body = (folder / "site.sqlite").read_bytes()
    (folder / "site.sqlite").write_bytes(body.replace(b"lock nut loose", b"lock nut tight"))
    code, out = run("check", folder / "job.toml", "--json")
    assert code == 1
    told = document(out)
    assert told["rows"]["inspections"] == 4
    assert {fault["code"] for fault in told["faults"]} == {"SR-063"}
    assert "was altered" in told["faults"][0]["text"]


def test_backup_and_restore(run: Any, tmp_path: Path) -> None:
    folder = cider_house(tmp_path / "cider")
    code, out = run("backup", folder, "--to", tmp_path / "disk")
    (made,) = (tmp_path / "disk").iterdir()
    assert (code, out) == (0, f"Backed up to {made}.\n")
    code, out = run("restore", made, "--into", tmp_path / "back", "--json")
    assert (code, document(out)["path"]) == (0, str(tmp_path / "back"))
    assert said_by(tmp_path / "back") == said_by(folder)


def test_export_and_import(run: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = cider_house(tmp_path / "cider")
    (folder / "cat.jpg").touch()
    monkeypatch.chdir(tmp_path)
    code, out = run("export", folder)
    assert code == 0
    assert "left out: cat.jpg\n" in out
    code, out = run("import", "cider.rafterstay.zip", "--into", "again")
    assert code == 0
    code, out = run("export", "again", "-o", "second.zip", "--json")
    assert len(document(out)["files"]) == 14
    assert Path("second.zip").read_bytes() == Path("cider.rafterstay.zip").read_bytes()


def test_salvage(run: Any, tmp_path: Path) -> None:
    folder = cider_house(tmp_path / "cider")
    code, out = run("salvage", folder, "--into", tmp_path / "saved")
    assert code == 0
    assert "recordings: 3 saved whole\n" in out
    code, out = run("salvage", folder, "--into", tmp_path / "more", "--json")
    assert (code, document(out)["lost"], document(out)["rows"]["press_log"]) == (0, [], 4)


def test_revisions_are_listed_compared_and_gone_back_to(run: Any, tmp_path: Path) -> None:
    folder = tmp_path / "barn"
    with create_folder(folder, FIRST) as job:
        job.save(FIRST + "# \x1b[31m red\n", note="\x1b[31mred", expected=job.read().fingerprint)
    code, out = run("revisions", folder)
    assert code == 0
    assert [line.split()[0] for line in out.splitlines()] == ["*", "1"]
    assert "\x1b" not in out
    assert "\\x1b[31mred" in out
    code, out = run("revisions", folder, "--show", 2)
    assert out == FIRST + "# \\x1b[31m red\n"
    code, out = run("compare", folder, 1)
    assert "+# \\x1b[31m red\n" in out
    assert run("compare", folder, 2)[1] == "No difference.\n"
    code, out = run("undo", folder)
    assert (code, out) == (0, "Revision 3 is current: undo: revision 1.\n")
    code, out = run("revert", folder, 2, "--note", "after all", "--json")
    assert document(out)["revision"]["note"] == "after all"
    code, out = run("revisions", folder, "--json")
    assert [row["id"] for row in document(out)["revisions"]] == [4, 3, 2, 1]
    assert document(out)["current"] == 4


def test_an_edit_by_hand_is_recorded_when_asked(run: Any, tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(FIRST)
    assert run("record", tmp_path, "--note", "start") == (0, "Recorded as revision 1.\n")
    (tmp_path / "job.toml").write_text("# by hand\n")
    assert document(run("record", tmp_path / "job.toml", "--json")[1])["revision"]["id"] == 2
    assert run("record", tmp_path)[1] == "Revision 2 is job.toml as it stands already.\n"
    assert "start" in run("revisions", tmp_path)[1]
    (tmp_path / "job.toml").unlink()
    assert run("revisions", tmp_path)[1].startswith("job.toml is missing")
    assert run("revert", tmp_path, 2)[0] == 0
    assert (tmp_path / "job.toml").read_text() == "# by hand\n"


def test_an_edit_by_hand_is_asked_about(
    run: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "barn"
    with create_folder(folder, FIRST) as job:
        job.save("# two\n", expected=job.read().fingerprint)
    (folder / "job.toml").write_text("# by hand\n")
    with pytest.raises(StoreError) as refused:
        run("undo", folder)
    assert refused.value.findings[0].code == "SR-020"
    said = capsys.readouterr().err
    assert "-# by hand\n" in said
    assert "--edits" in said
    assert (folder / "job.toml").read_text() == "# by hand\n"
    assert "is not recorded yet" in run("revisions", folder)[1]
    code, out = run("undo", folder, "--edits")
    assert (code, out) == (0, "Revision 4 is current: undo: revision 2.\n")
    assert (folder / "job.toml").read_text() == "# two\n"
    with open_folder(folder) as job:
        assert job.body_of(3) == b"# by hand\n"


def test_a_folder_that_is_no_job_is_refused(run: Any, tmp_path: Path) -> None:
    for words in (
        ("check", tmp_path),
        ("backup", tmp_path),
        ("restore", tmp_path, "--into", tmp_path / "x"),
        ("export", tmp_path),
        ("import", tmp_path, "--into", tmp_path / "x"),
        ("revisions", tmp_path),
        ("undo", tmp_path),
        ("salvage", tmp_path, "--into", tmp_path / "x"),
    ):
        with pytest.raises(StoreError) as refused:
            run(*words)
        assert refused.value.findings[0].code in ("SR-001", "SR-050")
    assert list(tmp_path.iterdir()) == []
