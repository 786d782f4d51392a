"""Dimensions of a DXF as DIMENSION entities: rotated linear ones, with the block that shows them.

Group codes and flags as in the published DXF reference: type 0 is a rotated dimension, flag 32
says that its block is its own, `<>` in its text stands for the figure as measured.
"""

import math
from pathlib import Path
from typing import Any

from geomgen.drafting.dimension_lines import ARROW, BESIDE, GAP, LIFT, OVER, Drawn, drawn, foot
from geomgen.drafting.faults import line_fault, text_fault
from geomgen.drafting.formats.dxf.texts import NEAR, WRITTEN_TO, add_text, read_text
from geomgen.drafting.lettering import text_corners
from geomgen.drafting.record import DIM, Dimension, Point
from geomgen.drafting.record import Path as Outline
from geomgen.errors import FileWriteError
from geomgen.files.disk import proof_failed

ROTATED, OWN_BLOCK = 0, 32
MEASURED = "<>"
# Signs that a reader takes for commands inside a dimension's text.
COMMANDS = ("\\", "{", "}", "<", ">", "%%")
# What the style must not do to the figure: rounding, words around it.
PLAIN = {"dimrnd": 0.0, "dimpost": "", "dimtol": 0, "dimlim": 0, "dimalt": 0}


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
            "dimtype": ROTATED | OWN_BLOCK,
            "defpoint": (*foot(dimension, dimension.b), 0.0),
            "defpoint2": (*dimension.a, 0.0),
            "defpoint3": (*dimension.b, 0.0),
            "angle": dimension.angle,
            "text": f"{dimension.prefix}{MEASURED}",
            "text_midpoint": (*_middle(corners[0], corners[2]), 0.0),
            "attachment_point": 5,
        },
    )
    entity.dxf.actual_measurement = dimension.apart


def _middle(a: Point, b: Point) -> Point:
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2


def _style(document: Any, dimension: Dimension) -> str:
    """Return the name of the style for a dimension's letters and decimals, made if need be."""
    size = dimension.height
    name = f"MM_{dimension.decimals}_{size:g}"
    if dimension.enlarged != 1.0:
        name += f"_{dimension.enlarged:g}_TIMES"
    if not document.dimstyles.has_entry(name):
        document.dimstyles.new(
            name,
            {
                **PLAIN,
                # A detail's figures are what its points are apart, over its enlargement.
                "dimlfac": 1.0 / dimension.enlarged,
                **{"dimtxt": size, "dimdec": dimension.decimals, "dimasz": ARROW * size},
                **{"dimexo": GAP * size, "dimexe": OVER * size, "dimgap": LIFT * size},
                # Figures above the line and along it, a point before decimals, no zero left out.
                **{"dimtad": 1, "dimtih": 0, "dimtoh": 0, "dimdsep": ord("."), "dimzin": 0},
                **{"dimscale": 1.0, "dimlunit": 2, "dimcen": 0.0, "dimdli": BESIDE * size},
            },
        )
    return name


def read_dimension(path: Path, entity: Any) -> Dimension:
    """Return a dimension as it stands in a file.

    FileWriteError when it is not a linear one, or when what a reader sees of it (style, text,
    block) is not what its points are apart.
    """
    style, dxf = entity.override(), entity.dxf
    if entity.dimtype != ROTATED or tuple(dxf.extrusion) != (0, 0, 1):
        raise FileWriteError("it has a dimension that is not a plain linear one", path=path.name)
    if any(style.get(name, value) != value for name, value in PLAIN.items()):
        raise proof_failed(path, "the style of a dimension changes its figure")
    words = str(dxf.get("text", ""))
    if not words.endswith(MEASURED):
        raise proof_failed(path, f"a dimension reads {words!r}, written by hand")
    seen = Dimension(
        _flat(dxf.defpoint2),
        _flat(dxf.defpoint3),
        _flat(dxf.defpoint),
        float(dxf.get("angle", 0.0)),
        float(style.get("dimtxt")),
        words.removesuffix(MEASURED),
        int(style.get("dimdec")),
        enlarged=1.0 / float(style.get("dimlfac", 1.0)),
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
    figure = texts[0].removeprefix(seen.prefix) if len(texts) == 1 else ""
    try:
        off = abs(float(figure) - measured / seen.enlarged)
    except ValueError:
        off = math.inf
    decimals = len(figure.partition(".")[2])
    if off > 0.5 * 10.0**-seen.decimals + WRITTEN_TO or decimals != seen.decimals:
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


def hold_dimension(path: Path, entity: Any, due: Dimension) -> None:
    """Hold a dimension of a file to the one drawn: points, line, words, and its block's lines.

    FileWriteError says which dimension is not the one drawn, and in what.
    """
    seen = read_dimension(path, entity)
    offs = {
        "its first point": math.dist(seen.a, due.a),
        "its second point": math.dist(seen.b, due.b),
        "its line": math.dist(foot(seen, due.a), foot(due, due.a)),
        "its direction": abs((seen.angle - due.angle + 90.0) % 180.0 - 90.0),
        "its letters": abs(seen.height - due.height),
        "what it measures": abs(float(entity.get_measurement()) - due.apart),
        "its enlargement": abs(seen.enlarged - due.enlarged),
    }
    for what, off in offs.items():
        if off > WRITTEN_TO:
            raise proof_failed(path, f"dimension {due.name or due.text!r}: {what} is another one")
    if seen.text != due.text or entity.dxf.layer != DIM:
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
    due = [path for path in made.paths if not path.closed] + list(made.arrows)
    texts = [read_text(e) for e in block.query("TEXT")]
    fault = line_fault([*lines, *solids], due, NEAR) or text_fault(texts, [made.label], NEAR)
    if fault or len(block) != len(due) + len(texts):
        raise proof_failed(path, f"dimension {made.label.text!r} is drawn in another way: {fault}")
