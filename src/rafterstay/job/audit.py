"""Whether a parsed file is a job: every finding at once, then the job in SI."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from difflib import get_close_matches
from functools import cache
from typing import TYPE_CHECKING, Any, Final

from rafterstay import catalog
from rafterstay.catalog import STANDARD
from rafterstay.core.errors import DataError, Finding, InputError
from rafterstay.job.cross import contradictions
from rafterstay.job.keys import REQUIRED, Key, Name, printable
from rafterstay.job.nouns import Assumed, Job, Path, Stated, keys

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from pydantic import TypeAdapter

    from rafterstay.catalog import Catalogue
    from rafterstay.job.places import Places

__all__ = ["MOST_FINDINGS", "SCHEMA", "audit"]

SCHEMA: Final = 1
MOST_FINDINGS: Final = 60  # told in full; a file with more is not a job

_CONTRACT: Final[Mapping[Path, Key | type[Any]]] = dict(keys())
_TABLES: Final = {(), *(path for path, key in _CONTRACT.items() if not isinstance(key, Key))}


@dataclass(frozen=True)
class _Fault:
    """A finding and the path it is about."""

    path: Path
    finding: Finding
    at_key: bool = False  # the fault is the key itself, not its value


def audit(
    tree: dict[str, Any], places: Places, *, sha256: str, catalogue: Catalogue | None = None
) -> Job:
    """The job a parsed file states.

    Args:
        tree: The parsed file.
        places: Where its keys and values stand.
        sha256: Of the file's bytes.
        catalogue: Where its parts are looked up; the package's tables where left out.

    Returns:
        The job in SI, with every default that was taken.

    Raises:
        InputError: All findings, in the order of the file.
    """
    if told := _edition(tree):
        raise InputError(_place(told, places))
    complete, assumed = _complete(tree)
    stated, faults = _validate(complete)
    wrong = {fault.path for fault in faults}
    values = _read_sound(complete, wrong)
    faults += [_Fault(path, found) for path, found in contradictions(values)]
    already = {fault.path for fault in faults}
    catalogue = STANDARD if catalogue is None else catalogue
    faults += [fault for fault in _look_up(values, catalogue) if fault.path not in already]
    if faults or stated is None:
        raise InputError(_tell(faults, places))
    tables = {field.name: getattr(stated, field.name) for field in fields(stated)}
    heading = tables.pop("job")
    del tables["schema"]
    return Job(
        title=heading.title,
        show=heading.show,
        assumed=tuple(assumed),
        sha256=sha256,
        catalogue=catalogue,
        **tables,
    )


def _edition(tree: dict[str, Any]) -> _Fault | None:
    """A file of another edition: nothing else in it can be judged."""
    schema = tree.get("schema")
    if isinstance(schema, bool) or not isinstance(schema, int) or schema == SCHEMA:
        return None
    newer = schema > SCHEMA
    remedy = (
        "The file is newer than this rafterstay: update rafterstay."
        if newer
        else "There is no older edition: write schema = 1."
    )
    finding = Finding("IN-011", value=printable(schema), bound=str(SCHEMA), remedy=remedy)
    return _Fault(("schema",), finding)


def _complete(tree: dict[str, Any]) -> tuple[dict[str, Any], list[Assumed]]:
    """The tree with every table there and every default put in; and what was put in."""
    complete = _copy_tables(tree)
    assumed: list[Assumed] = []
    for path, key in _CONTRACT.items():
        table = _find(complete, path[:-1])
        if not isinstance(table, dict) or path[-1] in table:
            continue
        if not isinstance(key, Key):
            table[path[-1]] = {}
        elif key.goes_with and not _applies(complete, key.goes_with):
            table[path[-1]] = None
        elif key.default is not REQUIRED:
            default = table.get(key.same_as, key.default)
            table[path[-1]] = default
            if default is not None:
                assumed.append(Assumed(".".join(path), printable(default), key.why))
    return complete, assumed


def _applies(complete: dict[str, Any], goes_with: tuple[str, tuple[str, ...]]) -> bool:
    """Whether the key that decides it has one of the words; it stands before in the contract."""
    leader, words = goes_with
    return _find(complete, tuple(leader.split("."))) in words


def _copy_tables(tree: dict[str, Any]) -> dict[str, Any]:
    """The tree, with the contract's tables copied so that defaults may be put in."""
    complete = dict(tree)
    for path in sorted(_TABLES - {()}, key=len):
        parent = _find(complete, path[:-1])
        if isinstance(parent, dict) and isinstance(parent.get(path[-1]), dict):
            parent[path[-1]] = dict(parent[path[-1]])
    return complete


def _find(tree: object, path: Path) -> object:
    """What stands at a path; None where there is nothing."""
    for part in path:
        tree = tree.get(part) if isinstance(tree, dict) else None
    return tree


@cache
def _validator() -> TypeAdapter[Stated]:
    from pydantic import TypeAdapter

    return TypeAdapter(Stated)


def _validate(complete: dict[str, Any]) -> tuple[Stated | None, list[_Fault]]:
    """The tables in SI, or what the validator found."""
    from pydantic import ValidationError

    try:
        return _validator().validate_python(complete), []
    except ValidationError as fault:
        errors = fault.errors(include_url=False, include_input=False)
    excused = _excused(complete)
    faults = []
    for number, error in enumerate(errors):
        path = tuple(str(part) for part in error["loc"])
        kind = error["type"]
        if kind == "missing":
            if path not in excused:
                faults.append(_missing(path))
        elif kind == "value_error":
            found = error["ctx"]["error"].findings[0]
            faults.append(_Fault(path, found))
        elif kind == "unexpected_keyword_argument":
            faults.append(_unknown(path, _find(complete, path), quick=number > MOST_FINDINGS))
        else:
            faults.append(_not_a_table(path, _find(complete, path)))
    return None, faults


def _excused(complete: dict[str, Any]) -> set[Path]:
    """Keys that another shape, or another way to state snow, leaves out rightly."""
    excused: set[Path] = set()
    if _find(complete, ("roof", "shape")) == "gable":
        excused |= {("roof", name) for name in ("sides", "plate_radius", "hub", "bracing")}
    if _find(complete, ("loads", "snow", "ground")) is not None:
        excused |= {("loads", "snow", "roof")}
    return excused


def _missing(path: Path) -> _Fault:
    key = _CONTRACT[path]
    remedy = f"State {key.means}: {key.bounds()}." if isinstance(key, Key) else ""
    return _Fault(path, Finding("IN-005", bound="stated", remedy=remedy), at_key=True)


def _not_a_table(path: Path, value: object) -> _Fault:
    remedy = f"Put its keys under a line [{'.'.join(path)}]."
    return _Fault(path, Finding("IN-006", value=printable(value), bound="a table", remedy=remedy))


def _unknown(path: Path, value: object, *, quick: bool) -> _Fault:
    """A key the contract does not know, with the nearest it knows."""
    if path[0] == "prices" and len(path) == 2:
        finding = Finding(
            "IN-008",
            value=printable(value),
            bound="left out",
            remedy="It is not served yet: no answer would take it into account.",
        )
        return _Fault(path, finding, at_key=True)
    remedy = "" if quick else _nearest(path)
    finding = Finding("IN-004", bound="a key of the job file", remedy=remedy)
    return _Fault(path, finding, at_key=True)


def _nearest(path: Path) -> str:
    """What an unknown key may have been meant to be."""
    name = path[-1][:60].casefold()
    siblings = [known[-1] for known in _CONTRACT if known[:-1] == path[:-1]]
    near = get_close_matches(name, siblings, n=3, cutoff=0.6)
    if near:
        return f"Did you mean {' or '.join(near)}?"
    elsewhere = [known for known in _CONTRACT if known[-1] == name and known[:-1] != path[:-1]]
    if elsewhere:
        home = ".".join(elsewhere[0][:-1])
        return f"It belongs under [{home}]." if home else "It belongs at the top of the file."
    return f"Known here: {', '.join(siblings)}."


def _read_sound(complete: dict[str, Any], wrong: set[Path]) -> dict[str, Any]:
    """Values in SI of all keys that are sound, by dotted name."""
    values = {}
    for path, key in _CONTRACT.items():
        table = _find(complete, path[:-1])
        sound = isinstance(table, dict) and path[-1] in table and path not in wrong
        if sound and isinstance(key, Key):
            values[".".join(path)] = key.read(_find(complete, path))
    return values


def _look_up(values: Mapping[str, Any], catalogue: Catalogue) -> list[_Fault]:
    """Names the catalogue does not have."""
    faults = []
    for path, key in _CONTRACT.items():
        name = values.get(".".join(path))
        if isinstance(key, Name) and key.shelf and name is not None and name not in key.besides:
            try:
                catalogue.find(key.shelf, name)
            except DataError as fault:
                faults.append(_not_on_shelf(path, name, fault))
    named = [values.get(f"rafter.{name}", "") for name in ("species", "grade", "ply")]
    if all(named) and ("rafter", "ply") not in {fault.path for fault in faults}:
        faults += _look_up_timber(*named)
    return faults


def _look_up_timber(species: str, grade: str, ply: str) -> list[_Fault]:
    try:
        catalog.species(species, grade, catalog.find("ply", ply).depth)
    except DataError as fault:
        known = any(timber.startswith(f"{species} ") for timber in catalog.timbers())
        if fault.findings[0].code == "DA-013":
            return [_not_on_shelf(("rafter", "ply"), ply, fault)]
        path, name = (("rafter", "grade"), grade) if known else (("rafter", "species"), species)
        return [_not_on_shelf(path, name, fault)]
    return []


def _not_on_shelf(path: Path, name: str, fault: DataError) -> _Fault:
    found = fault.findings[0]
    finding = Finding("IN-010", value=printable(name), bound=found.bound, remedy=found.remedy)
    return _Fault(path, finding)


def _tell(faults: Iterable[_Fault], places: Places) -> list[Finding]:
    """Findings with their places, in the order of the file; past a number only how many."""
    found = [_place(fault, places) for fault in faults]
    found.sort(key=lambda finding: (finding.line or 0, finding.column or 0))
    more = len(found) - MOST_FINDINGS
    if more > 0:
        told = f"{more} more findings are not shown"
        found[MOST_FINDINGS:] = [Finding("IN-012", bound=told, remedy="Mend these first.")]
    return found


def _place(fault: _Fault, places: Places) -> Finding:
    place = places.of(fault.path)
    at_key = fault.at_key
    return replace(
        fault.finding,
        key=printable(".".join(fault.path)),
        line=place.line if at_key else place.value_line,
        column=place.column if at_key else place.value_column,
    )
