"""From an empty page to a checked tie of one's own in fifteen answers, by mouse and by keyboard."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from rafterstay.core.quantities import show
from rafterstay.web.pencil import pencilled
from rafterstay.web.questions import fifteen_of
from tests.browser.conftest import Begin, settled
from tests.browser.running import PROGRAM, ROOT, Run

# An invented tool shed with nine sides; every figure unequal and awkward.
ANSWERS = {
    "across": "20'-6 1/2\"",
    "sides": "9",
    "rise": "5 ft 9 3/8 in",
    "height": "1/4",
    "title": "Nine-sided tool shed",
    "hub": "disc",
    "hub_radius": "7 1/2 in",
    "snow": "33.5 psf",
    "dead": "11 psf",
    "species": "Hem-Fir",
    "grade": "No. 1",
    "ply": "2x10",
    "plies": "2",
    "gap": "1 1/8 in",
    "rope": "7x19 galvanized 5/16 in",
    "walls": "no help",
}
THREE_MINUTES = 180.0  # [s]


def answer_by_mouse(served: Run, page: Page, answers: dict[str, str]) -> None:
    """Give every answer by clicks and typing, within three minutes."""
    begun = page.evaluate("performance.now()")
    for name, answer in answers.items():
        field = page.locator(f"#f-{name}")
        if field.evaluate("field => field.tagName") == "SELECT":
            field.select_option(answer)
        else:
            field.click()
            field.fill(answer)
            page.mouse.click(3, 3)
    require_all_answered(served, page)
    assert (page.evaluate("performance.now()") - begun) / 1000.0 < THREE_MINUTES


def told(run: Run, page: Page) -> tuple[dict[str, object], str]:
    """What `check --json` says of the job on the page, and the job file."""
    name = page.url.rpartition("/jobs/")[2].partition("?")[0]
    folder = run.folder / name
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM, "check", str(folder), "--json"],
        env={"PYTHONPATH": str(ROOT / "src"), "OPENBLAS_NUM_THREADS": "1"},
        stdout=subprocess.PIPE,
        check=False,
        text=True,
    )
    assert done.returncode in (0, 1)
    return json.loads(done.stdout), (folder / "job.toml").read_text(encoding="utf-8")


def require_same_numbers(run: Run, page: Page) -> None:
    """The page's figures are those of `check --json`, shown as the trade writes them."""
    document, _ = told(run, page)
    legs = document["legs"]
    system = page.locator("#sheet").get_attribute("data-show")
    rows = page.locator("#all-legs tbody tr").all()
    assert len(rows) == len(legs)  # type: ignore[arg-type]
    for row, leg in zip(rows, legs, strict=True):  # type: ignore[call-overload]
        cells = [cell.strip() for cell in row.locator("th, td").all_text_contents()]
        most, least = leg["max_tension_N"], leg["min_tension_N"]
        wanted = [str(leg["id"]), show(most, "force", system), show(least, "force", system)]  # type: ignore[arg-type]
        assert cells == wanted
    names = page.locator("#figures dt").all_text_contents()
    figures = dict(zip(names, page.locator("#figures dd").all_text_contents(), strict=True))
    ring = document["ring"]
    if ring is None:
        assert "Ring pull" not in figures
    else:
        assert figures["Ring pull"] == show(ring["max_tension_N"], "force", system)  # type: ignore[index,arg-type]
    spread = max(one["spread_m"] for one in document["combinations"])  # type: ignore[attr-defined]
    assert figures["Walls spread"].startswith(show(spread, "length", system))  # type: ignore[arg-type]
    if "pretension_band" in document:
        band = document["pretension_band"]
        ends = [show(band[key], "force", system) for key in ("low_N", "high_N")]  # type: ignore[index,arg-type]
        assert figures["Set the legs to"] == " to ".join(ends)
    listed = page.locator(".weakest .check a.working").all()
    ids = [str(link.get_attribute("href")).rpartition("/")[2] for link in listed]
    assert ids == [check["id"] for check in document["checks"]]  # type: ignore[attr-defined]
    words = {"passes": "Passes", "refer": "Engineer must decide", "fails": "Does not pass"}
    assert page.locator("#verdict").inner_text() == words[str(document["verdict"])]


def require_all_answered(run: Run, page: Page) -> None:
    settled(page)
    expect(page.locator(".unanswered, .unknown")).to_have_count(0, timeout=20_000)
    settled(page)
    _, text = told(run, page)
    assert not pencilled(text)
    assert page.locator(".stages .done").count() == 4
    require_same_numbers(run, page)


@pytest.mark.parametrize("width", [360, 768, 1280])
def test_by_mouse(visit: Begin, served: Run, width: int) -> None:
    one = visit(viewport={"width": width, "height": 800})
    page = one.page
    page.get_by_role("button", name="Start mine like this: Octagon").click()
    settled(page)
    assert page.locator(".unanswered").count() == len(fifteen_of("polygon")) == 15
    assert "passes" not in page.locator("body").inner_text().lower()
    answer_by_mouse(served, page, ANSWERS)


def test_by_keyboard_only(visit: Begin, served: Run) -> None:
    one = visit(viewport={"width": 1280, "height": 800})
    page = one.page
    tab_to(page, "title")
    page.keyboard.type("Nine-sided keyboard shed")
    for _ in range(6):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.value") == "octagon":
            break
    page.keyboard.press("Enter")
    settled(page)
    for name, answer in ANSWERS.items():
        if name == "title":
            continue
        tab_to(page, f"f-{name}")
        assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"
        page.keyboard.type(answer)
        page.keyboard.press("Tab")
    require_all_answered(served, page)
    assert page.locator("#f-title").input_value() == "Nine-sided keyboard shed"
    # A part of the drawing is reached and read by the keyboard too.
    for _ in range(200):
        page.keyboard.press("Shift+Tab")
        label = page.evaluate("document.activeElement.getAttribute('aria-label') || ''")
        if label.startswith("Leg 3"):
            break
    page.keyboard.press("Enter")
    page.wait_for_selector("h2#at:focus")
    assert page.locator("h2#at").inner_text().lower() == "leg 3"


# An invented boat shed; every figure unequal and awkward.
SHED = {
    "title": "Boat shed",
    "span": "18'-4 1/2\"",
    "length": "31 ft",
    "spacing": "1'-10\"",
    "tie_every": "3",
    "rise": "5 ft 2 5/8 in",
    "height": "0.3",
    "ridge": "board",
    "snow": "22.5 psf",
    "dead": "9 psf",
    "species": "Hem-Fir",
    "grade": "No. 1",
    "ply": "2x10",
    "gap": "1 1/8 in",
    "rope": "7x19 galvanized 5/16 in",
    "walls": "no help",
}


@pytest.mark.parametrize("width", [360, 1280])
def test_a_gable_by_mouse(visit: Begin, served: Run, width: int) -> None:
    one = visit(viewport={"width": width, "height": 800})
    page = one.page
    page.get_by_role("button", name="Start mine like this: Gable workshop").click()
    settled(page)
    assert page.locator(".unanswered").count() == 15
    answer_by_mouse(served, page, SHED)
    page.get_by_role("link", name="Ridge", exact=True).click()
    page.wait_for_selector("h2#at:focus")
    assert page.locator("h2#at").inner_text().lower() == "ridge"
    assert page.locator(".note #f-ridge").input_value() == "board"


@pytest.mark.parametrize("name", ["gable-workshop", "bandstand", "pavilion", "round-house"])
def test_every_kind_of_tie_has_the_numbers_of_check(visit: Begin, served: Run, name: str) -> None:
    page = visit().open(f"/jobs/{name}?at=leg-1")
    settled(page)
    assert page.locator("h2#at").inner_text().lower() == "leg 1"
    require_same_numbers(served, page)


def test_a_tie_is_laid_otherwise_on_the_page(visit: Begin, served: Run, mine: str) -> None:
    page = visit().open(f"/jobs/{mine}?at=leg-2")
    settled(page)
    page.locator("#f-layout").select_option("band")
    page.wait_for_selector("svg#plan:not(:has(.part.ring))")
    settled(page)
    require_same_numbers(served, page)
    page.get_by_role("button", name="Undo").click()
    page.wait_for_selector("svg#plan .part.ring")


def tab_to(page: Page, name: str) -> None:
    for _ in range(120):
        if page.evaluate("document.activeElement.id") == name:
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"the keyboard does not reach {name}")


def test_what_is_not_known_is_asked_for_and_never_passes(
    visit: Begin, served: Run, mine: str
) -> None:
    page = visit().open(f"/jobs/{mine}")
    settled(page)
    verdict = page.locator("#verdict").inner_text()
    page.locator("#a-snow summary").click()
    page.get_by_role("button", name="I don't know yet: Snow").click()
    page.wait_for_selector("#q-snow.unknown")
    settled(page)
    assert page.locator("#verdict").inner_text() != verdict
    assert "passes" not in page.locator("body").inner_text().lower()
    assert page.locator("#questions").inner_text().lower() == "still in pencil: 1 of 15"
    page.get_by_role("link", name="Ask sheet (1)").click()
    asked = page.locator("main").inner_text()
    assert "building department" in asked.lower()
    assert "Snow" in asked
    assert "30 psf stands in" in asked
    page.go_back()
    page.locator("#f-snow").fill("41 psf")
    page.locator("#f-snow").press("Enter")
    page.wait_for_selector("#q-snow.ink")
    settled(page)
    assert pencilled((served.folder / mine / "job.toml").read_text(encoding="utf-8")) == pencilled(
        ""
    )


def test_metric_numbers_are_the_same_numbers(visit: Begin, served: Run, mine: str) -> None:
    page = visit().open(f"/jobs/{mine}")
    settled(page)
    require_same_numbers(served, page)
    page.get_by_role("button", name="SI", exact=True).click()
    page.wait_for_selector("#sheet[data-show=si]")
    settled(page)
    require_same_numbers(served, page)
    assert "kN" in page.locator("#figures").inner_text()


def test_a_job_can_be_opened_alone(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_bytes((ROOT / "examples" / "octagon.toml").read_bytes())
    run = Run(tmp_path)
    run.start()
    try:
        body = run.ask("/")[2]
        assert "Octagon" in body
        assert "Start mine" not in body
        status, _, body = run.ask("/jobs", {"title": "Second", "like": "octagon"})
        assert (status, "CL-041" in body) == (400, True)
    finally:
        run.kill()
