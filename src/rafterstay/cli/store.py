"""``rafterstay store``: is the job folder whole, and how is it copied, brought back and saved?"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

from rafterstay.cli.contract import Exit, envelope
from rafterstay.cli.output import emit, slow, write_document

if TYPE_CHECKING:
    from rafterstay.core.errors import Finding
    from rafterstay.store import Revision

__all__ = ["store"]

_json = click.option("--json", "as_json", is_flag=True, help="Print one JSON document instead.")
_note = click.option("--note", default="", metavar="TEXT", help="Why, for the list of revisions.")
_edits = click.option(
    "--edits", is_flag=True, help="job.toml was edited by hand: record that first, then go back."
)


@click.group()
def store() -> None:
    """Look after a job folder: check, copy, bring back, go back.

    Nothing here overwrites a file or folder, and no entry of a log is ever removed.
    """


@store.command()
@click.argument("job", metavar="JOB")
@_json
def check(job: str, *, as_json: bool) -> Exit:
    """Is everything in JOB as it was written? Changes nothing.

    Leaves with 1 when something is damaged, altered or missing.
    """
    from rafterstay.store.checkup import check as look

    with slow("Reading every page and every entry"):
        found = look(job)
    lines = [str(finding) for finding in (*found.faults, *found.remarks)]
    lines += [f"{table}: {count}" for table, count in found.counts.items()]
    lines.append("Something is wrong: see above." if found.faults else "All is as it was written.")
    content = {
        "faults": [_told(finding) for finding in found.faults],
        "warnings": [_told(finding) for finding in found.remarks],
        "rows": found.counts,
    }
    _say(lines, as_json=as_json, action="check", **content)
    return Exit.ATTENTION if found.faults else Exit.PASSES


@store.command()
@click.argument("job", metavar="JOB")
@click.option("--to", metavar="DIR", help="Make the dated folder in DIR, best on another disk.")
@_json
def backup(job: str, *, to: str | None, as_json: bool) -> Exit:
    """Copy JOB into a dated folder, which is checked and can be opened as it is."""
    from rafterstay.store.backup import back_up

    with slow("Copying"):
        made = back_up(job, to)
    _say([f"Backed up to {made}."], as_json=as_json, action="backup", path=str(made))
    return Exit.PASSES


@store.command()
@click.argument("backup", metavar="BACKUP")
@click.option("--into", required=True, metavar="DIR", help="The job folder to make.")
@_json
def restore(backup: str, *, into: str, as_json: bool) -> Exit:
    """Make a new job folder from BACKUP, a dated folder or an exported file."""
    from rafterstay.store.backup import restore_backup

    with slow("Checking and copying"):
        made = restore_backup(backup, into)
    _say([f"Restored to {made}."], as_json=as_json, action="restore", path=str(made))
    return Exit.PASSES


@store.command()
@click.argument("job", metavar="JOB")
@click.option("--into", required=True, metavar="DIR", help="The job folder to make.")
@_json
def salvage(job: str, *, into: str, as_json: bool) -> Exit:
    """Save what can be saved of the damaged JOB into a new folder; JOB stays as it is."""
    from rafterstay.store.salvage import salvage as save

    with slow("Looking through every page"):
        saved = save(job, into)
    lines = [*saved.told().splitlines(), f"Saved to {saved.path}."]
    content = {"rows": saved.whole, "altered": saved.altered, "lost": saved.lost}
    _say(lines, as_json=as_json, action="salvage", path=str(saved.path), **content)
    return Exit.ATTENTION if saved.altered or saved.lost else Exit.PASSES


@store.command("export")
@click.argument("job", metavar="JOB")
@click.option(
    "-o", "output", metavar="FILE", help="The file to make; JOB.rafterstay.zip if not given."
)
@_json
def export_(job: str, *, output: str | None, as_json: bool) -> Exit:
    """Write the whole JOB into one checked file; the same job gives the same bytes."""
    from rafterstay.store.bundle import export_job
    from rafterstay.store.folder import find_folder

    name = find_folder(job).absolute().name
    with slow("Writing"):
        made = export_job(job, output or f"{name}.rafterstay.zip")
    lines = [f"{len(made.names)} files written to {made.path}.", f"SHA-256 {made.sha256}"]
    lines += [f"No part of the job, left out: {name}" for name in made.left_out]
    content = {"sha256": made.sha256, "files": made.names, "left_out": made.left_out}
    _say(lines, as_json=as_json, action="export", path=str(made.path), **content)
    return Exit.PASSES


@store.command("import")
@click.argument("file", metavar="FILE")
@click.option("--into", required=True, metavar="DIR", help="The job folder to make.")
@_json
def import_(file: str, *, into: str, as_json: bool) -> Exit:
    """Make a new job folder from the exported FILE, checked from end to end."""
    from rafterstay.store.unbundle import import_job

    with slow("Checking and unpacking"):
        made = import_job(file, into)
    _say([f"Imported to {made}."], as_json=as_json, action="import", path=str(made))
    return Exit.PASSES


@store.command()
@click.argument("job", metavar="JOB")
@_note
@_json
def record(job: str, *, note: str, as_json: bool) -> Exit:
    """Record job.toml as it stands as a revision, after an edit by hand."""
    from rafterstay.store import open_folder

    with open_folder(job) as folder:
        seen = folder.read()
        made = folder.save(seen.body, note=note, expected=seen.fingerprint)
    if seen.revision is not None:
        lines = [f"Revision {made.id} is job.toml as it stands already."]
    else:
        lines = [f"Recorded as revision {made.id}."]
    _say(lines, as_json=as_json, action="record", job_sha256=made.fingerprint, revision=_row(made))
    return Exit.PASSES


@store.command()
@click.argument("job", metavar="JOB")
@click.option("--show", type=int, metavar="N", help="Print the text of revision N.")
@_json
def revisions(job: str, *, show: int | None, as_json: bool) -> Exit:
    """List every text JOB ever had, newest first."""
    from rafterstay.store import open_folder

    with open_folder(job) as folder:
        found = folder.revisions()
        now = folder.read() if (folder.path / "job.toml").exists() else None
        if show is not None:
            text = folder.body_of(show).decode("utf-8", "backslashreplace")
            _say(text.splitlines(), as_json=as_json, action="revisions", revision=show, text=text)
            return Exit.PASSES
    current = now.revision if now else None
    lines = [_line(revision, current) for revision in found]
    if now is None:
        lines.insert(0, "job.toml is missing; `rafterstay store revert` brings a text back.")
    elif current is None:
        lines.insert(0, "job.toml as it stands is not recorded yet; the next save does it.")
    content = {
        "job_sha256": now.fingerprint if now else None,
        "revisions": [_row(revision) for revision in found],
        "current": current,
    }
    _say(lines, as_json=as_json, action="revisions", **content)
    return Exit.PASSES


@store.command()
@click.argument("job", metavar="JOB")
@click.argument("old", type=int, metavar="N")
@click.argument("new", type=int, required=False, metavar="[M]")
@_json
def compare(job: str, *, old: int, new: int | None, as_json: bool) -> Exit:
    """What changed from revision N to revision M, or to job.toml as it stands."""
    from rafterstay.store import open_folder

    with open_folder(job) as folder:
        told = folder.differences(old, new)
    lines = told.splitlines() or ["No difference."]
    _say(lines, as_json=as_json, action="compare", differences=told)
    return Exit.PASSES


@store.command()
@click.argument("job", metavar="JOB")
@_note
@_edits
@_json
def undo(job: str, *, note: str, edits: bool, as_json: bool) -> Exit:
    """Make the text before the current one current again; logs stay as they are."""
    from rafterstay.store import open_folder

    with open_folder(job) as folder:
        seen = folder.read().fingerprint if edits else None
        made = _deciding(lambda: folder.undo(note=note, expected=seen))
    return _went_back(made, as_json=as_json, action="undo")


@store.command()
@click.argument("job", metavar="JOB")
@click.argument("number", type=int, metavar="N")
@_note
@_edits
@_json
def revert(job: str, *, number: int, note: str, edits: bool, as_json: bool) -> Exit:
    """Make the text of revision N current again, as a new revision."""
    from rafterstay.store import open_folder

    with open_folder(job) as folder:
        seen = folder.read().fingerprint if edits else None
        made = _deciding(lambda: folder.restore(number, note=note, expected=seen))
    return _went_back(made, as_json=as_json, action="revert")


def _deciding(act: Callable[[], Revision]) -> Revision:
    """Where job.toml was changed outside, both texts are shown before the refusal."""
    from rafterstay.store import Conflict

    try:
        return act()
    except Conflict as conflict:
        _whisper(str(conflict).splitlines()[1:])
        _whisper(["To go back all the same, give --edits: the text edited by hand is kept too."])
        raise


def _went_back(made: Revision, *, as_json: bool, action: str) -> Exit:
    lines = [f"Revision {made.id} is current: {made.note}."]
    _say(lines, as_json=as_json, action=action, job_sha256=made.fingerprint, revision=_row(made))
    return Exit.PASSES


def _say(lines: list[str], *, as_json: bool, action: str, **content: Any) -> None:
    if as_json:
        write_document(envelope("store", action=action, **content))
        return
    from rafterstay.sheets.literal import printable

    emit("".join(f"{printable(line)}\n" for line in lines))


def _whisper(lines: list[str]) -> None:
    """Both texts, on standard error, above the line that says what is to be decided."""
    from rafterstay.sheets.literal import printable

    for line in lines:
        click.echo(printable(line), err=True)


def _told(finding: Finding) -> dict[str, str]:
    return {"code": finding.code, "text": str(finding)}


def _row(revision: Revision) -> dict[str, Any]:
    return {
        "id": revision.id,
        "at": revision.at,
        "kind": revision.kind,
        "note": revision.note,
        "sha256": revision.fingerprint,
        "outcome": revision.outcome,
    }


def _line(revision: Revision, now: int | None) -> str:
    mark = "*" if revision.id == now else " "
    aside = " (set aside)" if revision.outcome == "set aside" else ""
    stamp = f"{revision.at[:19].replace('T', ' ')} UTC"
    mark += f"{revision.id:>5}  {stamp}  {revision.fingerprint[:8]}"
    return f"{mark}  {revision.kind:<8}{aside} {revision.note}".rstrip()
