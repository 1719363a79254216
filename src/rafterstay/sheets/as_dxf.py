"""A scene as a DXF drawing: one layer a pen, dimensions that a drawing program measures anew."""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Final

from rafterstay.sheets.literal import printable
from rafterstay.sheets.scene import (
    CAPITAL,
    LAYERS,
    Angle,
    Circle,
    Dimension,
    Point,
    Scene,
    Shape,
    Text,
)

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

__all__ = ["to_dxf"]

_STYLE: Final = "SHEET"
_BOLD: Final = "SHEET-BOLD"
# Line widths a DXF layer may have. [1/100 mm]
# Source: Autodesk DXF reference, group code 370 (lineweight enumeration)
_WIDTHS: Final = (13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100, 106, 120)
_MILLIMETRES: Final = 4  # $INSUNITS


def to_dxf(scene: Scene, *, scale: float = 1.0) -> bytes:
    """Write a scene.

    Args:
        scene: Any scene. [mm]
        scale: Drawing scale, 1 to this: a unit of the drawing is 1 mm of the real thing. [-]

    Returns:
        A whole DXF document (2010); the same scene gives the same bytes.
    """
    with _timeless():
        from ezdxf.filemanagement import new

        doc = new("R2010", units=_MILLIMETRES)
        doc.header["$LTSCALE"] = scale
        _define(doc, scale)
        space = doc.modelspace()
        for shape in scene.shapes:
            _draw(space, shape, scale)
        stream = io.StringIO()
        doc.write(stream)
    return stream.getvalue().encode("utf-8")


def _define(doc: Drawing, scale: float) -> None:
    """Layers, line types, letters and the style of dimensions."""
    from ezdxf import colors

    for name, file in ((_STYLE, "DejaVuSansMono.ttf"), (_BOLD, "DejaVuSansMono-Bold.ttf")):
        doc.styles.add(name, font=file)
    for pen in LAYERS.values():
        line = "CONTINUOUS"
        if pen.dash:
            line = f"DASH-{_name(pen.name)}"
            signed = [step * (-1) ** count for count, step in enumerate(pen.dash)]
            doc.linetypes.add(line, [sum(pen.dash), *signed])
        layer = doc.layers.add(_name(pen.name), linetype=line)
        layer.rgb = colors.RGB.from_hex(pen.colour)
        wide = 100.0 * pen.width
        layer.dxf.lineweight = min(_WIDTHS, key=lambda width: abs(width - wide))
    style = doc.dimstyles.add(_STYLE)
    style.dxf.dimtxsty = _STYLE
    style.dxf.dimtsz = 1.0 * scale  # ticks, not arrows
    style.dxf.dimexo, style.dxf.dimexe = 1.0 * scale, 1.5 * scale
    style.dxf.dimgap, style.dxf.dimtad = 0.6 * scale, 1
    style.dxf.dimlfac, style.dxf.dimscale = 1.0, 1.0


def _name(layer: str) -> str:
    return layer.upper().replace(" ", "-")


def _draw(space: Modelspace, shape: Shape, scale: float) -> None:
    known: dict[str, Any] = {"layer": _name(shape.layer)}
    if isinstance(shape, Text):
        _text(space, shape, scale, known)
    elif isinstance(shape, Dimension):
        _dimension(space, shape, scale, known)
    elif isinstance(shape, Angle):
        _angle(space, shape, scale, known)
    elif shape.layer == "clear":
        return  # paper under lettering: a drawing program has no paper
    elif isinstance(shape, Circle):
        space.add_circle(_at(shape.centre, scale), shape.radius * scale, dxfattribs=known)
    else:
        points = [_at(point, scale) for point in shape.points]
        space.add_lwpolyline(points, close=shape.closed, dxfattribs=known)
        if shape.fill == "ink":
            space.add_hatch(dxfattribs=known).paths.add_polyline_path(points, is_closed=True)


def _at(point: Point, scale: float) -> Point:
    return (point[0] * scale, point[1] * scale)


def _text(space: Modelspace, text: Text, scale: float, known: dict[str, Any]) -> None:
    from ezdxf.enums import TextEntityAlignment as Align

    placed = {"start": Align.LEFT, "middle": Align.CENTER, "end": Align.RIGHT}[text.anchor]
    letters = space.add_text(
        _literal(text.text),
        height=text.size * CAPITAL * scale,
        rotation=text.angle,
        dxfattribs={**known, "style": _BOLD if text.bold else _STYLE},
    )
    letters.set_placement(_at(text.at, scale), align=placed)


def _dimension(space: Modelspace, one: Dimension, scale: float, known: dict[str, Any]) -> None:
    drawn = math.dist(*one.feet) * scale
    override = {
        "dimtxt": one.size * CAPITAL * scale,
        "dimclrd": 256,
        # Views drawn larger or smaller than the sheet measure what they show, not what they take.
        "dimlfac": one.value / drawn if drawn > 0.0 else 1.0,
    }
    made = space.add_linear_dim(
        base=_at(one.feet[0], scale),
        p1=_at(one.start, scale),
        p2=_at(one.end, scale),
        angle=math.degrees(one.way),
        text=_literal(one.text),
        dimstyle=_STYLE,
        override=override,
        dxfattribs=known,
    )
    words = one.lettering()
    box = words.box()
    middle = tuple(sum(corner[k] for corner in box) / 4 * scale for k in (0, 1))
    made.set_location((middle[0], middle[1]))
    made.render()


def _angle(space: Modelspace, one: Angle, scale: float, known: dict[str, Any]) -> None:
    """An angular dimension between the two lines: an angle is the same at every scale."""
    made = space.add_angular_dim_3p(
        base=_at(one.on_arc(0.5), scale),
        center=_at(one.corner, scale),
        p1=_at(one.start, scale),
        p2=_at(one.end, scale),
        text=_literal(one.text),
        text_rotation=0.0,
        dimstyle=_STYLE,
        override={"dimtxt": one.size * CAPITAL * scale, "dimclrd": 256},
        dxfattribs=known,
    )
    box = one.lettering().box()
    middle = tuple(sum(corner[k] for corner in box) / 4 * scale for k in (0, 1))
    made.set_location((middle[0], middle[1]))
    made.render()


def _literal(text: str) -> str:
    """Text that a drawing program letters as it stands: its own codes are written out."""
    return printable(text).replace("%%", "%%%%%%").replace("^", "^ ")


@contextmanager
def _timeless() -> Iterator[None]:
    """Drawings made within do not hold the hour, nor names drawn at random."""
    from ezdxf._options import options

    kept = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = kept
