"""Outlines and texts of a DXF that geomgen wrote, read without a library: ten times as fast.

Group codes as in the published DXF reference of the format. What it does not know it leaves to the
library (`writing.py`).
"""

from collections.abc import Iterator
from pathlib import Path

from geomgen.drafting.formats.dxf.writing import read_dxf
from geomgen.drafting.record import LAYERS, Drawing, Label
from geomgen.drafting.record import Path as Outline
from geomgen.errors import FileWriteError
from geomgen.files.disk import disk_errors

ANCHORS = {"0": "start", "1": "middle", "2": "end"}
Tags = list[tuple[str, str]]


def read_quickly(path: Path) -> Drawing:
    """Return the drawing in a DXF of ours, its title lines among the labels.

    FileWriteError when it is not one.
    """
    with disk_errors(path.name):
        text = path.read_bytes().decode("utf-8", "replace")
    paths, labels = [], []
    try:
        for kind, tags in _entities(text):
            if kind == "LWPOLYLINE":
                paths.append(_outline(tags))
            elif kind == "TEXT":
                labels.append(_label(tags))
            else:
                return _by_library(path)
    except (ValueError, KeyError, IndexError):
        return _by_library(path)
    return Drawing(path.stem.removesuffix("_mm"), tuple(paths), tuple(labels))


def _by_library(path: Path) -> Drawing:
    try:
        return read_dxf(path)
    except (StopIteration, LookupError) as error:
        # The library falls over some cut-off files.
        raise FileWriteError(
            "it can't be read back as DXF", path=path.name, advice="write it again"
        ) from error


def _entities(text: str) -> Iterator[tuple[str, Tags]]:
    """Yield kind and group codes of everything in the model space; ValueError where none is."""
    lines = text.split("\n")
    codes, values = lines[0::2], lines[1::2]
    tags = [(code.strip(), value.rstrip("\r")) for code, value in zip(codes, values, strict=False)]
    first = tags.index(("2", "ENTITIES")) + 1
    last = tags.index(("0", "ENDSEC"), first)
    starts = [i for i in range(first, last) if tags[i][0] == "0"] + [last]
    for start, end in zip(starts, starts[1:], strict=False):
        yield tags[start][1], tags[start + 1 : end]


def _outline(tags: Tags) -> Outline:
    known = dict(tags)
    if known["8"] not in LAYERS or known.get("230", "1.0") not in ("1", "1.0"):
        raise ValueError("a layer, or a side to be seen from, that is not ours")
    points: list[list[float]] = []
    for code, value in tags:
        if code == "10":
            points.append([float(value), 0.0, 0.0])
        elif code in ("20", "42"):
            points[-1][1 if code == "20" else 2] = float(value)
    if len(points) != int(known["90"]):
        raise ValueError("points are missing")
    bulges = tuple(p[2] for p in points)
    closed = bool(int(known.get("70", "0")) & 1)
    rows = tuple((p[0], p[1]) for p in points)
    return Outline(rows, bulges if any(bulges) else (), closed, known["8"])


def _label(tags: Tags) -> Label:
    known = dict(tags)
    anchor = ANCHORS[known.get("72", "0").strip()]
    x, y = ("10", "20") if anchor == "start" else ("11", "21")
    if known.get("73", "0").strip() != "0":
        raise ValueError("a text that does not stand on its line")
    return Label(
        (float(known[x]), float(known[y])),
        known["1"],
        float(known["40"]),
        float(known.get("50", "0.0")),
        anchor,
        known["8"],
    )
