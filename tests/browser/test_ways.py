"""Other layouts, sizes and heights: the figures of the commands, and the way back."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from typing import Any

import pytest
from playwright.sync_api import expect

from rafterstay import job
from rafterstay.core.quantities import parse, show
from rafterstay.web.entry import set_aside
from tests.browser.conftest import Begin, settled
from tests.browser.running import PROGRAM, ROOT, Run
from tests.browser.test_reach import SMALL, require_accessible

PATIENCE = 60_000  # [ms]


def told(run: Run, name: str, *words: str) -> dict[str, Any]:
    """What a command says of a job of the served folder."""
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM, words[0], str(run.folder / name), *words[1:], "--json"],
        env={"PYTHONPATH": str(ROOT / "src"), "OPENBLAS_NUM_THREADS": "1"},
        stdout=subprocess.PIPE,
        check=False,
        text=True,
    )
    found: dict[str, Any] = json.loads(done.stdout)
    return found


@pytest.mark.parametrize("name", ["octagon", "gable-workshop", "bandstand"])
def test_three_ways_are_those_of_compare(visit: Begin, served: Run, name: str) -> None:
    page = visit().open(f"/jobs/{name}")
    page.get_by_role("link", name="Ring, band or straight across").click()
    expect(page.locator(".schemes")).to_be_visible(timeout=PATIENCE)
    schemes = told(served, name, "compare")["schemes"]
    assert len(schemes) == 3
    for one in schemes:
        section = page.locator(f"section[aria-labelledby=way-{one['layout']}-name]")
        if one["cannot"]:
            assert one["cannot"] in section.inner_text()
            continue
        names = section.locator("dt").all_inner_texts()
        figures = dict(zip(names, section.locator("dd").all_inner_texts(), strict=True))
        assert figures["Largest pull"] == show(one["max_pull_N"], "force", "us")
        assert figures["Eyes to press"] == str(one["eyes"])
        assert figures["Turnbuckles"] == str(one["turnbuckles"])
        assert figures["Steel"] == f"{one['steel_kg'] / 0.45359237:.0f} lb"
        assert one["worst_check"].replace("-", " ") in figures["Weakest"]


def test_another_way_is_put_on_the_sheet(visit: Begin, served: Run, mine: str) -> None:
    page = visit().open(f"/jobs/{mine}/ways/compare")
    expect(page.locator(".schemes")).to_be_visible(timeout=PATIENCE)
    band = page.locator("section[aria-labelledby=way-band-name]")
    band.get_by_role("button", name="Put this on the sheet").click()
    settled(page)
    text = (served.folder / mine / "job.toml").read_text(encoding="utf-8")
    assert job.loads(text).tie.layout == "band"
    page.get_by_role("button", name="Undo").click()
    page.wait_for_selector("svg#plan .part.ring")
    original = (ROOT / "examples" / "reading-room.toml").read_text(encoding="utf-8")
    assert (served.folder / mine / "job.toml").read_text(encoding="utf-8") == original


def test_the_parts_found_go_on_the_sheet_and_off_again(visit: Begin, served: Run) -> None:
    name = "octagon-sized"
    (served.folder / name).mkdir()
    text = (ROOT / "examples" / "octagon.toml").read_text(encoding="utf-8")
    (served.folder / name / "job.toml").write_text(text, encoding="utf-8")
    one = visit(java_script_enabled=False)
    page = one.open(f"/jobs/{name}/ways/size")
    # Without a script the page asks again by itself, and says how long it has been at work.
    said = page.locator("main").inner_text()
    assert "s so far" in said or page.locator(".parts").count() == 1
    expect(page.locator(".parts")).to_be_visible(timeout=PATIENCE)
    document = told(served, name, "size")
    found = document["parts"]
    rows = {
        row.locator("th").inner_text(): row.locator("td").all_inner_texts()
        for row in page.locator(".parts tbody tr").all()
    }
    assert rows["Rope of the ring"][1] == found["ring_rope"] != rows["Rope of the ring"][0]
    for down in document["one_size_down"]:
        if down["name"]:
            assert any(down["name"] in cells[2] for cells in rows.values())
    page.get_by_role("button", name="Put these parts on the sheet").click()
    after = job.load(served.folder / name / "job.toml")
    assert {
        part: getattr(after.parts, part)
        for part in ("rope", "ring_rope", "thimble", "sleeve", "turnbuckle", "bolt")
    } == {part: size for part, size in found.items() if part != "ply"}
    page.get_by_role("button", name="Undo").click()
    assert (served.folder / name / "job.toml").read_text(encoding="utf-8") == text


def test_the_bar_of_a_welded_ring_is_sized_and_goes_on_the_sheet(
    visit: Begin, served: Run, mine: str
) -> None:
    path = served.folder / mine / "job.toml"
    text = re.sub("ring_rope = .*\n", "", path.read_text(encoding="utf-8"))
    for key, value in (("ring", "welded"), ("ring_bar", "3/8 in")):
        text = job.set_value(text, f"tie.{key}", value)
    path.write_text(text, encoding="utf-8")
    page = visit().open(f"/jobs/{mine}/ways/size")
    expect(page.locator(".parts")).to_be_visible(timeout=PATIENCE)
    found = told(served, mine, "size")["parts"]["ring_bar"]
    cells = page.locator(".parts tbody tr", has_text="Bar of the ring").locator("td")
    assert cells.all_inner_texts()[:2] == ["3/8 in", found]
    page.get_by_role("button", name="Put these parts on the sheet").click()
    settled(page)
    after = job.load(path)
    assert after.tie.ring_bar == parse(found, "length") > 0.375 * 0.0254
    page.get_by_role("button", name="Undo").click()
    settled(page)
    assert path.read_text(encoding="utf-8") == text


def test_heights_have_the_figures_of_check_and_can_be_taken(
    visit: Begin, served: Run, mine: str
) -> None:
    """`size --height` sweeps with the parts it found; here the parts of the job are held."""
    path = served.folder / mine / "job.toml"
    path.write_bytes((ROOT / "examples" / "gable-workshop.toml").read_bytes())
    page = visit().open(f"/jobs/{mine}/ways/heights")
    expect(page.locator(".heights")).to_be_visible(timeout=PATIENCE)
    rows = page.locator(".heights tbody tr")
    pulls = [row.locator("td").first.inner_text() for row in rows.all()]
    stated = told(served, mine, "check")["legs"][0]["max_tension_N"]
    on_sheet = rows.filter(has_text="on the sheet")
    assert on_sheet.count() == 1
    assert on_sheet.locator("td").first.inner_text() == show(stated, "force", "us")
    figures = [float(pull.split()[0]) for pull in pulls]
    assert figures == sorted(figures)
    drawn = page.locator("svg#heights text").all_text_contents()
    assert set(pulls) <= set(drawn)
    rows.filter(has_text="1/6 of the rise").get_by_role("button").click()
    settled(page)
    assert page.locator("#f-height").input_value() == "1/6"


def test_nothing_passes_as_long_as_answers_are_in_pencil(
    visit: Begin, served: Run, mine: str
) -> None:
    path = served.folder / mine / "job.toml"
    text = (ROOT / "examples" / "gable-workshop.toml").read_text(encoding="utf-8")
    path.write_text(set_aside(text, "snow"), encoding="utf-8")
    page = visit().open(f"/jobs/{mine}")
    for kind, found in (("compare", ".schemes"), ("size", ".parts"), ("heights", ".heights")):
        page.goto(served.site + f"/jobs/{mine}/ways/{kind}")
        expect(page.locator(found)).to_be_visible(timeout=PATIENCE)
        results = page.locator("main :is(.verdict, dl, table, svg)").all_text_contents()
        assert not any(re.search(r"passes", said, re.IGNORECASE) for said in results)
        assert "provisional" in page.locator("main").inner_text().lower()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280])
def test_the_ways_are_for_everybody(visit: Begin, served: Run, width: int, scheme: str) -> None:
    page = visit(viewport={"width": width, "height": 800}, color_scheme=scheme).open("/")
    for kind, found in (("compare", ".schemes"), ("size", ".parts"), ("heights", ".heights")):
        page.goto(served.site + f"/jobs/octagon/ways/{kind}")
        expect(page.locator(found)).to_be_visible(timeout=PATIENCE)
        require_accessible(page)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        assert page.evaluate(SMALL) == []


def test_an_answer_that_cannot_be_had_is_told(visit: Begin, served: Run, mine: str) -> None:
    path = served.folder / mine / "job.toml"
    path.write_text(path.read_text(encoding="utf-8").replace("sides = 10", "sides = 2"), "utf-8")
    page = visit().open(f"/jobs/{mine}/ways/compare")
    assert "roof.sides" in page.locator(".summary").inner_text()
    status, _, _ = served.ask(f"/jobs/{mine}/ways/guess")
    assert status == 404
