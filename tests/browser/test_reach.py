"""Who can use the page: screen readers, thumbs, narrow screens, slow lines, light and dark."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from rafterstay.job import set_value
from rafterstay.web.pencil import Pencil, marked
from tests.browser.conftest import Begin, settled
from tests.browser.running import Run

# WCAG 2.2, success criterion 2.5.5 (enhanced): targets of at least 44 by 44 CSS pixels, but for
# links in a line of text. Read.
TARGET = 44.0
SMALL = """() => [...document.querySelectorAll('a, button, select, summary, input')]
  .filter(one => one.tabIndex >= 0 && one.checkVisibility({visibilityProperty: true}))
  .filter(one => !one.closest('.told, .skip'))
  .map(one => [one.getBoundingClientRect(), one.outerHTML.slice(0, 90)])
  .filter(([box]) => box.width < 43.9 || box.height < 43.9)
  .map(([box, html]) => `${box.width.toFixed(1)} x ${box.height.toFixed(1)}: ${html}`)"""


def require_accessible(page: Page) -> None:
    found = Axe().run(page)
    said = [
        f"{one['id']}: {node['html'][:160]}"
        for one in found.response["violations"]
        for node in one["nodes"]
    ]
    assert said == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280])
def test_axe_finds_nothing(visit: Begin, served: Run, mine: str, width: int, scheme: str) -> None:
    name = mine
    text = (served.folder / name / "job.toml").read_text(encoding="utf-8")
    (served.folder / name / "job.toml").write_text(
        marked(text, Pencil(unknown=frozenset({"snow", "walls"}))), encoding="utf-8"
    )
    one = visit(viewport={"width": width, "height": 800}, color_scheme=scheme)
    page = one.page
    require_accessible(page)
    for path in (
        f"/jobs/{name}?at=leg-3",
        "/jobs/octagon",
        f"/jobs/{name}/ask",
        "/jobs/octagon/working/bolt-yield",
        "/jobs/gable-workshop?at=hub",
        "/jobs/bandstand?at=leg-2",
        "/jobs/pavilion?at=leg-1",
    ):
        page.goto(served.site + path)
        require_accessible(page)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.goto(served.site + f"/jobs/{name}")
    settled(page)
    page.locator("#q-rise .thumb").click()
    page.locator("#all-legs summary").click()
    page.locator("#f-gap").fill("wide")
    page.locator("#f-gap").press("Tab")
    page.wait_for_selector(".summary")
    require_accessible(page)


@pytest.mark.parametrize(
    "path",
    [
        "/",
        "/jobs/octagon",
        "/jobs/octagon?at=leg-3",
        "/jobs/octagon?at=ring",
        "/jobs/gable-workshop?at=rafter",
        "/jobs/bandstand?at=leg-2",
        "/jobs/pavilion?at=wall",
        "/jobs/sixteen",
        "/jobs/forty",
    ],
)
def test_targets_fit_a_thumb_and_nothing_scrolls_sideways(
    visit: Begin, served: Run, path: str
) -> None:
    for name, sides in (("sixteen", 16), ("forty", 40)):
        if path.endswith(name) and not (served.folder / name).exists():
            (served.folder / name).mkdir()
            text = (served.folder / "octagon" / "job.toml").read_text(encoding="utf-8")
            text = set_value(set_value(text, "roof.sides", sides), "tie.ring_radius", "16 in")
            (served.folder / name / "job.toml").write_text(text, encoding="utf-8")
    page = visit(viewport={"width": 360, "height": 800}).open(path)
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    found = [
        line for line in page.evaluate(SMALL) if "forty" not in path or 'class="part' not in line
    ]
    assert found == []
    if path.endswith("forty"):
        assert page.locator(".leglist a").count() == 40
    if path.endswith("sixteen"):
        assert page.locator("svg#plan a[aria-label^='Leg ']").count() == 16


def test_the_first_load_is_small_and_stays_at_home(visit: Begin, served: Run) -> None:
    one = visit()
    for path in ("/", "/jobs/reading-room"):
        page = one.context.new_page()
        sizes: dict[str, int] = {}
        page.on(
            "requestfinished",
            lambda request, sizes=sizes: sizes.update(
                {
                    request.url: request.sizes()["responseBodySize"]
                    + request.sizes()["responseHeadersSize"]
                }
            ),
        )
        page.goto(served.site + path, wait_until="networkidle")
        assert len(sizes) < 8
        assert sum(sizes.values()) < 150_000
        assert all(url.startswith(served.site) for url in sizes)


def test_no_style_or_script_stands_in_the_page(served: Run) -> None:
    for path in ("/", "/jobs/reading-room", "/jobs/reading-room?at=ring", "/jobs/octagon/ask"):
        body = served.ask(path)[2]
        assert "<style" not in body
        assert " style=" not in body
        assert " on" + "click=" not in body
        assert body.count("<script") == body.count('<script type="module" src="/static/')


def test_paper_shows_the_answer_and_no_buttons(visit: Begin, served: Run) -> None:
    page = visit(viewport={"width": 800, "height": 1000}).open("/jobs/reading-room")
    page.emulate_media(media="print")
    assert page.locator("#verdict").is_visible()
    assert page.locator("#plan").is_visible()
    assert page.locator(".cautions").is_visible()
    assert not any(one.is_visible() for one in page.locator("button").all())
