"""Which readings are to be taken, in walking order, so that the shape is held with spares?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from rafterstay.core.errors import Finding, InputError
from rafterstay.survey.adjust import require_rigid
from rafterstay.survey.datum import lay_over_covariance
from rafterstay.survey.network import (
    Network,
    assemble,
    assemble_on,
    design,
    point_order,
    predicted,
)
from rafterstay.survey.nouns import (
    BLUNDER_LIMIT,
    DEFAULT_SIGMA,
    POWER_QUANTILE,
    Floats,
    Kind,
    Plan,
    Planned,
    is_foot,
)

__all__ = ["CHECKED_ENOUGH", "form", "plan"]

CHECKED_ENOUGH: Final = 0.2  # [-] then a mistake of 9.2 sigma cannot hide: 0.58 in at 1/16 in
_TOO_ALIKE: Final = 0.9  # [-] correlation of residuals above which two readings cover each other
_SURE_ENOUGH: Final = 4.0  # sigmas of a reading a foot's place may be unsure by
_THIRDS_FROM: Final = 10  # corners from which chords over a third of the way round are needed
_MOST_SPARES: Final = 600

Layout = Literal["ring", "pairs"]
_Shape = Mapping[str, Sequence[float]]


@dataclass(frozen=True)
class _Line:
    start: str
    end: str
    kind: Kind
    repeat: bool = False

    @property
    def pair(self) -> tuple[frozenset[str], Kind]:
        return frozenset((self.start, self.end)), self.kind


def plan(shape: _Shape, *, layout: Layout = "ring", heights: bool = True) -> Plan:
    """Readings to take, in walking order: enough to hold the shape, and spares to check it.

    Args:
        shape: Designed position of the feet 1 to n, of their tie bolts t1 to tn, the mark
            ``centre`` and the ``hub``, as far as they are to be surveyed. [m]
        layout: ``ring``: feet number clockwise round one centre. ``pairs``: a gable's feet,
            number clockwise round the rectangle, so that foot k faces foot n + 1 - k.
        heights: Whether heights of the feet are read; without them they are taken as designed.

    Returns:
        The plan: every reading is checked by others to at least 0.2.

    Raises:
        InputError: SV-031 where the feet do not number 1 to n with n of 3 to 128, or are not
            in pairs; SV-032 where a bolt has no foot or two points stand in one place.

    Source: common practice, no source; strength by docs/theory/survey.md eq. 6

    >>> from math import cos, pi, sin
    >>> ring = {str(k + 1): (3 * sin(k * pi / 4), 3 * cos(k * pi / 4), 0.0) for k in range(8)}
    >>> len(plan(ring, heights=False).readings)
    20
    """
    feet = _require_feet(shape, layout)
    base = list(_lines(shape, feet, layout, heights))
    unlisted = [name for name in shape if name not in {p for r in base for p in (r.start, r.end)}]
    if unlisted:
        raise InputError(
            Finding(
                "SV-032",
                "shape",
                "point " + ", ".join(unlisted[:8]),
                "a foot, a tie bolt of one of the feet, centre or hub",
                "Name tie bolts after their feet: t3 sits on the rafter of foot 3.",
            )
        )
    require_rigid(base, shape)
    return _strengthened(base, shape, feet)


def form(planned: Plan) -> str:
    r"""The plan as a readings file to fill in: one line a reading, the value left blank.

    >>> form(Plan((), 0, np.zeros(0), np.zeros(0), {}))
    'from,to,kind,value,sigma\n'
    """
    lines = ["from,to,kind,value,sigma"]
    for reading in planned.readings:
        lines.append(f"# {reading.how}")
        lines.append(f"{reading.start},{reading.end},{reading.kind},,")
    return "\n".join(lines) + "\n"


def _require_feet(shape: _Shape, layout: Layout) -> list[str]:
    feet = sorted((name for name in shape if is_foot(name)), key=point_order)
    count = len(feet)
    in_order = feet == [str(k + 1) for k in range(count)]
    least = 4 if layout == "pairs" else 3
    if not in_order or not least <= count <= 128 or (layout == "pairs" and count % 2):
        bound = f"1, 2, 3 ... without a gap, {least} to 128 of them"
        bound += ", an even number" if layout == "pairs" else ""
        raise InputError(Finding("SV-031", "feet", f"{count} named {', '.join(feet[:8])}", bound))
    place = np.array([[float(v) for v in shape[name]] for name in shape])
    apart = np.linalg.norm(place[:, None] - place[None, :], axis=2)
    np.fill_diagonal(apart, np.inf)
    if float(apart.min()) < 0.01:
        names = list(shape)
        i, j = np.unravel_index(int(np.argmin(apart)), apart.shape)
        bound = "10 mm apart or more"
        remedy = "Leave out a tie bolt that sits on its foot."
        raise InputError(Finding("SV-032", "points", f"{names[i]} and {names[j]}", bound, remedy))
    return feet


def _lines(shape: _Shape, feet: Sequence[str], layout: Layout, heights: bool) -> Iterator[_Line]:
    """The readings every frame of this kind needs, once each, in walking order."""
    listed: set[tuple[frozenset[str], Kind]] = set()
    walk = _round if layout == "ring" else _along
    for line in [*walk(feet, heights), *_bolts(shape, feet, layout), *_middle(shape, feet)]:
        if line.start != line.end and line.pair not in listed:
            listed.add(line.pair)
            yield line


def _round(feet: Sequence[str], heights: bool) -> Iterator[_Line]:
    """Once round the outside, then across."""
    n = len(feet)
    for k, foot in enumerate(feet):
        for skip in (1, 2):
            yield _Line(foot, feet[(k + skip) % n], "level")
        for skip in (1, 2) if heights else ():
            yield _Line(foot, feet[(k + skip) % n], "height")
    skips = [n // 3, n // 2] if n >= _THIRDS_FROM else [n // 2]
    for k, foot in enumerate(feet):
        for skip in skips:
            yield _Line(foot, feet[(k + skip) % n], "level")


def _along(feet: Sequence[str], heights: bool) -> Iterator[_Line]:
    """Bay by bay along a gable, then over two bays and corner to corner."""
    n, pairs = len(feet), len(feet) // 2

    def facing(k: int) -> str:
        return feet[n - 1 - k]

    for k in range(pairs):
        yield _Line(feet[k], facing(k), "level")
        if heights:
            yield _Line(feet[k], facing(k), "height")
        if k + 1 < pairs:
            yield _Line(feet[k], feet[k + 1], "level")
            yield _Line(facing(k), facing(k + 1), "level")
            yield _Line(feet[k], facing(k + 1), "level")
            yield _Line(facing(k), feet[k + 1], "level")
        if heights and k + 1 < pairs:
            yield _Line(feet[k], feet[k + 1], "height")
            yield _Line(facing(k), facing(k + 1), "height")
    for k in range(pairs - 2):
        yield _Line(feet[k], feet[k + 2], "level")
        yield _Line(facing(k), facing(k + 2), "level")
    yield _Line(feet[0], feet[pairs - 1], "level")
    yield _Line(feet[0], facing(pairs - 1), "level")
    yield _Line(facing(0), feet[pairs - 1], "level")


def _bolts(shape: _Shape, feet: Sequence[str], layout: Layout) -> Iterator[_Line]:
    """Each tie bolt from its own foot, from its neighbours' feet and from its neighbours."""
    n = len(feet)
    for k, foot in enumerate(feet):
        bolt = f"t{foot}"
        if bolt not in shape:
            continue
        nearby = [feet[k], feet[(k + 1) % n], feet[k - 1]]
        if layout == "pairs":
            nearby.append(feet[n - 1 - k])
        for name in nearby:
            yield _Line(name, bolt, "slope")
        yield _Line(foot, bolt, "height")
        other = f"t{feet[(k + 1) % n] if layout == 'ring' else feet[n - 1 - k]}"
        if other in shape and other != bolt:
            yield _Line(bolt, other, "slope")
            yield _Line(bolt, other, "height")


def _middle(shape: _Shape, feet: Sequence[str]) -> Iterator[_Line]:
    """The mark in the middle and the hub, each from feet spread round the frame."""
    count = min(len(feet), 5)
    spread = [feet[k * len(feet) // count] for k in range(count)]
    if "centre" in shape:
        for name in spread:
            yield _Line(name, "centre", "level")
    if "hub" in shape:
        for name in spread:
            yield _Line(name, "hub", "slope")
        for name in spread[:3]:
            yield _Line(name, "hub", "height")


def _strengthened(base: list[_Line], shape: _Shape, feet: Sequence[str]) -> Plan:
    """Spares added one after another where a reading is checked too little."""
    network = assemble(base)
    xyz = np.array([[float(v) for v in shape[name]] for name in network.names])
    offered = [*_unlisted(base, feet), *(_Line(r.end, r.start, r.kind, True) for r in base)]
    rows = design(assemble_on(network, offered), xyz)
    matrix = design(network, xyz)
    inverse: Floats = np.asarray(
        np.linalg.pinv(matrix.T @ matrix, rcond=1e-10, hermitian=True), dtype=np.float64
    )
    own = np.einsum("ij,ij->i", rows @ inverse, rows)
    over = network.feet
    lines = list(base)
    for _ in range(_MOST_SPARES):
        weak = _weakest(network, xyz, matrix, inverse)
        if weak is None:
            break
        gain = (rows @ (inverse @ weak)) ** 2 / (1.0 + own)
        best = int(np.argmax(gain))
        lines.append(offered[best])
        # One more reading changes the inverse by one product: Sherman and Morrison (1950).
        turned = inverse @ rows[best]
        inverse = inverse - np.outer(turned, turned) / (1.0 + own[best])
        own = own - (rows @ turned) ** 2 / (1.0 + own[best])
        matrix = np.vstack([matrix, rows[best]])
    order = [*range(len(base)), *_in_order(lines, len(base))]
    lines = [lines[k] for k in order]
    checked = 1.0 - np.einsum("ij,ij->i", matrix @ inverse, matrix)[order]
    covariance = lay_over_covariance(network, xyz, inverse, over) * DEFAULT_SIGMA**2
    needed = round(float(np.trace(matrix @ inverse @ matrix.T)))
    return Plan(
        _told(lines, network, xyz),
        len(lines) - needed,
        checked,
        (BLUNDER_LIMIT + POWER_QUANTILE) * DEFAULT_SIGMA / np.sqrt(np.maximum(checked, 1e-12)),
        _sigmas(network, covariance),
    )


def _unlisted(base: Sequence[_Line], feet: Sequence[str]) -> list[_Line]:
    """Chords between feet that are not yet in the list."""
    listed = {line.pair for line in base}
    found = []
    for i, start in enumerate(feet):
        for end in feet[i + 1 :]:
            line = _Line(start, end, "level")
            if line.pair not in listed:
                found.append(line)
    return found


def _weakest(network: Network, xyz: Floats, matrix: Floats, inverse: Floats) -> Floats | None:
    """The combination of unknowns that most needs another reading; None where none does."""
    product = matrix @ inverse
    checked = 1.0 - np.einsum("ij,ij->i", product, matrix)
    low = int(np.argmin(checked))
    if checked[low] < CHECKED_ENOUGH:
        return np.asarray(matrix[low])
    seen = lay_over_covariance(network, xyz, inverse, network.feet)
    variance = np.zeros(network.measured.shape)
    variance[network.measured] = np.diag(seen)
    foot = int(np.argmax(np.where([is_foot(n) for n in network.names], variance.max(axis=1), 0.0)))
    if variance[foot].max() > _SURE_ENOUGH**2:
        axis = int(np.argmax(variance[foot]))
        unit = np.zeros(network.n_unknowns)
        unit[network.column[foot, axis]] = 1.0
        return unit
    residual = np.eye(len(matrix)) - product @ matrix.T
    root = np.sqrt(np.diag(residual))
    alike = np.abs(residual) / np.outer(root, root)
    np.fill_diagonal(alike, 0.0)
    pair = np.unravel_index(int(np.argmax(alike)), alike.shape)
    if alike[pair] > _TOO_ALIKE:
        return np.asarray(matrix[min(pair, key=lambda k: float(checked[k]))])
    return None


def _in_order(lines: Sequence[_Line], first: int) -> list[int]:
    """Spares by the point they start from, new chords before repeats."""
    return sorted(
        range(first, len(lines)),
        key=lambda k: (lines[k].repeat, point_order(lines[k].start), point_order(lines[k].end)),
    )


def _sigmas(network: Network, covariance: Floats) -> dict[str, float]:
    found = {}
    for k, name in enumerate(network.names):
        own = network.column[k][network.measured[k]]
        block = covariance[np.ix_(own, own)]
        found[name] = float(np.sqrt(np.linalg.eigvalsh(block)[-1]))
    return found


def _told(lines: Sequence[_Line], network: Network, xyz: Floats) -> tuple[Planned, ...]:
    expected = predicted(assemble_on(network, lines), xyz)
    return tuple(
        Planned(line.start, line.end, line.kind, float(value), _how(line), line.repeat)
        for line, value in zip(lines, expected, strict=True)
    )


def _how(line: _Line) -> str:
    start, end = _spoken(line.start), _spoken(line.end)
    if line.kind == "height":
        said = f"Water level: {end} above {start}, minus if lower."
    elif line.kind == "slope":
        said = f"Tape straight from {start} to {end}."
    else:
        said = f"Plumb both marks, tape level from {start} to {end}."
    return f"Again from the other end. {said}" if line.repeat else said


def _spoken(name: str) -> str:
    if is_foot(name):
        return f"foot {name}"
    return {"centre": "the centre mark", "hub": "the hub"}.get(name, f"bolt {name}")
