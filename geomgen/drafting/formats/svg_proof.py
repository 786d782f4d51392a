"""A written SVG is read back with an XML parser and held to its sheet, coordinate by coordinate."""

import math
import re
from collections.abc import Sequence
from pathlib import Path
from xml.etree import ElementTree

from geomgen.drafting.faults import Nearness, line_fault, text_fault
from geomgen.drafting.formats.svg import RED, named, printable
from geomgen.drafting.lettering import CAPITAL, width_of
from geomgen.drafting.paper.frame import PenGroup
from geomgen.drafting.paper.on_paper import on_paper
from geomgen.drafting.paper.sheet import Sheet
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import Label, Point
from geomgen.drafting.record import Path as Outline
from geomgen.errors import FileWriteError
from geomgen.files.disk import disk_errors, proof_failed

Element = ElementTree.Element
# What a number may be off: the last decimal written; a place: as its two coordinates are rounded;
# the rise of an arc over its chord [mm of paper].
LAST_DECIMAL = 1.0e-4
NEAR = Nearness(0.71 * LAST_DECIMAL, 1.0e-3, LAST_DECIMAL)
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


def _group(path: Path, element: Element, group: PenGroup, high: float) -> None:
    dashes = tuple(float(n) for n in element.get("stroke-dasharray", "").split(",") if n)
    if not (element.get("class") or "").endswith("-".join(group.name.lower().split())):
        raise proof_failed(path, f"its groups are not in order at {group.name}")
    pen = (float(element.get("stroke-width", "nan")), dashes, element.get("color"))
    due_pen = (group.width, group.dashes, RED if group.red else None)
    if pen != due_pen or element.get("transform"):
        raise proof_failed(path, f"the pen of {group.name} is another one")
    paths = [child for child in element if _tag(child) == "path"]
    lines = [_line(child, high) for child in paths]
    texts = [child for child in element if _tag(child) == "text"]
    labels = [_text(child, high) for child in texts]
    fault = line_fault(lines, group.paths, NEAR, f" of {group.name}") or text_fault(
        labels, group.labels, NEAR, printable
    )
    if fault:
        raise proof_failed(path, fault)
    if [child.get("data-name", "") for child in paths] != [named(line) for line in group.paths]:
        raise proof_failed(path, f"a line of {group.name} is named after another part")
    drawn = (label for label in group.labels if label.text.strip())
    for seen, label in zip(texts, drawn, strict=True):
        long = width_of(label.text, label.height)
        if abs(float(seen.get("textLength", "0")) - long) > LAST_DECIMAL:
            raise proof_failed(path, f"the text {label.text!r} is squeezed")


def _line(seen: Element, high: float) -> Outline:
    if seen.get("transform"):
        return Outline(((math.nan, math.nan),))
    points, bulges, closed = read_path(seen.get("d", ""), high)
    some = (*bulges, 0.0)[: len(points)] if any(bulges) else ()
    return Outline(tuple(points), some, closed)


def _text(seen: Element, high: float) -> Label:
    """Return a text as it stands; no place for one that is turned about another point."""
    x, y = float(seen.get("x", "nan")), float(seen.get("y", "nan"))
    turn = TURN.fullmatch(seen.get("transform", f"rotate(0 {x} {y})"))
    angle, *about = (float(word) for word in turn.groups()) if turn else (math.nan,) * 3
    if not math.dist(about, (x, y)) <= LAST_DECIMAL:
        x = math.nan
    tall = float(seen.get("font-size", "nan")) * CAPITAL
    anchor = seen.get("text-anchor", "start")
    return Label((x, high - y), seen.text or "", tall, -angle, anchor)


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
