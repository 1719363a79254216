"""A backup can be opened as it is, and is brought back only if it is as it was made."""

from __future__ import annotations

from pathlib import Path

import pytest

from rafterstay.core.errors import StoreError
from rafterstay.store import open_folder
from rafterstay.store.backup import SUMS, back_up, restore_backup
from rafterstay.store.bundle import export_job
from rafterstay.store.checkup import check
from tests.store.samples import FIRST, cider_house, said_by


def test_a_backup_is_the_job_of_that_moment(tmp_path: Path) -> None:
    folder = cider_house(tmp_path / "cider")
    told = said_by(folder)
    with open_folder(folder) as job:  # its last entries still wait in the write-ahead log
        made = back_up(folder, tmp_path / "disk", at="2031-05-04T09:08:07.006Z")
        job.save("# later\n", expected=job.read().fingerprint)
    assert made == tmp_path / "disk" / "cider-20310504T090807.006Z"
    back = restore_backup(made, tmp_path / "back")
    assert said_by(back) == told
    assert check(back).faults == ()
    assert not (back / SUMS).exists()
    with open_folder(back) as job:
        assert job.save(FIRST, expected=job.read().fingerprint).parent is not None


def test_a_backup_stands_in_the_job_folder_unless_told(tmp_path: Path) -> None:
    folder = cider_house(tmp_path / "cider")
    first, second = back_up(folder), back_up(folder)
    assert first.parent == second.parent == folder / "backups"
    assert first != second
    with pytest.raises(StoreError) as refused:
        back_up(folder, at="2031-05-04T09:08:07.006Z")
        back_up(folder, at="2031-05-04T09:08:07.006Z")
    assert refused.value.findings[0].code == "SR-055"


def test_an_export_is_restored_too(tmp_path: Path) -> None:
    folder = cider_house(tmp_path / "cider")
    export_job(folder, tmp_path / "out.zip")
    assert said_by(restore_backup(tmp_path / "out.zip", tmp_path / "back")) == said_by(folder)


@pytest.mark.parametrize("name", ["job.toml", "readings/leg-4.wav", "site.sqlite"])
@pytest.mark.parametrize("change", ["altered", "missing", "added"])
def test_a_backup_that_was_changed_is_refused(tmp_path: Path, name: str, change: str) -> None:
    made = back_up(cider_house(tmp_path / "cider"), tmp_path)
    path = made / name
    if change == "missing":
        path.unlink()
    elif change == "altered":
        body = bytearray(path.read_bytes())
        body[len(body) // 2] ^= 1
        path.write_bytes(body)
    else:
        (made / "readings" / "extra.csv").touch()
    with pytest.raises(StoreError) as refused:
        restore_backup(made, tmp_path / "back")
    assert refused.value.findings[0].code == "SR-054"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["cider", made.name]


@pytest.mark.parametrize("body", [b"", b"[]", b"{}", b'{"job.toml": 3}', b"\xff"])
def test_a_folder_that_is_no_backup_is_refused(tmp_path: Path, body: bytes) -> None:
    folder = cider_house(tmp_path / "cider")
    (folder / SUMS).write_bytes(body)
    with pytest.raises(StoreError) as refused:
        restore_backup(folder, tmp_path / "back")
    assert refused.value.findings[0].code == "SR-050"


def test_what_is_there_is_not_overwritten(tmp_path: Path) -> None:
    folder = cider_house(tmp_path / "cider")
    made = back_up(folder, tmp_path)
    told = said_by(folder)
    with pytest.raises(StoreError) as refused:
        restore_backup(made, folder)
    assert refused.value.findings[0].code == "SR-055"
    assert said_by(folder) == told
