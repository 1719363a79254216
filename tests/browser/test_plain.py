"""The whole page without a script."""

from __future__ import annotations

from tests.browser.conftest import Begin
from tests.browser.running import Run
from tests.browser.test_start import ANSWERS


def test_a_job_without_script(visit: Begin, served: Run) -> None:
    one = visit(java_script_enabled=False, viewport={"width": 768, "height": 900})
    page = one.page
    page.locator("#title").fill("Plain shed")
    page.locator("button[value=reading-room]").click()
    assert page.locator(".unanswered").count() == 14
    for name, answer in ANSWERS.items():
        if name in ("title", "walls"):
            continue
        field = page.locator(f"#f-{name}")
        if field.get_attribute("value") is None:
            field.select_option(answer)
        else:
            field.fill("six" if name == "gap" else answer)
    page.get_by_role("button", name="Put on the drawing").click()
    assert page.locator(".unanswered").count() == 2
    assert "IN-003" in page.locator("#e-gap").inner_text()
    assert page.locator("#f-gap").input_value() == "six"
    assert page.locator("#f-across").input_value() == "20'-6 1/2\""
    page.locator("#f-gap").fill("1 1/8 in")
    page.locator("#f-gap").press("Enter")
    assert page.locator("#s-gap").inner_text() == "one and one eighth inches"
    page.get_by_role("button", name="I don't know yet: Walls").click()
    assert page.locator(".unknown").count() == 1
    assert page.locator("#verdict").inner_text() != "Checking all patterns"
    page.get_by_role("link", name="Leg 4:").first.focus()
    page.keyboard.press("Enter")
    assert page.locator("h2#at").inner_text().lower() == "leg 4"
    page.locator(".note a.working").first.click()
    assert page.locator("h1").inner_text().startswith("Working")
    page.go_back()
    page.get_by_role("button", name="Undo").click()
    assert page.locator("#q-walls.unanswered").count() == 1
    page.get_by_role("button", name="SI", exact=True).click()
    assert page.locator("#sheet[data-show=si]").count() == 1
