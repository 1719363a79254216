"""A job with some of everything in it, and what must be found in it again."""

from __future__ import annotations

import hashlib
import random
from pathlib import Path
from typing import Any

from rafterstay.store import JobFolder, create_folder, open_folder
from rafterstay.store.schema import LOGS
from tests.store.test_logs import PRESS, ROWS

FIRST = 'title = "Cider house"\nrise = "7 ft"\n'
READINGS = {
    "may.csv": b'from,to,kind,value,sigma\n1,2,level,"9\'-2 1/8\\"",\n',
    "2031/Überdachung.csv": b"from,to,kind,value,sigma\n",
    "leg-4.wav": bytes(range(256)) * 40,
}


def cider_house(folder: Path, *, entries: int = 3, revisions: int = 4) -> Path:
    """A job folder with readings, revisions, an undo, a set-aside text and every log."""
    rng = random.Random(len(folder.name))
    with create_folder(folder, FIRST) as job:
        (folder / "catalogue").mkdir()
        (folder / "catalogue" / "rope.csv").write_bytes(b"lay,size\ntext,in\n7x19,1/4\n")
        for name, body in READINGS.items():
            path = folder / "readings" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(body)
        for number in range(revisions):
            text = f"{FIRST}# {number} {'ridge ' * rng.randint(1, 2000)}\n"
            job.save(text, note=f"№ {number}", expected=job.read().fingerprint)
        job.undo(note="one back")
        (folder / "job.toml").write_bytes(b'title = "Cider \xff house"\n')
        job.save(FIRST, note="mine", keep="file")
        for number in range(entries):
            for log in LOGS:
                job.append(log, sample(log, number), who="Ida", taken="2031-05-04", note="ß\u2028")
        job.append("press_log", PRESS, who="Ida", taken="2031-05-05", corrects=1, why="gauged")
        job.withdraw("inspections", 2, who="Ida", why="wrong barn")
    return folder


def sample(log: str, number: int) -> dict[str, Any]:
    """An entry for a log, unlike the others in it."""
    values = ROWS[log] | ({"leg": number + 1} if "leg" in ROWS[log] else {})
    if log == "recordings":
        values["sha256"] = hashlib.sha256(READINGS["leg-4.wav"]).hexdigest()
    if log == "tension_readings":
        values |= {"value": 0.1 + number / 7, "air_degC": [None, -0.0, 21.0][number % 3]}
    return values


def everything(job: JobFolder) -> dict[str, Any]:
    """All that a job folder says, without the file it says it in."""
    told: dict[str, Any] = {
        "text": job.read().body,
        "revisions": [(found, job.body_of(found.id)) for found in job.revisions()],
        "readings": readings_in(job.path),
    }
    return told | {log: job.entries(log, superseded=True) for log in LOGS}


def readings_in(folder: Path) -> dict[str, bytes]:
    """Every file under ``readings/`` and ``catalogue/``."""
    found = sorted([*(folder / "readings").rglob("*"), *(folder / "catalogue").rglob("*")])
    return {str(p.relative_to(folder)): p.read_bytes() for p in found if p.is_file()}


def said_by(folder: Path) -> dict[str, Any]:
    """``everything`` in the folder at this path."""
    with open_folder(folder) as job:
        return everything(job)
