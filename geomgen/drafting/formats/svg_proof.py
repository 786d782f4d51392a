"""A written SVG is read back with an XML parser and held to its sheet, coordinate by coordinate."""

import math
import re
from collections.abc import Sequence
from pathlib import Path
from xml.etree import ElementTree

from geomgen.drafting.lettering import CAPITAL, width_of
from geomgen.drafting.paper.frame import Group
from geomgen.drafting.paper.on_paper import on_paper
from geomgen.drafting.paper.sheet import Sheet
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import Label, Point
from geomgen.drafting.record import Path as Outline
from geomgen.errors import FileWriteError
from geomgen.files.disk import disk_errors, proof_failed

Element = ElementTree.Element
# What a coordinate may be off [mm of paper]: the last decimal written.
LAST_DECIMAL = 1.0e-4
# What the height of an arc over its chord may be off [mm of paper].
HIGH = 1.0e-3
STEP = re.compile(r"([MLAZ])([^MLAZ]*)")
TURN = re.compile(r"rotate\((\S+) (\S+) (\S+)\)")
NUMBERS = {"M": 2, "L": 2, "A": 7, "Z": 0}


def prove_svg(path: Path, sheet: Sheet, title: Title) -> None:
    """Read an SVG back from the disk and hold it to its sheet.

    FileWriteError says which proof failed: size, unit, groups, lines, arcs, texts.
    """
    root = _root(path)
    wide, high = sheet.paper
    due_size = (f"{wide:g}mm", f"{high:g}mm", f"0 0 {wide:g} {high:g}")
    size = (root.get("width"), root.get("height"), root.get("viewBox"))
    if size != due_size:
        raise proof_failed(path, f"its size is {size}, not {due_size}")
    if root.get("role") != "img" or not all(_inside(root, name) for name in ("title", "desc")):
        raise proof_failed(path, "it has no text for who can't see it")
    seen = [child for child in root if _tag(child) == "g"]
    due = on_paper(sheet, title)
    if len(seen) != len(due):
        raise proof_failed(path, f"it has {len(seen)} groups, not {len(due)}")
    for element, group in zip(seen, due, strict=True):
        _group(path, element, group, high)


def _root(path: Path) -> Element:
    with disk_errors(path.name):
        data = path.read_bytes()
    try:
        return ElementTree.fromstring(data)
    except ElementTree.ParseError as error:
        raise FileWriteError(
            "it can't be read back as SVG", path=path.name, advice="write it again"
        ) from error


def _tag(element: Element) -> str:
    return element.tag.rpartition("}")[2]


def _inside(root: Element, name: str) -> str:
    return "".join(child.text or "" for child in root if _tag(child) == name)


def _group(path: Path, element: Element, group: Group, high: float) -> None:
    dashes = tuple(float(n) for n in element.get("stroke-dasharray", "").split(",") if n)
    if not (element.get("class") or "").endswith(group.name.lower()):
        raise proof_failed(path, f"its groups are not in order at {group.name}")
    pen = (float(element.get("stroke-width", "nan")), dashes)
    if pen != (group.width, group.dashes) or element.get("transform"):
        raise proof_failed(path, f"the pen of {group.name} is another one")
    lines = [child for child in element if _tag(child) == "path"]
    texts = [child for child in element if _tag(child) == "text"]
    if len(lines) != len(group.paths) or len(texts) != len(group.labels):
        raise proof_failed(
            path,
            f"{group.name} has {len(lines)} lines and {len(texts)} texts, "
            f"not {len(group.paths)} and {len(group.labels)}",
        )
    for seen, outline in zip(lines, group.paths, strict=True):
        if not _same_line(seen, outline, high):
            raise proof_failed(path, f"line {outline.name} of {group.name} is not the one drawn")
    for seen, label in zip(texts, group.labels, strict=True):
        if not _same_text(seen, label, high):
            raise proof_failed(path, f"the text {label.text!r} is lost or in another place")


def _numbers(words: str) -> list[float]:
    try:
        return [float(word) for word in words.replace(",", " ").split()]
    except ValueError:
        return [math.nan]


def read_path(data: str, high: float) -> tuple[list[Point], list[float], bool]:
    """Return points [mm], y up again, bulges and closedness of a path's data.

    A piece that can't be read is not a number.

    >>> read_path("M0 10L5 10A5 5 0 0 0 5 0Z", 10.0)[0]
    [(0.0, 0.0), (5.0, 0.0), (5.0, 10.0)]
    """
    points: list[Point] = []
    bulges: list[float] = []
    for letter, words in STEP.findall(data):
        numbers = _numbers(words)
        if len(numbers) != NUMBERS[letter]:
            return [(math.nan, math.nan)], [math.nan], False
        if letter == "Z":
            continue
        here = (numbers[-2], high - numbers[-1])
        if letter != "M":
            bulges.append(_bulge(points[-1], here, numbers) if letter == "A" else 0.0)
        points.append(here)
    closed = data.endswith("Z")
    if closed and len(bulges) == len(points) - 1:
        if math.dist(points[0], points[-1]) <= LAST_DECIMAL and bulges:
            points.pop()
        else:
            bulges.append(0.0)
    return points, bulges, closed


def _bulge(a: Point, b: Point, numbers: Sequence[float]) -> float:
    """Return the bulge of an elliptical arc that is a circle's; not a number for an ellipse."""
    radius, other, _, large, sweep = numbers[:5]
    chord = math.dist(a, b)
    if radius != other or chord == 0.0 or chord > 2 * radius + 2 * LAST_DECIMAL:
        return math.nan
    turn = 2 * math.asin(min(1.0, chord / (2 * radius)))
    turn = 2 * math.pi - turn if large else turn
    return math.tan(turn / 4) * (1.0 if sweep == 0 else -1.0)


def _same_line(seen: Element, drawn: Outline, high: float) -> bool:
    points, bulges, closed = read_path(seen.get("d", ""), high)
    if closed != drawn.closed or len(points) != len(drawn.points) or seen.get("transform"):
        return False
    pieces = drawn.pieces()
    if len(bulges) != len(pieces):
        return False
    near = all(
        math.dist(a, b) <= 2 * LAST_DECIMAL for a, b in zip(points, drawn.points, strict=True)
    )
    return near and all(
        abs(seen_bulge - bulge) * math.dist(a, b) / 2 <= HIGH
        for seen_bulge, (a, b, bulge) in zip(bulges, pieces, strict=True)
    )


def _same_text(seen: Element, drawn: Label, high: float) -> bool:
    x, y = float(seen.get("x", "nan")), float(seen.get("y", "nan"))
    words = "".join(c if c.isprintable() else " " for c in drawn.text)
    if (seen.text or "") != words or seen.get("text-anchor", "start") != drawn.anchor:
        return False
    turn = TURN.fullmatch(seen.get("transform", f"rotate(0 {x} {y})"))
    long = width_of(drawn.text, drawn.height)
    if turn is None or abs(float(seen.get("textLength", "0")) - long) > LAST_DECIMAL:
        return False
    angle, about_x, about_y = (float(word) for word in turn.groups())
    offs = (
        *(x - drawn.at[0], high - y - drawn.at[1], about_x - x, about_y - y),
        *(-angle - drawn.angle, float(seen.get("font-size", "nan")) - drawn.height / CAPITAL),
    )
    return all(abs(off) <= LAST_DECIMAL for off in offs)
