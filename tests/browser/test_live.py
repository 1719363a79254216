"""Answers while one types: first look, whole verdict, faults, undo, two tabs, a killed program."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.conftest import Begin, settled
from tests.browser.running import ROOT, Run


def stands(page: Page, name: str, text: str, *, patience: float = 8_000) -> None:
    """Wait until the answer is in the job and on the page."""
    expect(page.locator(f"#f-{name}")).to_have_attribute("value", text, timeout=patience)


def answer(page: Page, name: str, text: str) -> None:
    page.locator(f"#f-{name}").fill(text)
    page.locator(f"#f-{name}").press("Tab")


def test_a_first_look_is_marked_and_no_verdict(visit: Begin, served: Run, mine: str) -> None:
    page = visit().open(f"/jobs/{mine}")
    settled(page)
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    page.route(re.compile("look=whole"), hold)
    answer(page, "snow", "57 psf")
    page.wait_for_selector("#sheet[data-whole=no]")
    assert page.locator("#verdict").inner_text() == "Checking all patterns"
    assert "checking all patterns" in page.locator(".so-far").first.inner_text()
    assert (
        page.locator("#figures dd").first.evaluate("one => getComputedStyle(one).fontStyle")
        == "italic"
    )
    expect(page.locator("#status")).to_contain_text("checking all patterns, ")
    quick = page.locator("#figures dd").first.inner_text()
    held[0].continue_()
    settled(page)
    assert page.locator("#verdict").inner_text() != "Checking all patterns"
    # The states that governed before govern still: the first look was right.
    assert page.locator("#figures dd").first.inner_text() == quick


def test_a_fault_is_told_beside_the_field_and_in_the_summary(
    visit: Begin, served: Run, mine: str
) -> None:
    page = visit().open(f"/jobs/{mine}")
    settled(page)
    before = (served.folder / mine / "job.toml").read_bytes()
    answer(page, "rise", "6 fete")
    page.wait_for_selector("#e-rise")
    assert "IN-002" in page.locator("#e-rise").inner_text()
    assert "IN-002" in page.locator(".summary").inner_text()
    assert page.locator("#f-rise").input_value() == "6 fete"
    assert page.locator("#f-rise").get_attribute("aria-invalid") == "true"
    assert (served.folder / mine / "job.toml").read_bytes() == before
    page.locator(".summary").get_by_role("link", name="Rise (Hr)").click()
    assert page.evaluate("document.activeElement.id") == "f-rise"
    page.reload()
    assert page.locator("#f-rise").input_value() == "6 fete"
    assert "IN-002" in page.locator("#e-rise").inner_text()
    answer(page, "rise", "6 ft 5 in")
    page.wait_for_selector("#e-rise", state="detached")
    assert page.locator("#f-rise").input_value() == "6'-5\""


def test_a_roof_without_an_answer_looks_stale(visit: Begin, served: Run, mine: str) -> None:
    """A roof so flat that it falls through has no figures: those of before must look it."""
    page = visit().open(f"/jobs/{mine}?at=rafter")
    settled(page)
    verdict = page.locator("#verdict").inner_text()
    before = page.locator("#figures dd").all_inner_texts()
    answer(page, "rise", "14 in")
    page.wait_for_selector("#sheet.stale")
    assert page.locator("#summary").inner_text().upper() == "NO ANSWER FOR THIS DRAWING"
    assert re.search(r"ST-00\d", page.locator(".summary").inner_text())
    assert "those of the drawing before" in page.locator(".summary").inner_text()
    assert page.locator("#verdict").inner_text() == "No answer yet" != verdict
    assert "before your change" in page.locator(".block .so-far").first.inner_text()
    # The sheet is put anew when the whole answer follows the first: what is asked is asked again.
    style = "getComputedStyle(document.querySelector('{}')).{}"
    for where in ("#figures dd", ".weakest .check p"):
        page.wait_for_function(f"{style.format(where, 'fontStyle')} === 'italic'")
    page.wait_for_function(f"{style.format('svg#plan .far', 'opacity')} < 1")
    text = (served.folder / mine / "job.toml").read_text(encoding="utf-8")
    assert '"14 in"' in text  # what was answered is kept, answer or not
    page.get_by_role("button", name="Undo").click()
    page.wait_for_selector("#sheet:not(.stale)")
    settled(page)
    assert page.locator("#figures dd").all_inner_texts()[:-1] == before[:-1]
    assert page.locator("#verdict").inner_text() == verdict


def test_undo_goes_back_a_step_at_a_time(visit: Begin, served: Run, mine: str) -> None:
    page = visit().open(f"/jobs/{mine}")
    settled(page)
    for text in ("31 psf", "32 psf"):
        answer(page, "snow", text)
        stands(page, "snow", text)
    for text in ("31 psf", "30 psf"):
        page.get_by_role("button", name="Undo").click()
        stands(page, "snow", text)
    original = (ROOT / "examples" / "reading-room.toml").read_bytes()
    assert (served.folder / mine / "job.toml").read_bytes() == original
    page.get_by_role("button", name="Undo").click()
    page.wait_for_selector(".summary")
    assert "SR-022" in page.locator(".summary").inner_text()


@pytest.mark.parametrize("kept", ["mine", "theirs"])
def test_the_second_of_two_tabs_is_shown_both_versions(
    visit: Begin, served: Run, mine: str, kept: str
) -> None:
    one = visit()
    first, second = one.open(f"/jobs/{mine}"), one.open(f"/jobs/{mine}")
    settled(first)
    settled(second)
    answer(first, "snow", "36 psf")
    settled(first)
    stands(first, "snow", "36 psf")
    answer(second, "rise", "6'-9\"")
    second.wait_for_selector(".conflict")
    shown = second.locator(".conflict table").inner_text()
    assert all(text in shown for text in ("36 psf", "30 psf", "6'-8\"", "6'-9\""))
    text = (served.folder / mine / "job.toml").read_text(encoding="utf-8")
    assert "36 psf" in text
    assert "6'-9" not in text
    second.get_by_role("button", name="Put mine" if kept == "mine" else "Keep what").click()
    settled(second)
    wanted = ("6'-9\"", "30 psf") if kept == "mine" else ("6'-8\"", "36 psf")
    assert second.locator("#f-rise").input_value() == wanted[0]
    assert second.locator("#f-snow").input_value() == wanted[1]


def test_a_file_edited_by_hand_is_never_overwritten(visit: Begin, served: Run, mine: str) -> None:
    page = visit().open(f"/jobs/{mine}")
    settled(page)
    path = served.folder / mine / "job.toml"
    edited = path.read_text(encoding="utf-8").replace('"30 psf"', '"38 psf"')
    path.write_text(edited, encoding="utf-8")
    answer(page, "gap", "1 1/4 in")
    page.wait_for_selector(".conflict")
    assert path.read_text(encoding="utf-8") == edited
    path.write_text("[roof\n", encoding="utf-8")
    page.goto(served.site + f"/jobs/{mine}")
    assert "IN-020" in page.locator("main").inner_text()


@pytest.fixture
def own_run(tmp_path: Path) -> Iterator[Run]:
    (tmp_path / "shed").mkdir()
    shutil.copy(ROOT / "examples" / "reading-room.toml", tmp_path / "shed" / "job.toml")
    run = Run(tmp_path)
    run.start()
    yield run
    run.kill()


def test_nothing_typed_is_lost_when_the_program_is_killed(visit: Begin, own_run: Run) -> None:
    one = visit(own_run)
    page = one.open("/jobs/shed")
    settled(page)
    answer(page, "snow", "34 psf")
    stands(page, "snow", "34 psf")
    settled(page)
    with page.expect_response("**/typed"):
        page.locator("#f-rise").press_sequentially("7'", delay=5)
    own_run.kill()
    # Typed while nobody listens.
    page.locator("#f-gap").fill("1 3/8 in")
    page.locator("#f-gap").press("Tab")
    page.wait_for_selector(".status.lost")
    assert page.locator("#sheet.stale").count() == 1
    own_run.start()
    fresh = one.open("/jobs/shed")
    assert fresh.locator("#f-snow").input_value() == "34 psf"
    assert "7'" in fresh.locator("#f-rise").input_value()
    # The tab that was left open finds the new run, and sends what it kept.
    stands(page, "gap", '1 3/8"', patience=20_000)
    text = (own_run.folder / "shed" / "job.toml").read_text(encoding="utf-8")
    assert '"34 psf"' in text
    assert '"1 3/8 in"' in text
    one.faults[:] = [fault for fault in one.faults if "Failed to load resource" not in fault]


def test_lengths_by_thumb_and_read_back(visit: Begin, served: Run, mine: str) -> None:
    one = visit(viewport={"width": 360, "height": 740}, has_touch=True)
    page = one.open(f"/jobs/{mine}")
    settled(page)
    page.locator("#q-rise .thumb").click()
    page.get_by_label("feet", exact=True).fill("7")
    page.get_by_label("inches", exact=True).fill("2")
    page.get_by_role("button", name="5/8 inch").click()
    assert page.locator("#f-rise").input_value() == "7'-2 5/8\""
    expect(page.locator("#s-rise")).to_have_text("seven feet two and five eighths inches")
    page.locator(".pad .put").click()
    stands(page, "rise", "7'-2 5/8\"")
    settled(page)
    assert "7'-2 5/8" in (served.folder / mine / "job.toml").read_text(encoding="utf-8").replace(
        "\\", ""
    )


def test_working_and_the_turning_view_on_request(visit: Begin, served: Run) -> None:
    page = visit().open("/jobs/reading-room")
    settled(page)
    assert page.locator(".unfolded").count() == 0
    page.locator("#all-checks summary").click()
    page.get_by_role("link", name="Working of rope-strength").click()
    page.wait_for_selector(".unfolded li")
    assert "=" in page.locator(".unfolded li").first.inner_text()
    page.locator("#turn summary").click()
    expect(page.locator("#turn-said")).to_contain_text("times too large")
    expect(page.locator("#turn canvas")).to_be_visible()
    expect(page.locator("#turn-said")).to_contain_text("arrow keys")
    assert page.evaluate(
        "(() => { const c = document.querySelector('canvas');"
        " const pixels = c.getContext('2d').getImageData(0, 0, c.width, c.height);"
        " return pixels.data.some(one => one > 0) })()"
    )


@pytest.mark.parametrize("part", ["Leg 7", "Ring", "Hub", "Walls", "Rafters"])
def test_touching_a_part_shows_what_belongs_to_it(visit: Begin, served: Run, part: str) -> None:
    page = visit(viewport={"width": 360, "height": 740}, has_touch=True).open("/jobs/reading-room")
    settled(page)
    link = page.get_by_role(
        "link", name=part + (":" if part[-1].isdigit() else ""), exact=not part[-1].isdigit()
    )
    box = link.locator(".ground").bounding_box()
    assert box
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.wait_for_selector("h2#at")
    assert page.locator("h2#at").inner_text().lower() == part.lower()
    assert page.locator(".note .question").count() >= 1
    page.go_back()
    page.wait_for_selector("h2#at", state="detached")
