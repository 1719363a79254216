"""The generated pages are what their commands print today."""

from __future__ import annotations

from pathlib import Path

from tests.contract.tree import ROOT
from tools.docs import PAGES, differences


def test_the_generated_pages_are_up_to_date() -> None:
    assert differences(ROOT, PAGES) == []


def test_a_stale_or_missing_page_is_found(tmp_path: Path) -> None:
    pages = {"page.md": ("-c", "print('one'); print('two')")}
    assert "+two" in differences(tmp_path, pages)
    (tmp_path / "page.md").write_text("one\nthree\n")
    assert {"-three", "+two"} <= set(differences(tmp_path, pages))
    (tmp_path / "page.md").write_text("one\ntwo\n")
    assert differences(tmp_path, pages) == []
