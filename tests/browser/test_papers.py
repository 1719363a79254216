"""Packet and sheets made from the page: the files that the commands write."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from rafterstay.web.entry import set_aside
from tests.browser.conftest import Begin, settled
from tests.browser.running import ROOT, Run
from tests.browser.test_reach import SMALL, require_accessible

PATIENCE = 60_000  # [ms] two papers may wait for one another on a busy machine


def taken(page: Page) -> bytes:
    link = page.get_by_role("link", name="Take ")
    expect(link).to_be_visible(timeout=PATIENCE)
    with page.expect_download() as found:
        link.click()
    return Path(found.value.path()).read_bytes()


def words(pdf: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)


@pytest.mark.parametrize("way", ["script", "plain"])
def test_the_packet_is_made_and_taken(visit: Begin, served: Run, mine: str, way: str) -> None:
    script = way == "script"
    path = served.folder / mine / "job.toml"
    gable = (ROOT / "examples" / "gable-workshop.toml").read_text(encoding="utf-8")
    path.write_text(set_aside(gable, "snow") if script else gable, encoding="utf-8")
    page = visit(java_script_enabled=script).open(f"/jobs/{mine}?look=whole")
    page.get_by_role("link", name="Packet for the building official").click()
    said = words(taken(page))
    assert "Gable workshop" in said
    assert ("Not answered yet" in said) == script
    if script:
        require_accessible(page)
        assert page.evaluate(SMALL) == []


def test_the_sheets_are_made_and_taken(visit: Begin, served: Run) -> None:
    page = visit().open("/jobs/gable-workshop")
    settled(page)
    page.get_by_role("link", name="Sheets as SVG and DXF").click()
    names = zipfile.ZipFile(io.BytesIO(taken(page))).namelist()
    assert {Path(name).suffix for name in names} == {".svg", ".dxf"}
    page.goto(served.site + "/jobs/gable-workshop/paper/sheets")
    assert len(PdfReader(io.BytesIO(taken(page))).pages) == len(names) / 2


def test_no_paper_is_made_of_a_job_that_is_none(visit: Begin, served: Run, mine: str) -> None:
    path = served.folder / mine / "job.toml"
    path.write_text(path.read_text("utf-8").replace("sides = 10", "sides = 2"), encoding="utf-8")
    page = visit().open(f"/jobs/{mine}/paper/packet")
    expect(page.locator(".summary")).to_be_visible(timeout=PATIENCE)
    assert "roof.sides" in page.locator(".summary").inner_text()
    assert served.ask(f"/jobs/{mine}/paper/guess")[0] == 404
    assert served.ask(f"/jobs/{mine}/paper/packet/file")[0] == 303
