"""How long after an edit do the governing states stand on the page, and the whole verdict?

Each edit is a form sent to a running page: saved, worked out, drawn and sent back. Beside it the
time of one plain numpy task of the machine, so that runs on unlike machines can be compared.
"""

from __future__ import annotations

import http.client
import re
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from urllib.parse import urlencode

import numpy as np

ROOT = Path(__file__).resolve().parents[1]
PROGRAM = "from rafterstay.cli import main; main()"
EDITS = 500
FIRST, WHOLE = 0.100, 0.600  # [s] what the page is meant to keep to


class Talk:
    """One browser's connection to the page."""

    def __init__(self, address: str) -> None:
        self.site, _, token = address.partition("/?key=")
        host = self.site.removeprefix("http://")
        port = host.partition(":")[2]
        self.connection = http.client.HTTPConnection("127.0.0.1", int(port))
        self.headers = {"Host": host, "Cookie": f"rafterstay-{port}={token}", "Origin": self.site}

    def ask(self, path: str, form: dict[str, str] | None = None) -> str:
        more = {"X-Live": "1", "Content-Type": "application/x-www-form-urlencoded"}
        method, body = ("POST", urlencode(form)) if form else ("GET", None)
        self.connection.request(method, path, body, self.headers | more)
        answer = self.connection.getresponse()
        text = answer.read().decode()
        assert answer.status == 200, text[:400]
        return text


def plain() -> float:
    """Solving one dense system of 300 unknowns, the least of some runs. [s]"""
    matrix = np.random.default_rng(1).standard_normal((300, 300))
    spent = []
    for _ in range(9):
        begun = time.perf_counter()
        np.linalg.solve(matrix, matrix)
        spent.append(time.perf_counter() - begun)
    return min(spent)


def edits(talk: Talk, count: int) -> tuple[list[float], list[float]]:
    """Times from edit to first look and to whole verdict. [s]"""
    page = talk.ask("/jobs/room?look=whole")
    first, whole = [], []
    for number in range(count):
        base = re.search(r'name="base" value="([0-9a-f]+)"', page)
        assert base
        name, text = (
            ("snow", f"{30 + 0.05 * number:.2f} psf"),
            ("rise", f"{76 + 0.02 * number:.2f} in"),
            ("across", f"{268 + 0.03 * number:.2f} in"),
        )[number % 3]
        begun = time.perf_counter()
        page = talk.ask("/jobs/room/put", {"base": base[1], name: text})
        first.append(time.perf_counter() - begun)
        assert 'data-whole="no"' in page
        talk.ask("/jobs/room?look=whole")
        whole.append(time.perf_counter() - begun)
    return first, whole


def main() -> None:
    """Print the 95th of 100 edits beside what it is meant to be."""
    with tempfile.TemporaryDirectory() as folder:
        job = Path(folder) / "room"
        job.mkdir()
        shutil.copy(ROOT / "examples" / "reading-room.toml", job / "job.toml")
        command = [sys.executable, "-c", PROGRAM, "open", folder, "--no-browser"]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
            assert process.stdout
            address = process.stdout.readline().split()[-1]
            time.sleep(1.0)
            try:
                first, whole = edits(Talk(address), EDITS)
            finally:
                process.terminate()
    least = plain()
    told = (("governing states", first, FIRST), ("whole verdict", whole, WHOLE))
    for words, spent, meant in told:
        most = float(np.percentile(spent, 95))
        print(
            f"page, ten legs, {len(spent)} edits: {words} {most * 1000:.0f} ms at p95"
            f" (median {np.median(spent) * 1000:.0f} ms, meant to be under {meant * 1000:.0f} ms),"
            f" {most / least:.0f} plain solves of 300 unknowns"
        )


if __name__ == "__main__":
    main()
