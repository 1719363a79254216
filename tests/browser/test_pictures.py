"""The pictures of docs/page.md, taken of the page as it is."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from rafterstay.web.entry import set_aside
from tests.browser.conftest import Begin, settled
from tests.browser.running import ROOT, Run

PICTURES = {
    "page-first": ("/", 1280, 800, "light"),
    "page-leg": ("/jobs/reading-room?at=leg-3", 1280, 800, "light"),
    "page-dark": ("/jobs/reading-room", 1280, 800, "dark"),
    "page-phone": ("/jobs/garden-room", 360, 740, "light"),
    "page-heights": ("/jobs/reading-room/ways/heights", 1280, 800, "light"),
    "page-gable": ("/jobs/gable-workshop?at=leg-1", 1280, 800, "light"),
}


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_for_each_that_the_page_shows(
    visit: Begin,
    served: Run,
    tmp_path: Path,
    request: pytest.FixtureRequest,
    name: str,
) -> None:
    """They are put into docs/pictures by `make pictures`, and only taken here otherwise."""
    assert f"pictures/{name}.png" in (ROOT / "docs" / "page.md").read_text(encoding="utf-8")
    path, width, height, scheme = PICTURES[name]
    if path == "/jobs/garden-room" and not (served.folder / "garden-room").exists():
        text = (ROOT / "examples" / "octagon.toml").read_text(encoding="utf-8")
        for question in ("snow", "walls"):
            text = set_aside(text, question)
        (served.folder / "garden-room").mkdir()
        (served.folder / "garden-room" / "job.toml").write_text(text, encoding="utf-8")
    run = served
    if path == "/":
        (tmp_path / "jobs").mkdir()
        run = Run(tmp_path / "jobs")
        run.start()
        request.addfinalizer(run.kill)
    size = {"width": width, "height": height}
    page = visit(run, viewport=size, color_scheme=scheme).open(path)
    if "/ways/" in path:
        page.wait_for_selector(".heights", timeout=60_000)
    elif path != "/":
        settled(page)
    folder = ROOT / "docs" / "pictures" if os.environ.get("RAFTERSTAY_PICTURES") else tmp_path
    picture = page.screenshot(path=folder / f"{name}.png")
    assert picture[:8] == b"\x89PNG\r\n\x1a\n"
    assert int.from_bytes(picture[16:20], "big") == width
    assert len(picture) > 15_000  # a page that shows nothing packs to far less
