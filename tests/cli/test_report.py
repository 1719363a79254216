"""The page and the document of hand-built designs: what a reader must not miss."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from rafterstay.cli.document import check_document
from rafterstay.cli.output import to_json
from rafterstay.cli.report import check_report, wrapped
from rafterstay.core.cautions import CAUTIONS, cautions_for
from rafterstay.core.sources import Source
from rafterstay.core.working import Line
from rafterstay.sheets.literal import cells

from ..sheets.designs import Built, built
from .run import ROOT


def flat(text: str) -> str:
    return " ".join(text.split())


def with_forces(design: Built, **changed: Any) -> Built:
    return replace(design, forces=replace(design.forces, **changed))


def test_the_page_tells_pulls_weakest_defaults_and_cautions() -> None:
    page = check_report(built(10), working=True, every=True)
    said = flat(page)
    for words in (
        "Verdict DOES NOT PASS",
        "Weakest bolt, 1.07 of what it gives (bolt-yield)",
        "Geometry as designed, not measured",
        "bolt 1 bolt-yield 1203 lb 1124 lb 1.07 DOES NOT PASS",
        "Z = 2 D t Fe / Rd = 2 * 0.625 * 1.5 * 3650 / 4 = 1710.9 lbf",
        "roof.overhang = 0 in (nothing of the kind was stated)",
        "from memory, 70 %",
        "the other half 0.3 of it",
    ):
        assert words in said
    assert all(flat(one.text) in said for one in cautions_for("check"))
    assert page.rstrip().endswith(flat(cautions_for("check")[-1].text)[-20:])


def test_the_pull_after_the_prop_is_lowered_is_told() -> None:
    design = built(10)
    said = flat(check_report(design))
    assert "Set with the hub on its prop: 47 lb in every leg; the prop carries 1664 lb." in said
    assert "With the prop lowered: 427 lb in every leg." in said
    found = check_document(design)["setting"]
    assert (found["set_when"], found["prop_N"]) == ("propped", 7400.0)
    assert found["lowered_N"] == [1900.0] * 10
    unlike = replace(design.forces.setting, lowered_pull=np.linspace(1900.0, 2050.0, 10))
    said = flat(check_report(with_forces(design, setting=unlike)))
    assert "With the prop lowered: 427 lb in leg 1 to 461 lb in leg 10." in said


def test_a_roof_that_stands_has_no_prop_and_is_asked_what_holds_it() -> None:
    design = built(10)
    design.job.pretension.set_when = "standing"
    said = flat(check_report(design))
    assert "no prop under the hub: 47 lb in every leg." in said
    assert "Once the tie alone holds the dead load: 427 lb" in said
    assert "find out what holds it before anything is taken away" in said
    nothing = replace(design.forces.setting, lowered_pull=np.full(10, np.nan))
    slack = with_forces(design, setting=nothing)
    assert "No dead load is stated" in flat(check_report(slack))
    assert check_document(slack)["setting"]["lowered_N"] is None


def test_uplift_that_walls_alone_hold_is_told() -> None:
    lifted = with_forces(built(10), left_out=("0.6D+0.6W/uplift", "0.6D+0.6W/uplift-one-sided-018"))
    told = [one for one in check_document(lifted)["warnings"] if one["code"] == "uplift"]
    assert "0.6D+0.6W/uplift and 1 more stand by the walls" in told[0]["text"]


def test_a_target_that_only_help_holds_is_told_beside_what_holds_without() -> None:
    design = built(10)
    design.job.support.help_stated = True
    aimed = replace(design, tie=replace(design.tie, target=900.0))
    said = flat(check_report(aimed))
    assert "With it the legs are set to 202 lb, the target." in said
    assert "With it the legs are set" not in flat(check_report(design))


def test_the_loads_are_worked_before_the_checks() -> None:
    design = built(10)
    line = Line("ps", "Cs pf", "0.9 * 21", 18.9, "psf")
    source = Source("Snow by the fathom", "1911", "plate 3", "memory", 71)
    cases = replace(design.cases, working=(line,), sources=(source,))
    design = replace(design, cases=cases)
    said = flat(check_report(design, working=True))
    assert "Loads, worked ps = Cs pf = 0.9 * 21 = 18.9 psf [Snow by the fathom" in said
    assert said.index("Loads, worked") < said.index("Working 1 ")
    found = check_document(design)
    assert found["loads"]["working"][0]["value"] == 18.9
    assert "Snow by the fathom" in found["loads"]["sources"][0]
    memory = [one["text"] for one in found["warnings"] if one["code"] == "from-memory"]
    assert "Snow by the fathom" in memory[0]


def test_figures_follow_the_units_of_the_job() -> None:
    said = flat(check_report(built(10, show="si")))
    assert "5.35 kN in leg 1" in said
    assert " lb " not in said


def test_a_deciding_check_is_told_from_advice() -> None:
    said = flat(check_report(built(10)))
    assert "rope-lifting 1203 lb 1449 lb 0.83 advice" in said


@pytest.mark.parametrize(
    "title",
    ["[red]x[/red]", "\x1b[2J", "a" * 300, "屋根" * 70, "[/]", ":warning:", "\u202eabc"],
)
def test_any_title_is_printed_literally_and_fits(title: str) -> None:
    page = check_report(built(64, title=title), working=True, every=True)
    assert max(map(cells, page.splitlines())) <= 80
    shown = "".join(mark if mark.isprintable() else ascii(mark)[1:-1] for mark in title)
    assert shown in page.replace("\n", "")


def test_slack_and_lifting_are_told() -> None:
    design = built(8)
    slack = np.array(design.forces.slack)
    slack[2, [1, 6]] = True
    lifted = np.array(design.forces.foot_reaction)
    lifted[1, 3] = -444.82216
    found = check_document(with_forces(design, slack=slack, foot_reaction=lifted))
    told = {one["code"]: one["text"] for one in found["warnings"]}
    assert "2, 7" in told["leg-slack"]
    assert told["hold-down"] == "Foot 4 must be held down with 100 lb in D+S/unbalanced-000."


def test_a_slack_ring_has_no_place_in_the_document() -> None:
    rows = check_document(built(8))["combinations"]
    assert [row["ring_shift_m"] for row in rows] == [[0.0013, -0.0021], None, None, None]
    assert [row["ring_sag_m"] for row in rows] == [0.0042, None, None, None]


def test_a_figure_that_is_not_finite_never_leaves() -> None:
    design = built(8)
    pulls = np.array(design.forces.leg_pull)
    pulls[1, 1] = np.inf
    with pytest.raises(ValueError, match="JSON compliant"):
        to_json(check_document(with_forces(design, leg_pull=pulls)))
    assert json.loads(to_json(check_document(design)))["schema"] == 1


def test_pulls_alike_are_named_by_the_first_leg() -> None:
    design = built(8)
    pulls = np.full_like(design.forces.leg_pull, 3000.0)
    pulls += 1e-6 * np.arange(8)
    found = check_document(with_forces(design, leg_pull=pulls))
    assert {leg["governing"] for leg in found["legs"]} == {"D+S/balanced"}
    assert "in leg 1, D+S/balanced" in check_report(with_forces(design, leg_pull=pulls))


def test_cautions_are_numbered_once_each() -> None:
    assert [one.number for one in CAUTIONS] == list(range(1, 17))
    outputs = ("check", "plan", "make", "raise", "tune", "upkeep")
    assert all(cautions_for(output) for output in outputs)
    assert {one.number for output in outputs for one in cautions_for(output)} == set(range(1, 17))


def test_folding_keeps_every_character() -> None:
    text = "a word, " * 30 + "x" * 200
    folded = wrapped(text, first="- ", rest="  ")
    assert max(map(len, folded.splitlines())) <= 80
    assert "".join(folded.split()) == "-" + "".join(text.split())


def test_the_page_on_using_holds_every_caution() -> None:
    page = (ROOT / "docs" / "using.md").read_text(encoding="utf-8")
    listed = "".join(f"{one.number}. {one.text}\n" for one in CAUTIONS)
    assert page.endswith(f"## Cautions\n\n{listed}")


def test_what_is_proved_of_the_pulls_is_told_and_no_more() -> None:
    """First order of a rope ring; a ring that turns tells what it leaves out of balance."""
    design = built(10)
    said = flat(check_report(design, every=True))
    assert "Proved: leg pulls of first order to within 2.0e-04 N. Pulls are those of" in said
    for ring in ("welded", "plate"):
        turning = replace(design, tie=replace(design.tie, ring=ring))
        said = flat(check_report(turning, every=True))
        assert "its last pass left 3.0e-06 N or N m out of balance. Pulls are" in said
        assert "to within" not in said
    # Legs to one point, bands and straight ties do not turn: docs/theory/error-bound.md.
    for changed in ({"ring": "point"}, {"ring": "plate", "layout": "band"}):
        told = flat(check_report(replace(design, tie=replace(design.tie, **changed)), every=True))
        assert "Proved: leg pulls of first order to within 2.0e-04 N" in told
