"""Chromium of the system and a served folder, once for each worker."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from rafterstay.job.examples import examples
from tests.browser.running import ROOT, Run

CHROMIUM = "/usr/bin/chromium"
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Run]:
    """A folder with every example as a job, shared by tests that change no job."""
    folder = tmp_path_factory.mktemp("desk")
    for name in examples():
        (folder / name).mkdir()
        text = (ROOT / "examples" / f"{name}.toml").read_bytes()
        (folder / name / "job.toml").write_bytes(text)
    run = Run(folder)
    run.start()
    yield run
    run.kill()


@pytest.fixture
def mine(served: Run, tmp_path: Path, request: pytest.FixtureRequest) -> str:
    """The name of a job of the test's own in the served folder: the reading room."""
    name = request.node.name.replace("_", "-").replace("[", "-").replace("]", "")[:60]
    (served.folder / name).mkdir()
    text = (ROOT / "examples" / "reading-room.toml").read_bytes()
    (served.folder / name / "job.toml").write_bytes(text)
    return name


class Visit:
    """A browser that was opened by the run; what goes wrong in it is kept."""

    def __init__(self, browser: Browser, run: Run, **context: object) -> None:
        self.run = run
        self.context: BrowserContext = browser.new_context(**context)  # type: ignore[arg-type]
        self.context.set_default_timeout(8_000)
        self.faults: list[str] = []
        self.page = self.open("")

    def open(self, path: str) -> Page:
        page = self.context.new_page()
        page.on("pageerror", lambda error: self.faults.append(str(error)))
        page.on("console", self._note)
        page.goto(self.run.address)
        if path:
            page.goto(self.run.site + path)
        return page

    def _note(self, message: object) -> None:
        text = f"{message.type}: {message.text}"  # type: ignore[attr-defined]
        # What a form refused is told by its status on purpose.
        if message.type == "error" and "status of 4" not in text:  # type: ignore[attr-defined]
            self.faults.append(text)


Begin = Callable[..., Visit]


@pytest.fixture
def visit(chromium: Browser, served: Run) -> Iterator[Begin]:
    """Make visits to the shared folder; none of them may meet a fault of script or policy."""
    made: list[Visit] = []

    def begin(run: Run | None = None, **context: object) -> Visit:
        made.append(Visit(chromium, run or served, **context))
        return made[-1]

    yield begin
    faults = [fault for one in made for fault in one.faults]
    for one in made:
        one.context.close()
    assert faults == []


def settled(page: Page) -> None:
    """Wait until the whole verdict stands."""
    page.wait_for_selector("#sheet[data-whole=yes]:not(.waiting):not(.stale)")
