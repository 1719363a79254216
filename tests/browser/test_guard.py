"""Host, Origin, token, sizes and paths: what the page lets in."""

from __future__ import annotations

import json
import socket

import pytest

from rafterstay.core.errors import InputError
from rafterstay.web.desk import Desk
from rafterstay.web.serve import serve
from tests.browser.running import Run


def test_the_page_answers_this_machine_only(served: Run) -> None:
    assert served.ask("/")[0] == 200
    assert served.ask("/", Host=f"roof.example:{served.port}")[0] == 421
    assert served.ask("/", Host="")[0] in (400, 421)
    with socket.socket() as probe:
        # Bound to the loopback address: the machine's other addresses answer nobody.
        other = socket.gethostbyname(socket.gethostname())
        assert other.startswith("127.") or probe.connect_ex((other, served.port)) != 0


@pytest.mark.parametrize("origin", ["", "null", "http://roof.example", "http://127.0.0.1:1"])
def test_a_form_of_another_page_is_refused(served: Run, origin: str) -> None:
    before = (served.folder / "octagon" / "job.toml").read_bytes()
    status, _, _ = served.ask("/jobs/octagon/put", {"snow": "99 psf"}, Origin=origin)
    assert status == 403
    assert (served.folder / "octagon" / "job.toml").read_bytes() == before


@pytest.mark.parametrize("cookie", ["", "rafterstay-1=x", "other=1"])
def test_without_the_token_of_this_run_nothing_is_shown(served: Run, cookie: str) -> None:
    for path in ("/", "/jobs/octagon", "/static/sheet.css", "/?key=guess"):
        status, _, body = served.ask(path, Cookie=cookie)
        assert status == 403
        assert "Octagon" not in body


def test_the_token_opens_and_leaves_the_address(served: Run) -> None:
    status, headers, _ = served.ask(f"/?key={served.token}", Cookie="")
    assert (status, headers["location"]) == (303, "/")
    assert "HttpOnly" in headers["set-cookie"]
    assert "SameSite=strict" in headers["set-cookie"]


def test_every_answer_carries_a_strict_policy(served: Run) -> None:
    for path in ("/", "/jobs/octagon", "/static/live.js", "/nowhere", "/jobs/nowhere"):
        _, headers, _ = served.ask(path)
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert headers["x-content-type-options"] == "nosniff"


@pytest.mark.parametrize(
    "path",
    [
        "/static/..%2fapp.py",
        "/static/../app.py",
        "/static/%2e%2e/app.py",
        "/jobs/..%2f..",
        "/jobs/..",
        "/jobs/%2fetc",
        "/static/",
    ],
)
def test_no_address_leads_out_of_the_folder(served: Run, path: str) -> None:
    status, _, body = served.ask(path)
    assert status == 404
    assert "import" not in body


def test_what_is_too_large_or_strange_is_refused(served: Run) -> None:
    assert served.ask("/jobs/octagon/put", {"title": "x" * 70_000})[0] == 413
    assert served.ask("/jobs/octagon/put", {}, Content_Length="wide")[0] in (400, 413)
    assert served.ask("/jobs/octagon", method="DELETE")[0] == 405
    assert served.ask("/jobs/octagon/put")[0] == 405
    assert served.ask("/jobs/octagon/put", {"title": "a\0b"})[0] in (200, 422)
    many = {f"field{number}": "1" for number in range(900)}
    assert served.ask("/jobs/octagon/put", many)[0] == 400


def test_a_job_that_is_not_there_is_named(served: Run) -> None:
    status, _, body = served.ask("/jobs/nowhere")
    assert status == 404
    assert "CL-040" in body


def test_no_job_is_started_inside_a_job(served: Run) -> None:
    with pytest.raises(InputError, match="CL-041"):
        Desk(served.folder / "octagon").start("Shed", "octagon")


def test_a_folder_that_is_not_there_and_a_port_that_is_taken(served: Run) -> None:
    with pytest.raises(InputError, match="CL-042"):
        serve(served.folder / "nowhere", port=None, browser=False, told=print)
    with pytest.raises(InputError, match="CL-043"):
        serve(served.folder, port=served.port, browser=False, told=print)


MARKUP = "</title><script>alert(1)</script>{{ 7*7 }}\"'&"


def test_a_users_text_is_printed_literally(served: Run) -> None:
    status, headers, _ = served.ask("/jobs", {"title": MARKUP, "like": "octagon"})
    assert status == 303
    escaped = "&lt;/title&gt;&lt;script&gt;alert(1)&lt;/script&gt;{{ 7*7 }}&#34;&#39;&amp;"
    for path in ("/", headers["location"], headers["location"] + "/ask"):
        body = served.ask(path)[2]
        assert "<script>alert" not in body
        assert escaped in body
    body = served.ask(headers["location"] + "/put", {"rise": MARKUP, "across": MARKUP})[2]
    assert "<script>alert" not in body
    assert escaped in body
    body = json.loads(served.ask(headers["location"] + "/typed", {"rise": MARKUP})[2])
    assert body == {"rise": ""}
    assert all(path.parent == served.folder for path in served.folder.iterdir())
