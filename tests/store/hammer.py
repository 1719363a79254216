"""A job folder under fire: child programs that save and log and say so, and what must hold then.

Run as ``python -m tests.store.hammer MODE FOLDER SEED``. A child writes a line on its standard
output only after a call has come back: that is what "acknowledged" means here.
"""

from __future__ import annotations

import hashlib
import json
import os
import random
import resource
import signal
import subprocess
import sys
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from rafterstay.core.errors import StoreError
from rafterstay.store import Conflict, Entry, JobFolder, open_folder
from rafterstay.store.checkup import check
from tests.contract.tree import ROOT

FIRST = 'title = "Hay barn, nine sides"\ncount = 0\n'
SETTLED = ("SR-070", "SR-071", "SR-072")


def digest(entry: Entry) -> str:
    """Everything an entry says, in few characters."""
    said = [entry.id, entry.at, entry.who, entry.taken, entry.revision, dict(entry.values)]
    return hashlib.sha256(json.dumps(said, sort_keys=True).encode()).hexdigest()


def random_text(rng: random.Random) -> str:
    """A job's text of 60 bytes to 60 kB, never twice the same."""
    length = int(60 * 1000 ** rng.random())
    return f'title = "Hay barn {rng.getrandbits(64):x}"\n# ' + "ridge " * (length // 6) + "\n"


def random_entry(job: JobFolder, rng: random.Random) -> Entry:
    """One entry in the press log or among the tension readings."""
    if rng.random() < 0.5:
        values: dict[str, Any] = {
            "leg": rng.randint(1, 9),
            "eye": "ring end",
            "reel": "B-17",
            "sleeve": "copper oval 1/4 in",
            "tool": "bench press",
            "presses": 3,
            "press_order": "middle, loop, tail",
            "tail_after_m": round(rng.uniform(0.006, 0.02), 4),
            "gauge": "passed",
        }
        return job.append("press_log", values, who="Ida", taken="2031-05-04")
    values = {
        "what": "pull",
        "place": str(rng.randint(1, 9)),
        "value": rng.uniform(700.0, 1300.0),
        "sigma": 35.5,
        "unit": "N",
        "method": "side pull",
        "written": "note " * rng.randint(0, 900),
    }
    return job.append("tension_readings", values, who="Ida", taken="2031-06-01")


def say(line: str) -> None:
    """Tell the parent, past every buffer of ours."""
    os.write(1, f"{line}\n".encode())


def one_step(job: JobFolder, rng: random.Random, note: str) -> str:
    """Save or log once, and give what was acknowledged."""
    if rng.random() < 0.5:
        made = job.save(random_text(rng), note=note, expected=job.read().fingerprint)
        return f"save {made.id} {made.fingerprint}"
    entry = random_entry(job, rng)
    return f"{entry.log} {entry.id} {digest(entry)}"


def keep_writing(folder: Path, seed: int) -> None:
    """Save and log until killed."""
    rng = random.Random(seed)
    say("ready")
    with open_folder(folder) as job:
        for step in range(1_000_000):
            say(one_step(job, rng, f"{seed}/{step}"))


def write_until_refused(folder: Path, seed: int, largest: int = 0) -> None:
    """Save and log; say each refusal by its code and go on.

    ``largest`` lets no file grow beyond so many bytes: a full disk for whoever cannot mount one.
    """
    if largest:
        resource.setrlimit(resource.RLIMIT_FSIZE, (largest, largest))
    rng = random.Random(seed)
    say("ready")
    for step in range(1_000_000):
        try:
            with open_folder(folder) as job:
                for _ in range(20):
                    say(one_step(job, rng, f"{seed}/{step}"))
        except StoreError as error:
            say(f"refused {error.findings[0].code} -")


def count_up(folder: Path, seed: int, seconds: float = 3.0) -> None:
    """Add one to the count in job.toml, again and again, against fifteen others."""
    until = time.monotonic() + seconds
    with open_folder(folder, patience=20.0) as job:
        while time.monotonic() < until:
            seen = job.read()
            count = int(seen.text.partition("count = ")[2].splitlines()[0])
            text = f"# writer {seed}\ncount = {count + 1}\n"
            try:
                made = job.save(text, expected=seen.fingerprint, note=str(count + 1))
            except Conflict:
                say("conflict 0 -")
                continue
            except StoreError as error:
                if error.findings[0].code != "SR-014":
                    raise
                say("locked 0 -")
                continue
            say(f"save {made.id} {made.fingerprint}")
            if count % 3 == 0:
                entry = random_entry(job, random.Random(count))
                say(f"{entry.log} {entry.id} {digest(entry)}")


def start(mode: str, folder: Path, seed: int, *more: str) -> subprocess.Popen[str]:
    """Start a child on ``folder``."""
    return subprocess.Popen(
        [sys.executable, "-m", "tests.store.hammer", mode, str(folder), str(seed), *more],
        cwd=ROOT,
        env=os.environ | {"PYTHONPATH": os.pathsep.join([str(ROOT / "src"), str(ROOT)])},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


@dataclass
class Tally:
    """What was acknowledged in one folder so far, and how the kills fell."""

    acknowledged: dict[tuple[str, int], str] = field(default_factory=dict)
    counts: Counter[str] = field(default_factory=Counter)

    def take(self, lines: list[str]) -> None:
        """Note what a child said."""
        for line in lines:
            what, number, mark = line.split()
            self.counts[what if what != "refused" else f"refused {number}"] += 1
            if what not in ("refused", "conflict", "locked"):
                self.acknowledged[what, int(number)] = mark

    def verify(self, folder: Path) -> None:
        """Everything acknowledged is there as it was, and nothing is half-written."""
        before = (folder / "job.toml").read_bytes()
        with open_folder(folder) as job:
            self.counts.update(n.code for n in job.notices if n.code in SETTLED)
            revisions = {found.id: found for found in job.revisions()}
            now = job.read()
            entries = {
                (log, entry.id): digest(entry)
                for log in ("press_log", "tension_readings")
                for entry in job.entries(log)
            }
            texts = {found.fingerprint for found in revisions.values()}
            assert hashlib.sha256(before).hexdigest() in texts, "job.toml was half-written"
            assert now.revision is not None, "job.toml is no recorded revision"
            assert hashlib.sha256(job.body_of(now.revision)).hexdigest() == now.fingerprint
        assert all(found.outcome for found in revisions.values())
        saved = {n: mark for (what, n), mark in self.acknowledged.items() if what == "save"}
        assert {n: revisions[n].fingerprint for n in saved} == saved
        assert all(revisions[n].outcome == "placed" for n in saved)
        assert now.revision >= max(saved, default=0), "an acknowledged save is not current"
        logged = {key: mark for key, mark in self.acknowledged.items() if key[0] != "save"}
        assert {key: entries.get(key) for key in logged} == logged
        assert check(folder).faults == ()


def kill_once(folder: Path, seed: int, tally: Tally) -> None:
    """Start a child, kill it at a random moment, and look at what it left."""
    kill_child(folder, seed, tally, "write")
    tally.verify(folder)


def kill_child(folder: Path, seed: int, tally: Tally, mode: str, *more: str) -> None:
    """Start a child, kill it at a random moment, and note what it said.

    The moment is a random while after a random number of acknowledgements, none among them.
    """
    rng = random.Random(f"kill {seed}")
    child = start(mode, folder, seed, *more)
    assert child.stdout is not None
    first = child.stdout.readline()
    told = [child.stdout.readline() for _ in range(rng.randint(0, 6))]
    time.sleep(rng.uniform(0.0, 0.03))
    child.send_signal(signal.SIGKILL)
    rest, errors = child.communicate()
    assert first == "ready\n", errors
    assert child.returncode == -signal.SIGKILL, errors
    assert errors == ""
    lines = [*"".join(told).splitlines(), *rest.splitlines()]
    if rest and not rest.endswith("\n"):
        lines.pop()  # a line cut by the kill was not said
    tally.take(lines)
    tally.counts["kills"] += 1


def main(mode: str, folder: str, seed: str, *more: str) -> None:
    """Run one child."""
    if mode == "count":
        count_up(Path(folder), int(seed), *map(float, more))
    elif mode == "full":
        write_until_refused(Path(folder), int(seed), *map(int, more))
    else:
        keep_writing(Path(folder), int(seed))


if __name__ == "__main__":
    main(*sys.argv[1:])
