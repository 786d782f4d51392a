"""Dimensions of a DXF as DIMENSION entities, with the block that shows them.

Group codes, types and flags as in the published DXF reference: flag 32 says that its block is its
own, `<>` in its text stands for the figure as measured, with the sign of its kind, `[]` for that in
the other unit, inches.
"""

import math
from pathlib import Path
from typing import Any

from geomgen.drafting.dimension_lines import ARROW, BESIDE, GAP, LIFT, OVER, Drawn, drawn, foot
from geomgen.drafting.faults import line_fault, text_fault
from geomgen.drafting.formats.dxf.outlines import add_outline, read_outline
from geomgen.drafting.formats.dxf.texts import NEAR, WRITTEN_TO, add_text, read_text
from geomgen.drafting.lettering import text_corners
from geomgen.drafting.record import DIM, SIGNS, Dimension, Kind, Point
from geomgen.drafting.record import Path as Outline
from geomgen.errors import FileWriteError
from geomgen.files.disk import proof_failed
from geomgen.length_words import inch_decimals
from geomgen.units import INCH

TYPES: dict[Kind, int] = {"length": 0, "diameter": 3, "radius": 4, "angle": 5}
POINTS = ("defpoint", "defpoint2", "defpoint3", "defpoint4")
OWN_BLOCK, MEASURED, IN_INCHES = 32, "<>", "[] / "
# Signs that a reader takes for commands inside a dimension's text.
COMMANDS = ("\\", "{", "}", "<", ">", "[]", "%%")
# How far the factor of inches may be off, as a share. What the style must not do to the figure:
# rounding, words around it.
FACTOR = 1e-9
PLAIN = {"dimrnd": 0.0, "dimpost": "", "dimtol": 0, "dimlim": 0, "dimapost": ""}


def add_dimension(document: Any, dimension: Dimension) -> None:
    """Add a dimension to the model space; FileWriteError when DXF can't hold its words."""
    if any(sign in dimension.prefix for sign in COMMANDS):
        raise FileWriteError(
            f"the dimension {dimension.text!r} holds a sign that DXF takes for a command",
            path=dimension.name,
            advice="write it in plain letters",
        )
    made = drawn(dimension)
    block = document.blocks.new_anonymous_block(type_char="D")
    for outline in made.paths:
        if outline.closed:
            block.add_solid(outline.points, dxfattribs={"layer": DIM})
        elif any(outline.bulges):
            add_outline(block, outline)
        else:
            block.add_line(*outline.points, dxfattribs={"layer": DIM})
    add_text(block, made.label)
    corners = text_corners(made.label)
    entity = document.modelspace().new_entity(
        "DIMENSION",
        {
            "layer": DIM,
            "geometry": block.name,
            "dimstyle": _style(document, dimension),
            "dimtype": TYPES[dimension.kind] | OWN_BLOCK,
            **{name: (*point, 0.0) for name, point in _points(dimension).items()},
            "angle": dimension.angle,
            "text": f"{dimension.prefix}{_inches_first(dimension)}{MEASURED}",
            "text_midpoint": (*_middle(corners[0], corners[2]), 0.0),
            "attachment_point": 5,
        },
    )
    entity.dxf.actual_measurement = dimension.apart


def _inches_first(dimension: Dimension) -> str:
    return IN_INCHES if dimension.inches and dimension.kind != "angle" else ""


def _points(dimension: Dimension) -> dict[str, Point]:
    """Return the points that a dimension of its type is told by."""
    a, b = dimension.a, dimension.b
    if dimension.kind == "length":
        return {"defpoint": foot(dimension, b), "defpoint2": a, "defpoint3": b}
    if dimension.kind == "angle":
        at, corner = dimension.at, dimension.corner
        return {"defpoint": at, "defpoint2": a, "defpoint3": b, "defpoint4": corner}
    return {"defpoint": a, "defpoint4": b}


def _middle(a: Point, b: Point) -> Point:
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2


def _style(document: Any, dimension: Dimension) -> str:
    """Return the name of the style for a dimension's letters and decimals, made if need be."""
    size = dimension.height
    name = f"MM_{dimension.decimals}_{size:g}"
    if dimension.enlarged != 1.0:
        name += f"_{dimension.enlarged:g}_TIMES"
    name += "_IN" if dimension.inches else ""
    if not document.dimstyles.has_entry(name):
        document.dimstyles.new(
            name,
            {
                **PLAIN,
                **_other_unit(dimension),
                # A detail's figures are what its points are apart, over its enlargement.
                "dimlfac": 1.0 / dimension.enlarged,
                "dimadec": dimension.decimals,
                **{"dimtxt": size, "dimdec": dimension.decimals, "dimasz": ARROW * size},
                **{"dimexo": GAP * size, "dimexe": OVER * size, "dimgap": LIFT * size},
                # Figures above the line and along it, a point before decimals, no zero left out.
                **{"dimtad": 1, "dimtih": 0, "dimtoh": 0, "dimdsep": ord("."), "dimzin": 0},
                **{"dimscale": 1.0, "dimlunit": 2, "dimcen": 0.0, "dimdli": BESIDE * size},
            },
        )
    return name


def _other_unit(dimension: Dimension) -> dict[str, float]:
    """Return the style of figures in the other unit, inches; what says that there are none."""
    if not dimension.inches:
        return {"dimalt": 0}
    return {"dimalt": 1, "dimaltf": 1.0 / INCH, "dimaltd": inch_decimals(dimension.decimals)}


def read_dimension(path: Path, entity: Any) -> Dimension:
    """Return a dimension as it stands in a file.

    FileWriteError when it is of no kind of ours, or when what a reader sees of it (style, text,
    block) is not what its points are apart.
    """
    style, dxf = entity.override(), entity.dxf
    kind = next((kind for kind, number in TYPES.items() if number == entity.dimtype), None)
    if kind is None or tuple(dxf.extrusion) != (0, 0, 1):
        raise FileWriteError("it has a dimension of a kind that is not ours", path=path.name)
    if any(style.get(name, value) != value for name, value in PLAIN.items()):
        raise proof_failed(path, "the style of a dimension changes its figure")
    words = str(dxf.get("text", ""))
    if not words.endswith(MEASURED):
        raise proof_failed(path, f"a dimension reads {words!r}, written by hand")
    before = words.removesuffix(MEASURED)
    inches = bool(style.get("dimalt", 0))
    if inches and abs(float(style.get("dimaltf", 0.0)) * INCH - 1.0) > FACTOR:
        raise proof_failed(path, "the style of a dimension has a wrong factor of inches")
    if before.endswith(IN_INCHES) != (inches and kind != "angle"):
        raise proof_failed(path, f"a dimension reads {words!r}, another unit than its style")
    first, *more = (_flat(dxf.get(name)) for name in POINTS if dxf.hasattr(name))
    a, b, corner = (*more, (0.0, 0.0))[:3] if kind in ("length", "angle") else (first, *more, first)
    seen = Dimension(
        a,
        b,
        first,
        float(dxf.get("angle", 0.0)),
        float(style.get("dimtxt")),
        before.removesuffix(IN_INCHES),
        int(style.get("dimadec" if kind == "angle" else "dimdec")),
        enlarged=1.0 / float(style.get("dimlfac", 1.0)),
        kind=kind,
        corner=corner,
        inches=inches,
    )
    _figure(path, entity, seen)
    return seen


def _flat(point: Any) -> Point:
    return float(point.x), float(point.y)


def _figure(path: Path, entity: Any, seen: Dimension) -> None:
    """Hold the text in a dimension's block, and its stored figure, to what a reader measures."""
    measured = float(entity.get_measurement())
    block = entity.get_geometry_block()
    texts = [str(text.dxf.text) for text in block.query("TEXT")] if block else []
    before, behind = SIGNS[seen.kind]
    figure = texts[0].removeprefix(f"{seen.prefix}{before}") if len(texts) == 1 else ""
    due = [(measured if seen.kind == "angle" else measured / seen.enlarged, seen.decimals)]
    if _inches_first(seen):
        due = [(due[0][0] / INCH, inch_decimals(seen.decimals)), *due]
    said = figure.removesuffix(behind).split(" / ")
    if len(said) != len(due) or not all(_says(s, *d) for s, d in zip(said, due, strict=True)):
        raise proof_failed(
            path,
            f"a dimension reads {' '.join(texts)!r}, its points are {measured:.6f} mm apart"
            + (f", drawn {seen.enlarged:g} times as large" if seen.enlarged != 1.0 else ""),
        )
    stored = entity.dxf.get("actual_measurement")
    if stored is None or abs(stored - measured) > WRITTEN_TO:
        raise proof_failed(
            path, f"a dimension holds {stored} mm, its points are {measured:.6f} apart"
        )


def _says(figure: str, value: float, decimals: int) -> bool:
    """Say whether a figure is a value, rounded to so many decimals."""
    try:
        off = abs(float(figure) - value)
    except ValueError:
        return False
    return off <= 0.5 * 10.0**-decimals + WRITTEN_TO and len(figure.partition(".")[2]) == decimals


def hold_dimension(path: Path, entity: Any, due: Dimension) -> None:
    """Hold a dimension of a file to the one drawn: points, line, words, and its block's lines.

    FileWriteError says which dimension is not the one drawn, and in what.
    """
    seen = read_dimension(path, entity)
    offs = {
        "its first point": math.dist(seen.a, due.a),
        "its second point": math.dist(seen.b, due.b),
        "its line": math.dist(seen.at, due.at)
        if due.kind == "angle"
        else math.dist(foot(seen, due.a), foot(due, due.a)),
        "its corner": math.dist(seen.corner, due.corner) if due.kind == "angle" else 0.0,
        "its direction": abs((seen.way - due.way + 90.0) % 180.0 - 90.0),
        "its letters": abs(seen.height - due.height),
        "what it measures": abs(float(entity.get_measurement()) - due.apart),
        "its enlargement": abs(seen.enlarged - due.enlarged),
    }
    for what, off in offs.items():
        if off > WRITTEN_TO:
            raise proof_failed(path, f"dimension {due.name or due.text!r}: {what} is another one")
    if (seen.kind, seen.text) != (due.kind, due.text) or entity.dxf.layer != DIM:
        raise proof_failed(path, f"dimension {due.name or due.text!r} reads {seen.text!r}")
    _hold_block(path, entity.get_geometry_block(), drawn(due))


def _hold_block(path: Path, block: Any, made: Drawn) -> None:
    lines = [
        Outline((_flat(e.dxf.start), _flat(e.dxf.end)), (), False, DIM) for e in block.query("LINE")
    ]
    solids = [
        Outline(tuple(_flat(e.dxf.get(f"vtx{i}")) for i in range(3)), (), True, DIM)
        for e in block.query("SOLID")
    ]
    arcs = [read_outline(e) for e in block.query("LWPOLYLINE")]
    due = [*made.extensions, made.line, *made.arrows]
    texts = [read_text(e) for e in block.query("TEXT")]
    fault = line_fault([*lines, *arcs, *solids], due, NEAR) or text_fault(texts, [made.label], NEAR)
    if fault or len(block) != len(due) + len(texts):
        raise proof_failed(path, f"dimension {made.label.text!r} is drawn in another way: {fault}")
