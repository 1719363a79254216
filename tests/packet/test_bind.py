"""A packet holds what an official asks for, and every part of it agrees with the design."""

from __future__ import annotations

import hashlib
import re
import subprocess
import sys
from dataclasses import replace

import numpy as np
import pytest

from rafterstay import design, shop
from rafterstay.core.cautions import CAUTIONS
from rafterstay.design import Design
from rafterstay.packet import Shop, Site, Told
from rafterstay.sheets.summary import asks_and_gives, share
from rafterstay.shop.buying import shopping
from rafterstay.shop.hung import shackle_of
from rafterstay.shop.press_log import Pressed, pulled_name
from rafterstay.shop.proof import proof_pull
from rafterstay.shop.pull_file import Pulled
from tests.packet.paper import designed, made, pages_of, reader, squashed, text_of
from tests.statics.roofs import stated
from tests.tie.rings import plated, welded

EXAMPLES = ["octagon", "reading-room", "round-house", "bandstand", "gable-workshop", "pavilion"]
NOT_COVERED = Told("not-covered", "Not covered by this check: meteorites and the like.")


@pytest.fixture(scope="module")
def demo() -> Design:
    return designed("reading-room")


@pytest.fixture(scope="module")
def pdf(demo: Design) -> bytes:
    return made(demo, told=[NOT_COVERED]).pdf


@pytest.fixture(scope="module")
def text(pdf: bytes) -> str:
    return squashed(text_of(pdf))


def test_every_check_stands_with_clause_demand_and_capacity(demo: Design, text: str) -> None:
    for number, check in enumerate(demo.checks.checks, start=1):
        asked, given = asks_and_gives(check, "us")
        used = "-" if check.utilisation is None else share(check.utilisation)
        leg = f", leg {check.leg}" if check.leg is not None else ""
        heading = squashed(f"{number}  {check.id}: {check.part}{leg}")
        block = text[text.index(heading) :]
        assert block.startswith(squashed(f"{heading}Asks{asked}Gives{given}Used{used}Status"))
        for source in check.sources:
            assert squashed(str(source)) in block


def test_every_line_of_working_is_there(demo: Design, pdf: bytes) -> None:
    text = squashed(text_of(pdf, "-raw"))
    for check in demo.checks.checks:
        for line in check.working:
            assert squashed(f"{line.value:.6g}") in text, (check.id, line)
            assert squashed(line.formula) in text, (check.id, line)
            if line.numbers != f"{line.value:.6g}":
                assert squashed(line.numbers) in text, (check.id, line)


def test_sections_an_official_asks_for(text: str) -> None:
    for title in (
        "Duty",
        "Scope",
        "Design criteria",
        "The frame as built",
        "Free body: thrust, reactions, hold-downs",
        "Pull of each leg",
        "Weakest part first",
        "Every check, with its working",
        "Sheets",
        "Parts and the standards they must meet",
        "Mill certificates",
        "Test eyes",
        "Press log",
        "Proof pull",
        "hold points",
        "Lowering the prop",
        "Tension record",
        "Upkeep",
        "Placard",
        "1. Quality",
        "2. Strength",
        "3. Effectiveness",
        "4. Fire resistance",
        "5. Durability",
        "6. Safety",
        "Assumptions, on one page for the engineer",
        "As designed, not measured",
        NOT_COVERED.text,
    ):
        assert squashed(title) in text, title
    for caution in CAUTIONS:
        assert squashed(caution.text) in text, caution.number


def test_every_page_tells_number_revision_and_fingerprint(demo: Design) -> None:
    pages = pages_of(made(demo, site=Site(revision=12)).pdf)
    for number, page in enumerate(pages, start=1):
        assert f"Page {number} of {len(pages)}" in page
        assert f"Job {demo.job.sha256[:16]}, revision 12" in page


def test_assumptions_stand_on_one_page() -> None:
    bare = designed("octagon")
    page = next(
        squashed(page)
        for page in pages_of(made(bare).pdf)
        if page.lstrip().split("\n", 1)[0] and "Assumptions, on one page" in page[:400]
    )
    assert len(bare.job.assumed) > 5
    for one in bare.job.assumed:
        assert squashed(one.key) in page
        assert squashed(one.why) in page
    sources = [source for check in bare.checks.checks for source in check.sources]
    memory = {str(source) for source in sources if source.obtained == "memory"}
    assert memory
    for said in memory:
        assert squashed(said) in page
    for field in ("Engineer", "Licence", "Signature"):
        assert field in page


def test_only_pulls_of_first_order_are_said_to_be_proved() -> None:
    """What bounds what: docs/theory/error-bound.md, Limits."""
    said = squashed(text_of(made(designed("octagon")).pdf, "-layout"))
    assert "Provedlegpullsoffirstordertowithin" in said
    assert "Displacedroofpassesendwhennopullchangesbymorethan1e-5ofthelargest" in said
    assert said.count("Proved") == 1
    assert "provedbound" not in said


def test_archive_and_reading_aloud(demo: Design, pdf: bytes) -> None:
    """PDF/A-2a (ISO 19005-2) and PDF/UA-1 (ISO 14289-1) say so in their metadata."""
    found = reader(pdf)
    root = found.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    said = root["/Metadata"].get_data().decode()
    assert re.search(r"pdfaid:part>2<", said)
    assert re.search(r"pdfaid:conformance>A<", said)
    assert re.search(r"pdfuaid:part>1<", said)
    assert found.metadata is not None
    assert found.metadata.title == f"Packet: {demo.job.title}"
    fonts = {
        str(font["/BaseFont"]).split("+")[-1]
        for page in found.pages
        for font in (f.get_object() for f in page["/Resources"].get("/Font", {}).values())
    }
    assert fonts
    assert all(name.startswith(("LibertinusSerif", "DejaVuSansMono")) for name in fonts)


def test_same_job_same_bytes(demo: Design, pdf: bytes) -> None:
    assert made(demo, told=[NOT_COVERED]).pdf == pdf
    program = (
        "import hashlib, sys; from tests.packet.paper import designed, made; "
        "sys.stdout.write(hashlib.sha256(made(designed('octagon')).pdf).hexdigest())"
    )
    done = subprocess.run(
        [sys.executable, "-c", program],
        env={"PYTHONPATH": ":".join([".", *filter(None, sys.path)]), "TZ": "Asia/Tokyo"},
        stdout=subprocess.PIPE,
        check=True,
    )
    here = hashlib.sha256(made(designed("octagon")).pdf).hexdigest()
    assert done.stdout.decode() == here


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_example_binds_on_both_papers(name: str) -> None:
    done = designed(name)
    letter = reader(made(done, paper="letter").pdf)
    assert [round(float(x)) for x in letter.pages[0].mediabox[2:]] == [612, 792]
    brief = reader(made(done, paper="a4", brief=True).pdf)
    assert [round(float(x)) for x in brief.pages[0].mediabox[2:]] == [595, 842]
    assert len(brief.pages) == 4


def test_odd_jobs_bind() -> None:
    """Random sizes, seeded: a full packet of each, and four pages for the counter."""
    draw = np.random.default_rng(20310402)
    for sides in (3, 5, 24):
        feet = float(draw.uniform(6.0, 16.0))
        rise = feet * float(draw.uniform(0.45, 0.8))
        job = stated(
            "octagon",
            roof__sides=sides,
            roof__plate_radius=f"{feet:.3f} ft",
            roof__rise=f"{rise:.3f} ft",
            tie__height=f"{draw.uniform(0.0, 0.4):.3f}",
            tie__ring_radius="14 in",
            job__show="si" if sides == 5 else "us",
            loads__dead=f"{draw.uniform(5, 25):.1f} psf",
        )
        done = design.check(job)
        full = made(done)
        assert full.pages == len(reader(full.pdf).pages) > 20
        for paper in ("letter", "a4"):
            assert len(reader(made(done, brief=True, paper=paper).pdf).pages) == 4


def test_si_packet_has_no_us_figure(demo: Design) -> None:
    done = design.check(replace(demo.job, show="si"))
    pages = pages_of(made(done, brief=True).pdf)
    assert " kN" in pages[1]
    assert not re.search(r"\d (lb|lbf|psf|psi|ft)\b", pages[1])


def test_as_built_stands_with_its_plus_and_minus(tmp_path: object) -> None:
    from rafterstay import roof
    from rafterstay.cli.survey_frame import read_frame
    from tests.cli.run import EXAMPLES as FOLDER

    job = stated("octagon")
    built = read_frame(job, roof.lay_out(job), FOLDER / "readings" / "octagon-slip.csv")
    done = design.check(job, built=built)
    said = text_of(made(done).pdf)
    assert "As measured" in said
    assert built.blunders
    one = built.blunders[0]
    assert f"{one.start} to {one.end}" in said
    assert said.count("± ") >= len(built.points)
    assert "Every length below is from the drawing" not in " ".join(said.split())


def test_logs_are_printed_where_there_are_any(demo: Design) -> None:
    press = Pressed(
        leg=3,
        eye="ring eye",
        reel="B-17",
        sleeve=demo.tie.sleeve.name,
        tool="bench tool, die 5/16",
        presses=3,
        order="2-1-3",
        tail_before=0.0174,
        tail_after=0.0111,
        gauge="passed",
        who="Ada",
        when="2031-04-02",
    )
    site = Site(
        revision=4,
        presses=(press,),
        pulls=(
            Pulled(
                leg=None,
                part=pulled_name("B-17", "bench tool, die 5/16"),
                scale="crane scale 7",
                pull=40_123.0,
                held=5.0,
                result="slipped",
                who="Ada",
                when="2031-04-02",
            ),
            Pulled(3, "leg 3", "luggage scale", 4955.0, 60.0, "held", "Ada", "2031-04-03"),
        ),
    )
    said = squashed(text_of(made(demo, site=site).pdf, "-raw"))
    assert squashed("1 sleeves are logged in the job folder.") in said
    assert squashed('3 ring eye B-17 bench tool, die 5/16 3 2-1-3 7/16" passed') in said
    eye = "test eye of reel B-17 pressed with bench tool, die 5/16 crane scale 7 9020 lb slipped"
    assert squashed(f"{eye} Ada, 2031-04-02") in said
    assert squashed("leg 3 luggage scale 1114 lb 60 s held Ada, 2031-04-03") in said
    assert "No sleeve is logged" in " ".join(text_of(made(demo).pdf).split())


def test_blanks_say_what_is_not_worked_out(text: str) -> None:
    assert text.count(squashed("Not worked out by this version")) == 2


def test_the_loss_of_a_part_is_told_under_safety(text: str) -> None:
    """The demo's legs swing the joint of head and hub past what it may give: no more is said."""
    assert squashed("losing it drops all legs (ring-lost)") in text
    assert (
        squashed("With one leg gone, an engineer must decide what that means (leg-lost).") in text
    )


def test_a_pull_that_was_not_found_is_said_in_words() -> None:
    weightless = designed("octagon")
    assert not np.isfinite(weightless.forces.setting.lowered_pull).any()
    said = " ".join(text_of(made(weightless).pdf).split())
    assert "no figure: with the dead load the job states, no leg is drawn taut" in said
    assert "none found" in said
    assert "-- to --" not in said


def test_hold_downs_are_listed() -> None:
    done = designed("pavilion")
    lifted = np.asarray(done.forces.foot_reaction).min(axis=0)
    said = " ".join(text_of(made(done).pdf).split())
    assert (lifted < -0.5).any()
    assert "Hold-downs over all combinations" in said
    calm = " ".join(text_of(made(designed("octagon")).pdf).split())
    assert "In no combination does a foot lift" in calm


@pytest.mark.parametrize("ring", ["welded", "plate"])
def test_a_ring_of_steel_is_told_to_its_maker_and_no_rope_of_it(ring: str) -> None:
    done = design.check(welded() if ring == "welded" else plated())
    cut = shop.cut(done.job, done.tie, done.forces)
    proof = proof_pull(done.tie, done.forces, done.checks, shackle=shackle_of(done.job))
    shopped = Shop(cut, shopping(done.job, done.tie, cut), proof)
    said = squashed(text_of(made(done, shop=shopped).pdf))
    assert squashed("Ring of steel") in said
    steel = cut.steel
    assert steel is not None
    assert squashed(f"{1000 * steel.radius:.1f} mm" if ring == "plate" else "997.5 mm") in said
    assert squashed("Ring rope") not in said
    assert squashed("first ring sleeve") not in said
    assert squashed("ASTM A36") in said
