"""Saving, asking when the file was changed outside, and going back."""

from __future__ import annotations

import hashlib
import os
import threading
import tracemalloc
from pathlib import Path

import pytest

from rafterstay.core.errors import InputError, StoreError
from rafterstay.job import set_value
from rafterstay.store import Conflict, create_folder, open_folder, saving
from rafterstay.store.checkup import check
from rafterstay.store.files import JOB_LIMIT
from rafterstay.store.schema import connect

ONE, TWO, THREE = "rise = '7 ft'\n", "rise = '7 ft 3 in'\n", "rise = '6 ft 11 in'\n"


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def code_of(error: pytest.ExceptionInfo[StoreError]) -> str:
    return error.value.findings[0].code


def test_a_plain_folder_is_served_from_its_first_use(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(ONE)
    with open_folder(tmp_path) as job:
        assert job.revisions() == ()
        assert job.entries("press_log") == ()
        for act, code in ((job.undo, "SR-022"), (lambda: job.restore(1), "SR-021")):
            with pytest.raises(StoreError) as refused:
                act()
            assert code_of(refused) == code
        seen = job.read()
        assert (seen.text, seen.revision) == (ONE, None)
        assert names(tmp_path) == ["job.toml"]
        job.save(TWO, note="steeper", expected=seen.fingerprint)
        second, first = job.revisions()
        assert (first.kind, first.note, job.body_of(1)) == ("outside", "as found", ONE.encode())
        assert (second.kind, second.note, second.parent) == ("save", "steeper", 1)
        assert second.fingerprint == hashlib.sha256(TWO.encode()).hexdigest()
    with open_folder(tmp_path / "job.toml") as job:
        assert job.read().text == TWO
        assert job.notices == ()
    assert names(tmp_path) == ["job.toml", "site.sqlite"]


def test_comments_and_permissions_stay(tmp_path: Path) -> None:
    text = '[roof]  # measured in May\nrise = "7 ft"  # to the hub\n\n# the rest is as built\n'
    folder = tmp_path / "barn"
    with create_folder(folder, text) as job:
        (folder / "job.toml").chmod(0o640)
        seen = job.read()
        job.save(set_value(seen.text, "roof.rise", "7 ft 3 in"), expected=seen.fingerprint)
        assert job.read().text == text.replace("7 ft", "7 ft 3 in")
        assert (folder / "job.toml").stat().st_mode & 0o777 == 0o640


def test_a_file_changed_outside_is_asked_about(tmp_path: Path) -> None:
    folder = tmp_path / "barn"
    with create_folder(folder, ONE) as job:
        seen = job.read()
        (folder / "job.toml").write_text(TWO)
        with pytest.raises(Conflict) as refused:
            job.save(THREE, expected=seen.fingerprint)
        assert code_of(refused) == "SR-020"
        assert refused.value.found.text == TWO
        assert refused.value.mine == THREE.encode()
        assert "-rise = '7 ft 3 in'" in str(refused.value)
        assert "+rise = '6 ft 11 in'" in str(refused.value)
        assert (folder / "job.toml").read_text() == TWO
        assert len(job.revisions()) == 1
        with pytest.raises(Conflict):
            job.save(THREE)  # expects the revision recorded last


@pytest.mark.parametrize("keep", ["mine", "file"])
def test_whichever_is_kept_the_other_stays_as_a_revision(tmp_path: Path, keep: str) -> None:
    folder = tmp_path / "barn"
    with create_folder(folder, ONE) as job:
        first = job.read().fingerprint
        (folder / "job.toml").write_text(TWO)
        kept = job.save(THREE, expected=first, keep=keep)  # type: ignore[arg-type]
        wanted = THREE if keep == "mine" else TWO
        assert job.read().text == wanted
        assert job.read().revision == kept.id
        assert {job.body_of(found.id) for found in job.revisions()} == {
            text.encode() for text in (ONE, TWO, THREE)
        }
        aside = [job.body_of(r.id) for r in job.revisions() if r.outcome == "set aside"]
        assert aside == ([] if keep == "mine" else [THREE.encode()])
        assert job.undo().fingerprint == (
            hashlib.sha256((TWO if keep == "mine" else ONE).encode()).hexdigest()
        )
    assert check(folder).faults == ()


def test_a_text_seen_and_then_saved_over_is_recorded_first(tmp_path: Path) -> None:
    folder = tmp_path / "barn"
    with create_folder(folder, ONE) as job:
        (folder / "job.toml").write_bytes(b"rise = '\xff'\n")  # not even UTF-8
        seen = job.read()
        assert seen.text == "rise = '\\xff'\n"
        job.save(THREE, expected=seen.fingerprint)
        assert [job.body_of(n) for n in (1, 2, 3)] == [
            ONE.encode(),
            b"rise = '\xff'\n",
            THREE.encode(),
        ]
        assert job.revisions()[1].note == "changed outside"


def test_two_tabs_and_the_second_save_is_refused(tmp_path: Path) -> None:
    folder = tmp_path / "barn"
    with create_folder(folder, ONE) as left, open_folder(folder) as right:
        seen_left, seen_right = left.read(), right.read()
        left.save(TWO, expected=seen_left.fingerprint)
        with pytest.raises(Conflict) as refused:
            right.save(THREE, expected=seen_right.fingerprint)
        assert refused.value.found.revision == 2
        assert right.save(THREE, expected=refused.value.found.fingerprint).id == 3
        assert left.save(THREE, expected=seen_left.fingerprint).id == 3  # the same text: no quarrel


def test_undo_goes_back_step_by_step_and_keeps_everything(tmp_path: Path) -> None:
    with create_folder(tmp_path / "barn", ONE) as job:
        job.append("inspections", INSPECTION, who="Ida", taken="2040-10-02")
        for text in (TWO, THREE):
            job.save(text, expected=job.read().fingerprint)
        assert job.undo().source == 2
        assert job.read().text == TWO
        assert job.undo().source == 1
        assert job.read().text == ONE
        with pytest.raises(StoreError) as refused:
            job.undo()
        assert code_of(refused) == "SR-022"
        job.save("rise = '9 ft'\n", expected=job.read().fingerprint)
        job.restore(3)
        assert job.read().text == THREE
        job.undo()  # of the restore
        assert job.read().text == "rise = '9 ft'\n"
        assert job.undo().source == 1  # of the text saved after two undos
        assert job.read().text == ONE
        assert [found.id for found in job.revisions()] == list(range(9, 0, -1))
        assert len(job.entries("inspections")) == 1


INSPECTION = {
    "part": "ring",
    "occasion": "autumn",
    "finding": "watch",
    "seen": "one broken wire near eye 4",
    "done": "marked with tape",
}


def test_undo_of_an_edit_by_hand(tmp_path: Path) -> None:
    folder = tmp_path / "barn"
    with create_folder(folder, ONE) as job:
        (folder / "job.toml").write_text(TWO)
        with pytest.raises(StoreError) as refused:
            job.undo()
        assert code_of(refused) == "SR-022"  # nothing recorded before
        job.undo(expected=job.read().fingerprint)
        assert job.read().text == ONE
        assert job.body_of(2) == TWO.encode()


def test_revisions_are_compared(tmp_path: Path) -> None:
    with create_folder(tmp_path / "barn", ONE) as job:
        job.save(TWO, expected=job.read().fingerprint)
        between = [
            "--- revision 1",
            "+++ revision 2",
            "@@ -1 +1 @@",
            f"-{ONE[:-1]}",
            f"+{TWO[:-1]}",
        ]
        assert job.differences(1, 2).splitlines() == between
        assert job.differences(1).splitlines()[1] == "+++ job.toml"
        for act in (job.body_of, job.restore):
            with pytest.raises(StoreError) as refused:
                act(3)
            assert code_of(refused) == "SR-021"


def test_a_refused_job_is_not_written(tmp_path: Path) -> None:
    with create_folder(tmp_path / "barn", ONE) as job:
        with pytest.raises(InputError):
            job.save("[roof]\nsides = 2\n", expected=job.read().fingerprint, validate=True)
        assert job.read().text == ONE
        assert len(job.revisions()) == 1


def test_what_is_no_job_folder(tmp_path: Path) -> None:
    with pytest.raises(StoreError) as refused:
        open_folder(tmp_path)
    assert code_of(refused) == "SR-001"
    with pytest.raises(StoreError) as refused:
        open_folder(tmp_path / "nowhere")
    assert code_of(refused) == "SR-001"
    with create_folder(tmp_path / "barn", ONE) as job:
        (job.path / "job.toml").unlink()
        for act in (job.read, lambda: job.save(TWO), lambda: job.save(TWO, keep="file")):
            with pytest.raises(StoreError) as refused:
                act()
            assert code_of(refused) == "SR-001"
        assert job.save(TWO, keep="mine").id == 2
        assert job.read().text == TWO
        (job.path / "job.toml").unlink()
        assert job.restore(1).id == 3
        (job.path / "job.toml").unlink()
        assert job.undo().source == 2
        assert job.read().text == TWO


def test_a_name_that_is_taken_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "barn").mkdir()
    with pytest.raises(StoreError) as refused:
        create_folder(tmp_path / "barn", ONE)
    assert code_of(refused) == "SR-055"
    assert names(tmp_path) == ["barn"]
    assert names(tmp_path / "barn") == []


def test_devices_pipes_and_links_do_not_stop_it(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "job.toml")
    with open_folder(tmp_path) as job, pytest.raises(StoreError) as refused:
        job.read()
    assert code_of(refused) == "SR-002"
    (tmp_path / "job.toml").unlink()
    (tmp_path / "job.toml").symlink_to("/dev/zero")
    with open_folder(tmp_path) as job, pytest.raises(StoreError) as refused:
        job.read()
    assert code_of(refused) == "SR-002"
    (tmp_path / "job.toml").unlink()
    (tmp_path / "other.toml").write_text(ONE)
    (tmp_path / "job.toml").symlink_to("other.toml")
    with open_folder(tmp_path) as job, pytest.raises(StoreError) as refused:
        job.save(TWO, expected=job.read().fingerprint)
    assert code_of(refused) == "SR-056"
    assert (tmp_path / "job.toml").is_symlink()


def test_memory_is_bounded(tmp_path: Path) -> None:
    with (tmp_path / "job.toml").open("wb") as file:
        file.truncate(40_000_000)
    tracemalloc.start()
    try:
        with open_folder(tmp_path) as job, pytest.raises(StoreError) as refused:
            job.read()
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert code_of(refused) == "SR-003"
    assert peak < 3 * JOB_LIMIT
    (tmp_path / "job.toml").write_text(ONE)
    with open_folder(tmp_path) as job, pytest.raises(StoreError) as refused:
        job.save("#" * (JOB_LIMIT + 1), expected=job.read().fingerprint)
    assert code_of(refused) == "SR-003"


def test_a_job_held_by_another_program_is_told(tmp_path: Path) -> None:
    folder = tmp_path / "barn"
    create_folder(folder, ONE).close()
    other = connect(folder / "site.sqlite")
    try:
        other.execute("BEGIN IMMEDIATE")
        with open_folder(folder, patience=0.05) as job:
            with pytest.raises(StoreError) as refused:
                job.save(TWO, expected=job.read().fingerprint)
            assert code_of(refused) == "SR-014"
            other.execute("ROLLBACK")
            assert job.save(TWO, expected=job.read().fingerprint).id == 2
    finally:
        other.close()


def test_a_job_taken_by_another_in_the_middle_of_a_save(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "barn"
    create_folder(folder, ONE).close()
    other = connect(folder / "site.sqlite")
    put = saving._put_in_place

    def taken(*words: object) -> object:
        other.execute("BEGIN IMMEDIATE")
        try:
            return put(*words)  # type: ignore[arg-type]
        finally:
            other.execute("ROLLBACK")

    monkeypatch.setattr(saving, "_put_in_place", taken)
    try:
        with open_folder(folder, patience=0.05) as job:
            with pytest.raises(StoreError) as refused:
                job.save(TWO, expected=job.read().fingerprint)
            assert code_of(refused) == "SR-016"
            assert job.read().text == ONE
        with open_folder(folder) as job:
            assert [notice.code for notice in job.notices] == ["SR-071"]
            assert job.read().text == TWO
    finally:
        other.close()


def test_an_edit_between_recording_and_placing_is_not_overwritten(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "barn"
    with create_folder(folder, ONE) as job:
        put = saving._put_in_place

        def edited(*words: object) -> object:
            (folder / "job.toml").write_text(THREE)
            return put(*words)  # type: ignore[arg-type]

        monkeypatch.setattr(saving, "_put_in_place", edited)
        with pytest.raises(Conflict) as refused:
            job.save(TWO, expected=job.read().fingerprint)
        assert refused.value.found.text == THREE
        assert (folder / "job.toml").read_text() == THREE
        assert job.revisions()[0].outcome == "set aside"
        assert not list(folder.glob(".*"))


def test_threads_share_a_folder(tmp_path: Path) -> None:
    refused: list[Conflict] = []
    with create_folder(tmp_path / "barn", ONE) as job:
        first = job.read().fingerprint

        def save(number: int) -> None:
            try:
                job.save(f"rise = '{number} ft'\n", expected=first)
            except Conflict as conflict:
                refused.append(conflict)

        threads = [threading.Thread(target=save, args=(number,)) for number in range(6)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert (len(refused), len(job.revisions())) == (5, 2)
