"""A run of the page in a process of its own, and forms sent to it without a browser."""

from __future__ import annotations

import http.client
import os
import socket
import subprocess
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlencode

ROOT = Path(__file__).absolute().parents[2]
PROGRAM = "from rafterstay.cli import main; main()"
OPEN = (sys.executable, "-c", PROGRAM, "open", "--no-browser")
PATIENCE = 40.0  # [s] for the program to print its address on a busy machine


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@dataclass
class Run:
    """A served folder."""

    folder: Path
    port: int = field(default_factory=free_port)
    address: str = ""
    process: subprocess.Popen[str] | None = None

    @property
    def site(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    @property
    def token(self) -> str:
        return self.address.partition("?key=")[2]

    def start(self) -> None:
        self.process = subprocess.Popen(
            [*OPEN, str(self.folder), "--port", str(self.port)],
            env=os.environ | {"PYTHONPATH": str(ROOT / "src"), "OPENBLAS_NUM_THREADS": "1"},
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        assert self.process.stdout
        line = self.process.stdout.readline()
        assert "/?key=" in line, line + self.process.stdout.read()
        self.address = line.split()[-1]
        begun = time.monotonic()
        while time.monotonic() - begun < PATIENCE:
            with socket.socket() as probe:
                if probe.connect_ex(("127.0.0.1", self.port)) == 0:
                    return
            time.sleep(0.05)
        raise AssertionError("the page does not answer")

    def kill(self) -> None:
        """End the process at once, as a power cut would."""
        if self.process:
            self.process.kill()
            self.process.communicate()

    def ask(
        self, path: str, form: dict[str, str] | None = None, **headers: str
    ) -> tuple[int, dict[str, str], str]:
        """Send one request as this run's browser would; headers replace what it would send."""
        sent = {"Host": f"127.0.0.1:{self.port}", "Cookie": f"rafterstay-{self.port}={self.token}"}
        if form is not None:
            sent |= {"Origin": self.site, "Content-Type": "application/x-www-form-urlencoded"}
        sent |= {name.replace("_", "-"): text for name, text in headers.items()}
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=30)
        try:
            body = None if form is None else urlencode(form)
            method = headers.get("method", "GET" if form is None else "POST")
            sent = {name: text for name, text in sent.items() if text and name != "method"}
            connection.putrequest(method, path, skip_host=True)
            for name, text in sent.items():
                connection.putheader(name, text)
            if body is not None and "Content-Length" not in sent:
                connection.putheader("Content-Length", str(len(body)))
            connection.endheaders(body.encode() if body else None)
            answer = connection.getresponse()
            told = {name.lower(): text for name, text in answer.getheaders()}
            return answer.status, told, answer.read().decode()
        finally:
            connection.close()
