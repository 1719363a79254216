"""Parts of the user's own on the page, as `check` has them."""

from __future__ import annotations

from rafterstay.job import set_value
from tests.browser.conftest import Begin, settled
from tests.browser.running import Run
from tests.browser.test_start import require_same_numbers

# An invented certificate; the figures are near those of an ordinary rope of that size.
ROPES = """lay,finish,size,strength,mass,label,source
text,text,in,lbf,lb/1000 ft,text,text
7x19,galvanized,1/4,6400,111,valley,"Test certificate 5512, valley wire works"
"""


def test_a_rope_of_ones_own_is_chosen_and_checked(visit: Begin, served: Run, mine: str) -> None:
    folder = served.folder / mine / "catalogue"
    folder.mkdir()
    (folder / "rope.csv").write_text(ROPES, encoding="utf-8")
    page = visit().open(f"/jobs/{mine}")
    settled(page)
    page.locator("#f-rope").select_option("valley 7x19 galvanized 1/4 in")
    page.wait_for_selector("#f-rope option[selected]:text('valley')", state="attached")
    settled(page)
    require_same_numbers(served, page)
    (folder / "rope.csv").write_text(ROPES.replace("6400", "strong"), encoding="utf-8")
    page.reload()
    assert "DA-05" in page.locator(".summary").inner_text()


def test_a_file_that_names_a_part_from_nowhere_is_told(
    visit: Begin, served: Run, mine: str
) -> None:
    path = served.folder / mine / "job.toml"
    text = set_value(path.read_text(encoding="utf-8"), "parts.rope", "hill 7x19 galvanized 1/4 in")
    path.write_text(text, encoding="utf-8")
    page = visit().open(f"/jobs/{mine}")
    assert "parts.rope" in page.locator(".summary").inner_text()
