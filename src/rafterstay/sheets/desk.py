"""A sheet being drawn: frame, title block, and lettering that never lies on other lettering."""

from __future__ import annotations

import math
import re
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Final

from rafterstay import __version__
from rafterstay.core.cautions import CAUTIONS
from rafterstay.sheets.clip import clip
from rafterstay.sheets.literal import cells, clipped, printable
from rafterstay.sheets.nouns import PAPER, Paper, Sheet
from rafterstay.sheets.scene import ADVANCE, Angle, Dimension, Path, Point, Scene, Text, overlap
from rafterstay.sheets.summary import Designed
from rafterstay.sheets.words import GEOMETRY

__all__ = ["LETTER", "LINE", "MARGIN", "TABLE", "Box", "Desk", "Stamp", "columns", "to_sheet"]

# Capitals at least 2.5 mm high: ISO 3098-1 lettering heights 2.5, 3.5, 5 mm; 2.55 / 0.729.
LETTER: Final = 3.5
LINE: Final = 4.9  # from base line to base line [mm]
MARGIN: Final = 8.0
_PAD: Final = 2.5
TABLE: Final = "none: figures only"
_NUMBER: Final = 38.0  # room for the number of a sheet [mm]
_STRIP: Final = 26.0  # height of the title block [mm]
# A number stays with its fraction and its unit.
_TOGETHER: Final = re.compile(r"(\d) (?=\d+/\d|(?:in|ft|lb|mm|m|N|kN|psf|kPa|deg)\b)")
_STEP_OUT: Final = 6.0  # a dimension that finds no room moves out by this much [mm]


@dataclass(frozen=True)
class Stamp:
    """What every title block says besides the sheet's own title.

    Attributes:
        title: Of the job, printable.
        revision: As given.
        date: As given.
        job: Beginning of the job's fingerprint.
        geometry: As designed or as measured, in words.
    """

    title: str
    revision: str
    date: str
    job: str
    geometry: str

    @classmethod
    def of(cls, design: Designed, *, revision: str, date: str) -> Stamp:
        """The stamp of a design."""
        return cls(
            title=" ".join(printable(design.job.title).split()) or "Untitled",
            revision=printable(revision).strip(),
            date=printable(date).strip(),
            job=design.job.sha256[:12],
            geometry=GEOMETRY[design.frame.geometry],
        )


@dataclass(frozen=True)
class Box:
    """A rectangle of paper. [mm]"""

    left: float
    low: float
    right: float
    high: float

    @property
    def width(self) -> float:
        """[mm]"""
        return self.right - self.left

    @property
    def height(self) -> float:
        """[mm]"""
        return self.high - self.low

    @property
    def middle(self) -> Point:
        """[mm]"""
        return ((self.left + self.right) / 2, (self.low + self.high) / 2)

    def inset(self, by: float) -> Box:
        """The same, smaller on every side.

        Args:
            by: How much. [mm]

        Returns:
            The rectangle.
        """
        return Box(self.left + by, self.low + by, self.right - by, self.high - by)


def columns(width: float, size: float = LETTER) -> int:
    """Letters that fit into a width.

    Args:
        width: Of paper. [mm]
        size: Letter height. [mm]

    Returns:
        How many.
    """
    return max(3, int(width / (size * ADVANCE) + 1e-9))


@dataclass
class Desk:
    """A sheet being drawn.

    Attributes:
        scene: What is drawn.
        stamp: For its title block.
        title: Of the sheet.
        scale: 1 to this; None for a diagram.
        body: Where there is room to draw.
        shortened: Names of texts cut short.
        left_out: Lettering that found no room.
        number_at: Where the number of the sheet ends, and its letter height. [mm]
    """

    scene: Scene
    stamp: Stamp
    title: str
    scale: float | None
    body: Box
    shortened: set[str] = field(default_factory=set)
    left_out: list[str] = field(default_factory=list)
    number_at: tuple[Point, float] | None = None
    _scale_words: str = ""
    _taken: list[tuple[Point, ...]] = field(default_factory=list)

    @classmethod
    def open(
        cls,
        title: str,
        scale: float | None,
        *,
        stamp: Stamp,
        paper: Paper,
        cautions: Sequence[int] = (1,),
        upright: bool = False,
        scale_words: str = "",
    ) -> Desk:
        """Frame a sheet and letter its title block and cautions.

        Args:
            title: Of the sheet.
            scale: 1 to this; None for a diagram. [-]
            stamp: For its title block.
            paper: Letter or A4.
            cautions: Numbers of those its reader needs.
            upright: The paper stands.
            scale_words: The scale as the title block says it, where a number is not enough.

        Returns:
            The sheet, its body empty.
        """
        width, height = PAPER[paper][::-1] if upright else PAPER[paper]
        scene = Scene(width, height, f"{title}: {stamp.title}")
        frame = Box(MARGIN, MARGIN, width - MARGIN, height - MARGIN)
        desk = cls(scene, stamp, title, scale, frame)
        said = f"1 : {scale:g}" if scale is not None else "diagram, not to scale"
        desk._scale_words = scale_words or said
        desk.box("border", frame)
        low = desk._title_block(frame)
        low = desk._cautions(Box(frame.left, low, frame.right, frame.high), cautions)
        desk.body = Box(frame.left, low, frame.right, frame.high)
        return desk

    def box(self, layer: str, box: Box) -> None:
        """Draw a rectangle."""
        corners = (
            (box.left, box.low),
            (box.right, box.low),
            (box.right, box.high),
            (box.left, box.high),
        )
        self.scene.add(Path(layer, corners, closed=True))

    def fits(self, text: Text, margin: float = 0.4) -> bool:
        """Whether lettering lies clear of all other and inside the body.

        Args:
            text: What would be lettered.
            margin: Paper left around it. [mm]

        Returns:
            True where it does.
        """
        corners = text.box(margin)
        inside = all(
            self.body.left <= x <= self.body.right and self.body.low <= y <= self.body.high
            for x, y in corners
        )
        return inside and not any(overlap(corners, other) for other in self._taken)

    def keep_clear(self, corners: Sequence[Point]) -> None:
        """Keep lettering off a convex outline. [mm]"""
        self._taken.append(tuple(corners))

    def column(self, width: float) -> Box:
        """Set a column for notes apart at the right edge, which other lettering keeps off.

        Args:
            width: Of the column. [mm]

        Returns:
            Where its notes stand.
        """
        body = self.body
        box = Box(body.right - width + 3.0, body.low + 2.0, body.right - 2.5, body.high - 2.0)
        self.keep_clear(
            ((box.left, box.low), (box.right, box.low), (box.right, box.high), (box.left, box.high))
        )
        return box

    def letter(self, text: Text) -> None:
        """Letter without asking for room: the caller has made it."""
        self.scene.add(text)
        self._taken.append(text.box())

    def place(self, choices: Iterable[Text]) -> Text | None:
        """Letter the first choice that finds room, if there is one where no line runs.

        Args:
            choices: The same words in different places.

        Returns:
            What was lettered; None where nothing fits, and the words are counted as left out.
        """
        words, second = "", None
        for text in choices:
            words = text.text
            if not self.fits(text):
                continue
            if not self.is_crossed(text):
                self.letter(text)
                return text
            second = second or text
        if second is None:
            self.left_out.append(words)
        else:
            self.letter(second)
        return second

    def measure(
        self, one: Dimension, *, most: int = 6, beside: bool = True, told: bool = False
    ) -> bool:
        """Dimension, moved out until its figure finds room.

        Args:
            one: As wished for.
            most: How many steps it may move.
            beside: The figure may stand past the end of its line.
            told: The figure stands elsewhere on the sheet too, and is not missed.

        Returns:
            Whether it was drawn.
        """
        offs = [one.off + (_STEP_OUT if one.off >= 0 else -_STEP_OUT) * k for k in range(most)]
        tries = [
            replace(one, off=off, beside=past)
            for off in offs
            for past in ((False, True) if beside else (False,))
        ]
        fitting = [tried for tried in tries if self._fits_dimension(tried)]
        if fitting:
            # The first whose figure no line meets, and whose lines meet no words, if there is one.
            best = min(fitting, key=self._meets)
            self.scene.add(best)
            self._taken.append(best.lettering().box())
            return True
        if not told:
            self.left_out.append(one.text)
        return False

    def measure_angle(
        self, one: Angle, places: Iterable[Point], *, told: bool = False, clear: bool = False
    ) -> bool:
        """Dimension an angle, its figure where it finds room.

        Args:
            one: As wished for.
            places: Where the figure may stand, the best first. [mm]
            told: The figure stands elsewhere on the sheet too, and is not missed.
            clear: Drawn only where no line meets the figure.

        Returns:
            Whether it was drawn.
        """
        tries = [replace(one, at=place) for place in places]
        inside = all(
            self.body.left <= x <= self.body.right and self.body.low <= y <= self.body.high
            for line in one.lines()
            for x, y in line.points
        )
        fitting = [tried for tried in tries if inside and self.fits(tried.lettering())]
        if clear:
            fitting = [tried for tried in fitting if not self._meets_angle(tried)]
        if not fitting:
            if not told:
                self.left_out.append(one.text)
            return False
        best = min(fitting, key=self._meets_angle)
        self.scene.add(best)
        self._taken.append(best.lettering().box())
        return True

    def _meets_angle(self, one: Angle) -> bool:
        """Whether a line meets the figure, or the arc meets other words."""
        strips = [_strip(*ends) for line in one.lines() for ends in pairwise(line.points)]
        return self.is_crossed(one.lettering()) or any(
            overlap(strip, words) for strip in strips for words in self._taken
        )

    def is_crossed(self, text: Text) -> bool:
        """Whether a drawn line runs through words."""
        corners = text.box(0.3)
        xs, ys = ([corner[k] for corner in corners] for k in (0, 1))
        window = (min(xs), min(ys), max(xs), max(ys))
        for shape in self.scene.shapes:
            paths = shape.lines() if isinstance(shape, Dimension | Angle) else (shape,)
            for path in paths:
                if isinstance(path, Path) and path.layer not in ("border", "grain"):
                    ends = (*path.points, path.points[0]) if path.closed else path.points
                    for start, end in pairwise(ends):
                        if clip(start, end, window) and overlap(_strip(start, end), corners):
                            return True
        return False

    def _fits_dimension(self, one: Dimension) -> bool:
        words = one.lettering()
        inside = one.beside or words.width <= math.dist(*one.feet) - 2.4
        return inside and self.fits(words) and self._holds(one)

    def _meets(self, one: Dimension) -> bool:
        """Whether a line meets the figure, or the dimension's lines meet other words."""
        strips = [_strip(*line.points) for line in one.lines()]
        return self.is_crossed(one.lettering()) or any(
            overlap(strip, words) for strip in strips for words in self._taken
        )

    def _holds(self, one: Dimension) -> bool:
        """Whether every line of a dimension stays on the body."""
        return all(
            self.body.left <= x <= self.body.right and self.body.low <= y <= self.body.high
            for line in one.lines()
            for x, y in line.points
        )

    def point_out(
        self, tip: Point, text: str, places: Iterable[Point], *, size: float = LETTER
    ) -> bool:
        """Letter words with a line to what they name.

        Args:
            tip: What they name. [mm]
            text: The words.
            places: Where the words may start or end, on their middle height. [mm]
            size: Letter height. [mm]

        Returns:
            Whether they found room.
        """
        found: list[tuple[bool, int, Text, Point]] = []
        for x, y in places:
            right = x >= tip[0]
            at = (x + (1.2 if right else -1.2), y - 0.36 * size)
            words = Text("text", at, text, size, "start" if right else "end")
            leader = _strip(tip, (x, y))
            if self.fits(words) and not any(overlap(leader, other) for other in self._taken):
                found.append((self.is_crossed(words), len(found), words, (x, y)))
        if found:
            _, _, words, end = min(found, key=lambda one: one[:2])
            self.letter(words)
            self._taken.append(_strip(tip, end))
            self.scene.line("thin", tip, end)
            return True
        self.left_out.append(text)
        return False

    def notes(
        self, box: Box, lines: Iterable[str], *, size: float = LETTER, heading: str = ""
    ) -> float:
        """Letter words into a column, wrapped; what does not fit is cut with three dots.

        Args:
            box: The column; its top is where lettering starts. [mm]
            lines: Paragraphs.
            size: Letter height. [mm]
            heading: In bold, above.

        Returns:
            Height of the next base line. [mm]
        """
        step, wide = LINE * size / LETTER, columns(box.width, size)
        y = box.high - size
        if heading:
            words = clipped(heading, wide)
            self.letter(Text("text", (box.left, y), words, size, bold=True))
            y -= 1.15 * step
        flat = [row for line in lines for row in _wrapped(line, wide)]
        for count, row in enumerate(flat):
            if y - step < box.low and count < len(flat) - 1:
                self.letter(Text("text", (box.left, y), clipped(f"{row} ...", wide), size))
                self.left_out += flat[count + 1 :]
                return y - step
            self.letter(Text("text", (box.left, y), row, size))
            y -= step
        return y

    def clip(self, name: str, text: str, wide: int) -> str:
        """Text cut to a width; where it was cut its name is kept for a warning."""
        said = clipped(text, wide)
        if said != text:
            self.shortened.add(name)
        return said

    def _cautions(self, box: Box, numbers: Sequence[int]) -> float:
        """Letter the cautions above the title block; the height they reach comes back."""
        texts = {caution.number: caution.text for caution in CAUTIONS}
        # The first in short: the packet and `check` print all of it.
        texts[1] = ". ".join(texts[1].split(". ")[:2]) + "."
        wide = columns(box.width - 2 * _PAD)
        rows = [row for number in numbers for row in _wrapped(f"{number}. {texts[number]}", wide)]
        y = box.low + 1.6 + LINE * (len(rows) - 1) + 0.25 * LETTER
        for row in rows:
            self.letter(Text("text", (box.left + _PAD, y), row, LETTER))
            y -= LINE
        top = box.low + 2.4 + LINE * len(rows)
        self.scene.line("rule", (box.left, top), (box.right, top))
        return top

    def _title_block(self, frame: Box) -> float:
        """Letter the title block along the foot; its upper edge comes back."""
        top = frame.low + _STRIP
        self.scene.line("border", (frame.left, top), (frame.right, top))
        split = frame.left + 0.52 * frame.width
        self.scene.line("rule", (split, frame.low), (split, top))
        self._job_cell(Box(frame.left + _PAD, frame.low, split - _PAD, top))
        self._field_cells(Box(split, frame.low, frame.right, top))
        return top

    def _job_cell(self, box: Box) -> None:
        large = 4.9  # capitals 3.5 mm
        wide = columns(box.width, large)
        rows = _wrapped(self.stamp.title, wide)
        if len(rows) > 1:
            rows = [rows[0], self.clip("job.title", " ".join(rows[1:]), wide)]
        y = box.high - 6.0
        for row in rows:
            self.letter(Text("text", (box.left, y), clipped(row, wide), large, bold=True))
            y -= 6.2
        said = clipped(self.title, columns(box.width))
        self.letter(Text("text", (box.left, box.low + 7.2), said, LETTER, bold=True))
        stamp = f"Job {self.stamp.job}, rafterstay {__version__}"
        said = clipped(stamp, columns(box.width - _NUMBER))
        self.number_at = ((box.right, box.low + 2.2), LETTER)
        self.letter(Text("text", (box.left, box.low + 2.2), said, LETTER))

    def _field_cells(self, box: Box) -> None:
        """Scale, geometry, revision and date: a label and its value in each row."""
        rows = [
            ("Scale", "", self._scale_words),
            ("Geometry", "", self.stamp.geometry),
            ("Revision", "revision", self.stamp.revision),
            ("Date", "date", self.stamp.date),
        ]
        high = box.height / len(rows)
        wide = columns(box.width - 2 * _PAD - 22.0)
        for count, (label, name, value) in enumerate(rows):
            low = box.high - high * (count + 1)
            if count:
                self.scene.line("rule", (box.left, low + high), (box.right, low + high))
            at = low + 0.32 * high
            self.letter(Text("text", (box.left + _PAD, at), label, LETTER))
            said = self.clip(name, value, wide) if name else clipped(value, wide)
            if said:
                place = (box.left + _PAD + 22.0, at)
                self.letter(Text("text", place, said, LETTER, bold=True))


def _strip(start: Point, end: Point) -> tuple[Point, ...]:
    """A line as a narrow outline."""
    long = math.dist(start, end) or 1.0
    nx, ny = (start[1] - end[1]) / long * 0.2, (end[0] - start[0]) / long * 0.2
    return (
        (start[0] - nx, start[1] - ny),
        (end[0] - nx, end[1] - ny),
        (end[0] + nx, end[1] + ny),
        (start[0] + nx, start[1] + ny),
    )


def to_sheet(desk: Desk, name: str, number: int, count: int) -> Sheet:
    """Finish a sheet.

    Args:
        desk: The sheet.
        name: Of its file.
        number: Of the sheet.
        count: Of all sheets.

    Returns:
        The sheet, numbered.
    """
    if desk.number_at is not None:
        at, size = desk.number_at
        desk.letter(Text("text", at, f"Sheet {number} of {count}", size, "end"))
    return Sheet(
        name=name,
        title=desk.title,
        scale=desk.scale,
        scene=desk.scene,
        width_mm=desk.scene.width,
        height_mm=desk.scene.height,
        shortened=tuple(sorted(desk.shortened)),
        left_out=tuple(desk.left_out),
    )


def _wrapped(text: str, wide: int) -> list[str]:
    """Lines of a paragraph no wider than a number of columns, wide letters counted as two."""
    if not text:
        return [""]
    indent = len(text) - len(text.lstrip(" "))
    held = _TOGETHER.sub("\\1\N{NO-BREAK SPACE}", text)
    rows = textwrap.wrap(held, wide, subsequent_indent=" " * indent)
    found: list[str] = []
    for row in (row.replace("\N{NO-BREAK SPACE}", " ") for row in rows):
        while cells(row) > wide:
            kept = _first_cells(row, wide)
            found.append(kept)
            row = row[len(kept) :]
        found.append(row)
    return found


def _first_cells(text: str, wide: int) -> str:
    kept = 0
    while kept < len(text) and cells(text[: kept + 1]) <= wide:
        kept += 1
    return text[: max(kept, 1)]
