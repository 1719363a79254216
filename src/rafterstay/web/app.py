"""Which address gives which page."""

from __future__ import annotations

import threading
from collections.abc import Awaitable, Callable, Mapping
from functools import cache
from pathlib import Path
from typing import Any, Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import FileResponse, HTMLResponse, JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from rafterstay.core.errors import Finding, InputError, RafterstayError
from rafterstay.core.quantities import show
from rafterstay.job.examples import example, examples
from rafterstay.sheets.literal import printable
from rafterstay.store import Conflict, JobText
from rafterstay.web.answers import Answers
from rafterstay.web.desk import Desk
from rafterstay.web.drawing import kind_of_roof, thumbnail_markup
from rafterstay.web.errands import Errand, Errands
from rafterstay.web.fields import form_names, snow_choices, written
from rafterstay.web.guard import Guard
from rafterstay.web.lines import line_view
from rafterstay.web.papers import Paper, Papers
from rafterstay.web.pencil import pencilled
from rafterstay.web.questions import QUESTIONS
from rafterstay.web.reading import job_of, system_of, title_of, tree_of
from rafterstay.web.views import ask_sheet, asked, read_back, sheet
from rafterstay.web.ways import KINDS, compared, sized, swept
from rafterstay.web.words import line_in_words, said_of
from rafterstay.web.workbench import Outcome, Workbench

__all__ = ["make_app"]

_HERE: Final = Path(__file__).parent
_KINDS: Final = {".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml"}
_STATIC: Final = {path.name: path for path in (_HERE / "static").iterdir()}

_LARGE: Final = 12  # sides; the whole answer of a roof with more takes about a second or longer

# [s] a roof of ten sides on a slow machine
_USUAL: Final = {"compare": 1, "size": 12, "heights": 5}

Form = Mapping[str, str]


class _Pages:
    """The pages of one run."""

    def __init__(self, desk: Desk, papers: Papers) -> None:
        self._desk = desk
        self._papers = papers
        self._answers = Answers()
        self._errands = Errands()
        self._open: dict[str, Workbench] = {}
        self._busy = threading.Lock()

    def first(self, _request: Request, _form: Form, notices: tuple[Finding, ...] = ()) -> Response:
        """The first screen."""
        return _page(
            "first.html",
            400 if notices else 200,
            cards=self._desk.cards(),
            single=self._desk.single,
            folder=printable(self._desk.root.name),
            examples=_examples(),
            notices=notices,
        )

    def start(self, request: Request, form: Form) -> Response:
        """Start a job and go to it."""
        try:
            name = self._desk.start(form.get("title", ""), form.get("like", "octagon"))
        except RafterstayError as fault:
            return self.first(request, form, fault.findings)
        return RedirectResponse(f"/jobs/{name}", 303)

    def job(self, request: Request, _form: Form) -> Response:
        """The sheet of a job; a large roof gets a first look, and asks for the rest itself."""
        look = request.query_params.get("look", "")
        at = request.query_params.get("at", "")
        bench = self._bench(request)
        quick = look == "first" or (look != "whole" and _is_large(bench))
        return self._sheet(bench, at=at, quick=quick)

    def put(self, request: Request, form: Form) -> Response:
        """Put a form into the job; a script gets a first look at once."""
        bench = self._bench(request)
        outcome = bench.put(form)
        return self._after(bench, outcome, request, form)

    def undo(self, request: Request, form: Form) -> Response:
        """Go back one step."""
        bench = self._bench(request)
        return self._after(bench, bench.undo(form.get("base", "")), request, form)

    def typed(self, request: Request, form: Form) -> Response:
        """Keep what is being typed, and read lengths back in words."""
        bench = self._bench(request)
        bench.keep(form)
        system = system_of(bench.folder.read().text)
        said = {
            question.name: read_back(question, form[question.name], system)
            for question in QUESTIONS
            if question.name in form
        }
        return JSONResponse(said)

    def working(self, request: Request, _form: Form) -> Response:
        """Every line of one check."""
        bench = self._bench(request)
        answer = bench.answer(bench.folder.read().text, quick=False)
        design = answer.design
        wanted = request.path_params["check"]
        found = [one for one in design.checks.checks if one.id == wanted] if design else []
        if design is None or not found:
            raise HTTPException(404)
        return _page(
            "working.html",
            here=f"/jobs/{bench.name}",
            title=printable(design.job.title),
            said=said_of(found[0], design),
            lines=[line_in_words(line) for line in found[0].working],
        )

    def ask(self, request: Request, _form: Form) -> Response:
        """The sheet of what is to be asked, to be printed."""
        bench = self._bench(request)
        text = bench.folder.read().text
        shown = asked(text, {}, {})
        title = shown["title"].values["title"] or "Roof"
        return _page(
            "ask.html", here=f"/jobs/{bench.name}", title=printable(title), asking=ask_sheet(shown)
        )

    def ways(self, request: Request, _form: Form) -> Response:
        """Another layout, other sizes, another height: each worked out when it is asked for."""
        kind = request.path_params["kind"]
        if kind not in KINDS:
            raise HTTPException(404)
        bench = self._bench(request)
        now = bench.folder.read()
        shelves = bench.shelves()
        with_ply = request.query_params.get("ply") == "1"
        provisional = bool(pencilled(now.text))

        def work() -> dict[str, Any]:
            job = job_of(now.text, shelves)
            if kind == "compare":
                return compared(job, provisional=provisional)
            if kind == "size":
                return sized(job, with_ply=with_ply, provisional=provisional)
            return swept(job, provisional=provisional)

        errand = self._errands.ask((kind, with_ply, now.fingerprint, shelves), work)
        facts: dict[str, Any] = errand.result or {}
        faults: tuple[Finding, ...] = ()
        if errand.fault is not None:
            if not isinstance(errand.fault, RafterstayError):
                raise errand.fault
            faults = errand.fault.findings
        return _page(
            "ways.html",
            here=f"/jobs/{bench.name}",
            title=printable(title_of(now.text)),
            kind=kind,
            kinds=KINDS,
            heading=KINDS[kind],
            waiting=not errand.done.is_set(),
            seconds=errand.seconds,
            usual=_USUAL[kind],
            provisional=provisional,
            base=now.fingerprint,
            faults=faults,
            **facts,
        )

    def paper(self, request: Request, _form: Form) -> Response:
        """A paper that is being made, or is ready to be taken."""
        paper, bench, errand = self._made(request)
        now = bench.folder.read()
        if errand.fault is not None and not isinstance(errand.fault, RafterstayError):
            raise errand.fault
        return _page(
            "paper.html",
            here=f"/jobs/{bench.name}",
            title=printable(title_of(now.text)),
            paper=paper,
            key=request.path_params["kind"],
            name=f"{bench.name}-{paper.file}",
            waiting=not errand.done.is_set(),
            seconds=errand.seconds,
            provisional=bool(pencilled(now.text)),
            faults=errand.fault.findings if errand.fault is not None else (),
            size=f"{len(errand.result or b'') / 1000:.0f} kB",
        )

    def file(self, request: Request, _form: Form) -> Response:
        """The bytes of a paper that is ready."""
        paper, bench, errand = self._made(request)
        if not isinstance(errand.result, bytes):
            return RedirectResponse(f"/jobs/{bench.name}/paper/{request.path_params['kind']}", 303)
        named = f'attachment; filename="{bench.name}-{paper.file}"'
        return Response(
            errand.result, headers={"content-disposition": named}, media_type=paper.kind
        )

    def _made(self, request: Request) -> tuple[Paper, Workbench, Errand]:
        paper = self._papers.get(request.path_params["kind"])
        if paper is None:
            raise HTTPException(404)
        bench = self._bench(request)
        place, now = bench.folder.path, bench.folder.read()
        key = ("paper", paper.file, now.fingerprint, bench.shelves())
        return paper, bench, self._errands.ask(key, lambda: paper.make(place))

    def lines(self, request: Request, _form: Form) -> Response:
        """The roof as lines in space."""
        bench = self._bench(request)
        design = bench.answer(bench.folder.read().text, quick=False).design
        if design is None:
            raise HTTPException(404)
        return JSONResponse(line_view(design))

    def _after(self, bench: Workbench, outcome: Outcome, request: Request, form: Form) -> Response:
        if outcome.conflict is not None:
            return _conflict(bench, outcome.conflict, form)
        live = request.headers.get("x-live") == "1"
        at = form.get("at", "")
        if not live and not outcome.faults and not outcome.notices:
            return RedirectResponse(f"/jobs/{bench.name}" + (f"?at={at}#at" if at else ""), 303)
        return self._sheet(bench, at=at, quick=live, outcome=outcome)

    def _sheet(
        self, bench: Workbench, *, at: str, quick: bool, outcome: Outcome | None = None
    ) -> Response:
        now = bench.folder.read()
        told = outcome or Outcome()
        try:
            shown = asked(now.text, bench.draft.texts(), bench.faults, bench.shelves())
        except ValueError:
            return _broken(bench, now)
        answer = bench.answer(now.text, quick=quick)
        facts = {"papers": self._papers} | sheet(
            bench.name, now, answer, shown, at=printable(at[:20]), stale=bench.last()
        )
        status = 422 if told.faults else 200
        notices = (*told.notices, *bench.folder.notices)
        return _page("sheet.html", status, notices=notices, **facts)

    def _bench(self, request: Request) -> Workbench:
        name = request.path_params["name"]
        folder = self._desk.folder(name)
        with self._busy:
            if name not in self._open:
                self._open[name] = Workbench(name, folder, self._answers)
            return self._open[name]


def make_app(desk: Desk, *, port: int, token: str, papers: Papers | None = None) -> Guard:
    """The page as an application, behind its guard.

    Args:
        desk: The opened folder.
        port: Where it is served.
        token: What the browser must show.
        papers: What can be made of a job, by its word in addresses.

    Returns:
        An ASGI application.
    """
    pages = _Pages(desk, papers or {})
    routes = [
        Route("/", _endpoint(pages.first)),
        Route("/jobs", _endpoint(pages.start), methods=["POST"]),
        Route("/jobs/{name}", _endpoint(pages.job)),
        Route("/jobs/{name}/put", _endpoint(pages.put), methods=["POST"]),
        Route("/jobs/{name}/undo", _endpoint(pages.undo), methods=["POST"]),
        Route("/jobs/{name}/typed", _endpoint(pages.typed), methods=["POST"]),
        Route("/jobs/{name}/working/{check}", _endpoint(pages.working)),
        Route("/jobs/{name}/ask", _endpoint(pages.ask)),
        Route("/jobs/{name}/lines", _endpoint(pages.lines)),
        Route("/jobs/{name}/ways/{kind}", _endpoint(pages.ways)),
        Route("/jobs/{name}/paper/{kind}", _endpoint(pages.paper)),
        Route("/jobs/{name}/paper/{kind}/file", _endpoint(pages.file)),
        Route("/static/{file}", _static),
    ]
    handlers: dict[Any, Any] = {HTTPException: _not_found, RafterstayError: _told, OSError: _told}
    return Guard(Starlette(routes=routes, exception_handlers=handlers), port=port, token=token)


def _endpoint(
    page: Callable[[Request, Form], Response],
) -> Callable[[Request], Awaitable[Response]]:
    """Read the form, then make the page in a thread, so that others are not kept waiting."""

    async def answered(request: Request) -> Response:
        form: dict[str, str] = {}
        if request.method == "POST":
            async with request.form(max_files=0, max_fields=200) as sent:
                form = {name: text for name, text in sent.items() if isinstance(text, str)}
        return await run_in_threadpool(page, request, form)

    return answered


async def _static(request: Request) -> Response:
    """Style and scripts: only what is listed, whatever the address says."""
    path = _STATIC.get(request.path_params["file"])
    if path is None or path.suffix not in _KINDS:
        raise HTTPException(404)
    return FileResponse(path, media_type=_KINDS[path.suffix])


async def _not_found(_request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 500
    words = {404: "There is no such page.", 405: "That is not how this page is used."}
    return _page("error.html", status, said=words.get(status, "That could not be read."), faults=())


async def _told(_request: Request, error: Exception) -> Response:
    if isinstance(error, RafterstayError):
        status = 404 if isinstance(error, InputError) else 500
        return _page("error.html", status, said="That did not work.", faults=error.findings)
    said = f"The folder could not be read or written: {getattr(error, 'strerror', '')}."
    return _page("error.html", 500, said=said, faults=())


def _is_large(bench: Workbench) -> bool:
    """Whether the whole answer may keep a reader waiting for more than a second."""
    try:
        job = job_of(bench.folder.read().text, bench.shelves())
    except (RafterstayError, ValueError):
        return False
    return (job.roof.sides or 0) > _LARGE or job.pretension.target != 0.0


def _page(template: str, status: int = 200, **facts: Any) -> HTMLResponse:
    return HTMLResponse(_templates().get_template(template).render(facts), status)


@cache
def _templates() -> Environment:
    found = Environment(
        loader=FileSystemLoader(_HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.filters["force"] = lambda value, system: show(value, "force", system)
    found.globals["snow_choices"] = snow_choices()
    return found


@cache
def _examples() -> tuple[dict[str, str], ...]:
    """Every example roof, drawn."""
    from rafterstay import design
    from rafterstay import job as jobs

    found = []
    for name in examples():
        done = design.check(jobs.loads(example(name)), only=("D+S/balanced", "D+Lr/balanced"))
        found.append(
            {
                "name": name,
                "title": done.job.title,
                "plan": thumbnail_markup(done, id=f"example-{name}"),
                "kind": kind_of_roof(done),
            }
        )
    return tuple(found)


def _conflict(bench: Workbench, conflict: Conflict, form: Form) -> Response:
    """Both versions side by side, answer by answer, and the question which to keep."""
    mine, found = conflict.mine.decode("utf-8", "backslashreplace"), conflict.found
    return _page(
        "conflict.html",
        409,
        here=f"/jobs/{bench.name}",
        rows=_differing(found.text, mine),
        differences=conflict.differences,
        found=found.fingerprint,
        form={name: text for name, text in form.items() if name not in ("over", "keep", "at")},
    )


def _differing(found: str, mine: str) -> list[tuple[str, str, str]]:
    """Label, the answer that is there and the answer that was to be saved."""
    try:
        trees = [tree_of(text) for text in (found, mine)]
    except ValueError:
        return []
    system = system_of(mine)
    rows = []
    for question in QUESTIONS:
        there, here = (written(question, tree, system) for tree in trees)
        if there != here:
            words = (
                ", ".join(filter(None, (one[name] for name in form_names(question))))
                for one in (there, here)
            )
            rows.append((question.label, *words))
    return rows  # type: ignore[return-value]


def _broken(bench: Workbench, now: JobText) -> Response:
    """A job file that was edited outside and is no TOML any more."""
    from rafterstay import job as jobs

    findings: tuple[Finding, ...] = ()
    try:
        jobs.loads(now.body)
    except RafterstayError as fault:
        findings = fault.findings
    return _page(
        "broken.html",
        200,
        here=f"/jobs/{bench.name}",
        faults=findings,
        base=now.fingerprint,
        text=printable_lines(now.text),
    )


def printable_lines(text: str) -> str:
    """A text with its lines, and nothing hidden in any of them."""
    return "\n".join(printable(line) for line in text.splitlines())
