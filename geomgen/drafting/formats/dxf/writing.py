"""DXF: millimetres set, closed outlines, lines and arcs only, layers by use; the same bytes always.

Group codes and $INSUNITS (4 is millimetre) as in the published DXF reference of the format.
"""

import io
import logging
import math
from pathlib import Path
from typing import Any

from geomgen.drafting.dimension_lines import drawn_out
from geomgen.drafting.faults import line_fault, text_fault
from geomgen.drafting.formats.dxf.dimensions import add_dimension, hold_dimension, read_dimension
from geomgen.drafting.formats.dxf.outlines import add_outline, read_outline
from geomgen.drafting.formats.dxf.texts import NEAR, WRITTEN_TO, add_text, read_text
from geomgen.drafting.lettering import extent
from geomgen.drafting.own_lengths import told_unit
from geomgen.drafting.paper.pens import PENS, VIEW_PENS
from geomgen.drafting.paper.title import RELEASED, Title
from geomgen.drafting.record import (
    BEND,
    CAP,
    CENTRE,
    CUT,
    DIM,
    FORMER,
    HATCH,
    HIDDEN,
    NEW,
    OPEN,
    REF,
    SECTION,
    TEXT,
    VISIBLE,
    Dimension,
    Drawing,
    Label,
    Point,
)
from geomgen.drafting.record import Path as Outline
from geomgen.errors import FileWriteError
from geomgen.files.disk import disk_errors, proof_failed, write_bytes

# At its import the library lists the system's fonts in the user's home, and complains where there
# is none to write to; no font of the system is used here.
logging.getLogger("ezdxf").setLevel(logging.ERROR)

MILLIMETRES = 4
# The one line type that the format itself asks for; it has no dashes.
SOLID = "CONTINUOUS"
# Colour number and line type of each layer of the shops; told apart by both. Always there. Types
# are named in the words of ISO 128-2 and have the dashes of the layer's pen on paper.
LAYERS = {
    CUT: (7, SOLID),
    CAP: (5, "chain thin"),
    BEND: (3, "long dashed thin"),
    REF: (8, "short dashed thin"),
    TEXT: (2, SOLID),
}
# Layers of views; only those that a drawing uses are in its file.
VIEW_LAYERS = {
    VISIBLE: (7, SOLID),
    HIDDEN: (8, "dashed thin"),
    SECTION: (1, SOLID),
    HATCH: (9, SOLID),
    CENTRE: (4, "long chain thin"),
    OPEN: (6, SOLID),
    DIM: (3, SOLID),
    FORMER: (8, "dashed wide"),
    NEW: (30, SOLID),
}
EVERY_LAYER = LAYERS | VIEW_LAYERS
# The face whose letters are as wide as those that the room of texts is reckoned with.
FACE = "arial.ttf"
# Title lines under the drawing [mm on paper]: first line, pitch, letters, letters of a release.
BELOW, PITCH, LETTERS, LOUD = 15.0, 7.0, 4.0, 7.0


def write_dxf(path: Path, drawing: Drawing, title: Title, over: float = 1.0) -> Path:
    """Write a drawing [mm], always at full size; its title is lettered for paper at 1:`over`.

    FileWriteError when that fails or a CUT outline is open.
    """
    _closed(path, drawing)
    write_bytes(path, dxf_bytes(drawing, title, over))
    return path


def dxf_bytes(drawing: Drawing, title: Title, over: float = 1.0) -> bytes:
    """Return the content of the file without time stamps or random numbers, for 1:`over` [1]."""
    from ezdxf.lldxf.const import DXFError

    document = _new(drawing, over)
    space = document.modelspace()
    for outline in drawing.paths:
        add_outline(space, outline)
    for label in [*drawing.labels, *_title_labels(drawing, title, over)]:
        add_text(space, label)
    for dimension in drawing.dimensions:
        add_dimension(document, dimension)
    out = io.StringIO()
    try:
        document.write(out)
    except DXFError as error:
        raise FileWriteError("the drawing can't be written as DXF", path=drawing.name) from error
    return out.getvalue().encode("utf-8")


def _new(drawing: Drawing, over: float) -> Any:
    """Return an empty document with units, layers and the drawing's extent."""
    import ezdxf

    ezdxf.options.write_fixed_meta_data_for_testing = True
    document = ezdxf.new("R2010", units=MILLIMETRES)
    # The library adds these from a set, in another order in every process.
    document.classes.add_required_classes(document.dxfversion)
    rows = sorted(document.classes.classes.items())
    document.classes.classes.clear()
    document.classes.classes.update(rows)
    document.header["$INSUNITS"] = MILLIMETRES
    document.header["$MEASUREMENT"] = 1
    document.header["$LTSCALE"] = over
    document.styles.get("Standard").dxf.font = FACE
    _add_line_types(document)
    for name, (colour, linetype) in LAYERS.items():
        document.layers.add(name, color=colour, linetype=linetype)
    used = {path.layer for path in drawing.paths} | {label.layer for label in drawing.labels}
    used |= {DIM} if drawing.dimensions else set()
    for name, (colour, linetype) in VIEW_LAYERS.items():
        if name in used:
            weight = round(100 * VIEW_PENS[name][0])
            document.layers.add(name, color=colour, linetype=linetype, lineweight=weight)
    low, high = _box(drawing)
    document.modelspace().reset_extents((*low, 0), (*high, 0))
    # Said twice: the library takes an extent that begins at the origin for none.
    document.header["$EXTMIN"], document.header["$EXTMAX"] = (*low, 0), (*high, 0)
    return document


def _add_line_types(document: Any) -> None:
    """Add the line types of all layers, their dashes [mm on paper] those of the pens."""
    for layer, (_, name) in EVERY_LAYER.items():
        if name != SOLID:
            document.linetypes.add(name, _pattern(layer), description=name)


def _pattern(layer: str) -> list[float]:
    """Return the dashes of a layer as DXF has it: their whole length, then each, gaps negative."""
    _, dashes = PENS[layer]
    return [sum(dashes), *(-d if i % 2 else d for i, d in enumerate(dashes))]


def _box(drawing: Drawing) -> tuple[Point, Point]:
    """Return the corners [mm] of a drawing, with all its letters if it has dimensions."""
    return extent(drawn_out(drawing)) if drawing.dimensions else drawing.box()


def title_lines(drawing: Drawing, title: Title) -> list[str]:
    """Return the lines of the title block as text, the reason of a release first."""
    lines = [f"{RELEASED}: {title.reason}"] if title.reason else []
    hand = f", {title.hand} hand" if title.hand else ""
    lines.append(f"{title.project}: {title.part}{hand}, revision {title.revision}")
    lines.append(f"scale 1:1, unit {title.unit}{_figures(title)}, parameters {title.fingerprint}")
    lines += [text for text in (title.note, *drawing.notes) if text]
    return [*lines, *title.cautions]


def _figures(title: Title) -> str:
    """Return what figures are in where that is not the drawing's own unit alone."""
    shown = told_unit(title.unit)
    return "" if shown == title.unit else f", figures {shown}"


def _title_labels(drawing: Drawing, title: Title, over: float) -> list[Label]:
    (x, y), _ = _box(drawing)
    return [
        Label(
            (x, y - (BELOW + PITCH * i) * over),
            text,
            (LOUD if i == 0 and title.reason else LETTERS) * over,
        )
        for i, text in enumerate(title_lines(drawing, title))
    ]


def read_dxf(path: Path) -> Drawing:
    """Return the drawing in a DXF of ours; FileWriteError when it is not one.

    Title lines come back among the labels.
    """
    return _drawing(path, _document(path))


def _drawing(path: Path, document: Any) -> Drawing:
    paths: list[Outline] = []
    labels: list[Label] = []
    dimensions: list[Dimension] = []
    for entity in document.modelspace():
        if entity.dxftype() == "LWPOLYLINE":
            paths.append(_outline(path, entity))
        elif entity.dxftype() == "TEXT":
            labels.append(read_text(entity))
        elif entity.dxftype() == "DIMENSION":
            dimensions.append(read_dimension(path, entity))
        else:
            raise FileWriteError(
                f"it holds a {entity.dxftype()}: only lines, arcs, texts and dimensions are ours",
                path=path.name,
                advice="write it again",
            )
    name = path.stem.removesuffix("_mm")
    return Drawing(name, tuple(paths), tuple(labels), dimensions=tuple(dimensions))


def _document(path: Path) -> Any:
    import ezdxf
    from ezdxf.lldxf.const import DXFError

    with disk_errors(path.name):
        try:
            return ezdxf.readfile(path)
        except (DXFError, UnicodeError, ValueError) as error:
            raise FileWriteError(
                "it can't be read back as DXF", path=path.name, advice="write it again"
            ) from error


def _outline(path: Path, entity: Any) -> Outline:
    layer = entity.dxf.layer
    if layer not in EVERY_LAYER:
        raise FileWriteError(f"it has a layer {layer!r} that is not ours", path=path.name)
    if tuple(entity.dxf.extrusion) != (0, 0, 1):
        raise FileWriteError("an outline of it is seen from behind: mirrored", path=path.name)
    return read_outline(entity)


def prove_dxf(path: Path, drawing: Drawing, title: Title | None = None, over: float = 1.0) -> None:
    """Read a DXF back from the disk and hold it to the drawing at 1:`over` [1] and any title.

    FileWriteError says which proof failed: unit, auditor, outlines, openness, texts, dimensions.
    """
    document = _document(path)
    if document.units != MILLIMETRES:
        raise proof_failed(
            path, f"its unit is number {document.units}, not {MILLIMETRES} (millimetre)"
        )
    found = document.audit()
    for entry in (*found.errors, *found.fixes):
        raise proof_failed(path, f"the check of the DXF itself reports: {entry.message}")
    back = _drawing(path, document)
    _closed(path, back)
    _line_types(path, document)
    titles = _title_labels(drawing, title, over) if title else back.labels[len(drawing.labels) :]
    for fault in (
        line_fault(back.paths, drawing.paths, NEAR),
        text_fault(back.labels, (*drawing.labels, *titles), NEAR),
    ):
        if fault:
            raise proof_failed(path, fault)
    _dimensions(path, document, drawing.dimensions)


def _line_types(path: Path, document: Any) -> None:
    """Hold the layers to the line types that tell them apart, and texts to their face."""
    if document.styles.get("Standard").dxf.font != FACE:
        raise proof_failed(path, f"its letters are not those of {FACE}")
    for layer in document.layers:
        name, seen = layer.dxf.name, layer.dxf.linetype
        _, due = EVERY_LAYER.get(name, (0, seen))
        if seen.casefold() != due.casefold():
            raise proof_failed(path, f"layer {name} has lines {seen}, not {due}")
        if name in EVERY_LAYER and due != SOLID and _dashes(document, due) != _pattern(name):
            raise proof_failed(path, f"the lines {due} of layer {name} have other dashes")


def _dashes(document: Any, name: str) -> list[float]:
    tags = document.linetypes.get(name).pattern_tags.tags
    return [float(tag.value) for tag in tags if tag.code in (40, 49)]


def _dimensions(path: Path, document: Any, due: tuple[Dimension, ...]) -> None:
    seen = document.modelspace().query("DIMENSION")
    if len(seen) != len(due):
        raise proof_failed(path, f"{len(seen)} dimensions, {len(due)} were drawn")
    for entity, dimension in zip(seen, due, strict=True):
        hold_dimension(path, entity, dimension)


def _closed(path: Path, drawing: Drawing) -> None:
    """Refuse what a cutter refuses: open outlines, pieces without length."""
    for name in drawing.open_outlines:
        raise proof_failed(path, f"the cut outline {name or '(no name)'} is open")
    for outline in drawing.paths:
        short = any(math.dist(a, b) <= WRITTEN_TO for a, b, _ in outline.pieces())
        if outline.layer in (CUT, CAP, BEND) and short:
            raise proof_failed(
                path, f"the outline {outline.name or outline.layer} has a doubled point"
            )
