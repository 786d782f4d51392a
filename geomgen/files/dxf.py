"""DXF: millimetres set, closed outlines, lines and arcs only, layers by use; the same bytes always.

Group codes and $INSUNITS (4 is millimetre) as in the published DXF reference of the format.
"""

import io
import math
from pathlib import Path
from typing import Any

from geomgen.drawings.record import BEND, CAP, CUT, REF, TEXT, Drawing, Label
from geomgen.drawings.record import Path as Outline
from geomgen.drawings.title import Title
from geomgen.errors import FileWriteError
from geomgen.files.disk import disk_errors, proof_failed, write_bytes

MILLIMETRES = 4
# Colour number and line type of each layer; told apart by both.
LAYERS = {
    CUT: (7, "CONTINUOUS"),
    CAP: (5, "DASHDOT"),
    BEND: (3, "CENTER"),
    REF: (8, "DASHED"),
    TEXT: (2, "CONTINUOUS"),
}
SAME = 1e-6
ALIGN = {"start": "LEFT", "middle": "CENTER", "end": "RIGHT"}
BELOW = 15.0
# The dashes of the library's line types are in centimetres.
DASHES = 10.0


def write_dxf(path: Path, drawing: Drawing, title: Title) -> Path:
    """Write a drawing [mm]; FileWriteError when that fails or a CUT outline is open."""
    _closed(path, drawing)
    write_bytes(path, dxf_bytes(drawing, title))
    return path


def dxf_bytes(drawing: Drawing, title: Title) -> bytes:
    """Return the file's content, without time stamps or random numbers."""
    import ezdxf
    from ezdxf.lldxf.const import DXFError

    ezdxf.options.write_fixed_meta_data_for_testing = True
    document = ezdxf.new("R2010", setup=["linetypes"], units=MILLIMETRES)
    document.header["$INSUNITS"] = MILLIMETRES
    document.header["$MEASUREMENT"] = 1
    document.header["$LTSCALE"] = DASHES
    for name, (colour, linetype) in LAYERS.items():
        document.layers.add(name, color=colour, linetype=linetype)
    space = document.modelspace()
    low, high = drawing.box()
    space.reset_extents((*low, 0), (*high, 0))
    # Said twice: the library takes an extent that begins at the origin for none.
    document.header["$EXTMIN"], document.header["$EXTMAX"] = (*low, 0), (*high, 0)
    for outline in drawing.paths:
        bulges = outline.bulges or (0.0,) * len(outline.points)
        rows = [(x, y, bulge) for (x, y), bulge in zip(outline.points, bulges, strict=True)]
        space.add_lwpolyline(
            rows, format="xyb", close=outline.closed, dxfattribs={"layer": outline.layer}
        )
    for label in [*drawing.labels, *_title_labels(drawing, title)]:
        _text(space, label)
    out = io.StringIO()
    try:
        document.write(out)
    except DXFError as error:
        raise FileWriteError("the drawing can't be written as DXF", path=drawing.name) from error
    return out.getvalue().encode("utf-8")


def _text(space: Any, label: Label) -> None:
    from ezdxf.enums import TextEntityAlignment

    space.add_text(
        label.text,
        height=label.height,
        rotation=label.angle,
        dxfattribs={"layer": label.layer},
    ).set_placement(label.at, align=TextEntityAlignment[ALIGN[label.anchor]])


def title_lines(drawing: Drawing, title: Title) -> list[str]:
    """Return the lines of the title block as text, the reason of a release first."""
    lines = [f"RELEASED ALTHOUGH A CHECK FAILED: {title.reason}"] if title.reason else []
    hand = f", {title.hand} hand" if title.hand else ""
    lines.append(f"{title.project}: {title.part}{hand}, revision {title.revision}")
    lines.append(f"scale {title.scale}, unit {title.unit}, parameters {title.fingerprint}")
    lines += [text for text in (title.note, *drawing.notes) if text]
    return [*lines, *title.cautions]


def _title_labels(drawing: Drawing, title: Title) -> list[Label]:
    (x, y), _ = drawing.box()
    return [
        Label((x, y - BELOW - 7.0 * i), text, 7.0 if i == 0 and title.reason else 4.0)
        for i, text in enumerate(title_lines(drawing, title))
    ]


def read_dxf(path: Path) -> Drawing:
    """Return the drawing in a DXF of ours; FileWriteError when it is not one.

    Title lines come back among the labels.
    """
    return _drawing(path, _document(path))


def _drawing(path: Path, document: Any) -> Drawing:
    paths, labels = [], []
    for entity in document.modelspace():
        if entity.dxftype() == "LWPOLYLINE":
            paths.append(_outline(path, entity))
        elif entity.dxftype() == "TEXT":
            labels.append(_label(entity))
        else:
            raise FileWriteError(
                f"it holds a {entity.dxftype()}: only lines, arcs and text are ours",
                path=path.name,
                advice="write it again",
            )
    return Drawing(path.stem.removesuffix("_mm"), tuple(paths), tuple(labels))


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
    rows = entity.get_points("xyb")
    layer = entity.dxf.layer
    if layer not in LAYERS:
        raise FileWriteError(f"it has a layer {layer!r} that is not ours", path=path.name)
    if tuple(entity.dxf.extrusion) != (0, 0, 1):
        raise FileWriteError("an outline of it is seen from behind: mirrored", path=path.name)
    bulges = tuple(float(row[2]) for row in rows)
    return Outline(
        tuple((float(row[0]), float(row[1])) for row in rows),
        bulges if any(bulges) else (),
        bool(entity.closed),
        layer,
    )


def _label(entity: Any) -> Label:
    align, at, _ = entity.get_placement()
    anchor = next((name for name, word in ALIGN.items() if word == align.name), "start")
    return Label(
        (float(at.x), float(at.y)),
        str(entity.dxf.text),
        float(entity.dxf.height),
        float(entity.dxf.rotation),
        anchor,
        str(entity.dxf.layer),
    )


def prove_dxf(path: Path, drawing: Drawing, title: Title | None = None) -> None:
    """Read a DXF back from the disk and hold it to the drawing, and to its title if given.

    FileWriteError says which proof failed: unit, auditor, outlines, openness, texts.
    """
    document = _document(path)
    if document.units != MILLIMETRES:
        raise proof_failed(
            path, f"its unit is number {document.units}, not {MILLIMETRES} (millimetre)"
        )
    errors = document.audit().errors
    if errors:
        raise proof_failed(path, f"the auditor finds: {errors[0].message}")
    back = _drawing(path, document)
    _closed(path, back)
    if len(back.paths) != len(drawing.paths):
        raise proof_failed(path, f"{len(back.paths)} outlines, {len(drawing.paths)} were drawn")
    for seen, drawn in zip(back.paths, drawing.paths, strict=True):
        if not _same(seen, drawn):
            raise proof_failed(path, f"outline {drawn.name or drawn.layer} is not the one drawn")
    titles = _title_labels(drawing, title) if title else []
    for drawn_text in (*drawing.labels, *titles):
        if not any(_same_text(seen_text, drawn_text) for seen_text in back.labels):
            raise proof_failed(path, f"the text {drawn_text.text!r} is lost or in another place")


def _same_text(a: Label, b: Label) -> bool:
    if (a.text, a.anchor, a.layer) != (b.text, b.anchor, b.layer):
        return False
    turned = abs((a.angle - b.angle + 180) % 360 - 180)
    far = max(abs(a.at[0] - b.at[0]), abs(a.at[1] - b.at[1]), abs(a.height - b.height))
    return far <= SAME and turned <= SAME


def _same(a: Outline, b: Outline) -> bool:
    if (a.closed, a.layer, len(a.points)) != (b.closed, b.layer, len(b.points)):
        return False
    none = (0.0,) * len(a.points)
    pairs = zip((*a.points, *[(v, 0.0) for v in a.bulges or none]),
                (*b.points, *[(v, 0.0) for v in b.bulges or none]), strict=True)  # fmt: skip
    return all(abs(p[0] - q[0]) <= SAME and abs(p[1] - q[1]) <= SAME for p, q in pairs)


def _closed(path: Path, drawing: Drawing) -> None:
    """Refuse what a cutter refuses: open outlines, pieces without length."""
    for outline in drawing.paths:
        short = any(math.dist(a, b) <= SAME for a, b, _ in outline.pieces())
        if outline.layer in (CUT, CAP, BEND) and short:
            raise proof_failed(
                path, f"the outline {outline.name or outline.layer} has a doubled point"
            )
        if outline.layer == CUT and not outline.closed:
            raise proof_failed(path, f"the cut outline {outline.name or '(no name)'} is open")
