"""Curvature combs along the pod's lines: side view above, plan below, one scale of stations."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats
from geomgen.drafting.lettering import width_of
from geomgen.drafting.paper.choice import on_smallest
from geomgen.drafting.paper.sheet import LETTERS, Sheet
from geomgen.drafting.record import (
    DIM,
    HATCH,
    TEXT,
    VISIBLE,
    Drawing,
    Label,
    Path,
    Point,
    circle,
    line,
)
from geomgen.shops.fairness.curve import Curved, Unfair
from geomgen.shops.page_view import step_for

# Distance of the teeth and length of a usual tooth, as shares of the length of the pod; a tooth is
# cut off at so many usual ones.
TOOTH_EVERY, USUAL, CUT_OFF = 1 / 110, 1 / 50, 2.2
# What is usual: the curvature that so many hundredths of a line stay under.
PERCENT = 75
# Columns of the list of what nobody asked for.
COLUMNS = 3
# Steps of the scale of stations [mm], and how many it has at most.
STEPS, MOST_TICKS = (50, 100, 200, 500, 1000, 10000), 14
# Radii [m] that the scale may be told for.
RADII = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)


@dataclass(frozen=True)
class Comb:
    """A line to draw: its name, its view (side or plan), which way is outward, what was found."""

    name: str
    view: str
    outward: float
    curves: tuple[Curved, ...]
    unasked: tuple[Unfair, ...]


def fairness_sheet(name: str, combs: Sequence[Comb], notes: tuple[str, ...] = ()) -> Sheet:
    """Return the lines, their combs and the scale of the combs on their sheet.

    GeometryError where none has room for them.
    """
    return on_smallest(
        lambda over, _: [_drawing(name, combs, LETTERS * over, notes)], "pod", ["pod.stations"]
    )


def _drawing(name: str, combs: Sequence[Comb], text: float, notes: tuple[str, ...]) -> Drawing:
    """Return the lines [mm] with letters of a height [mm]."""
    every = np.concatenate([c.points for comb in combs for c in comb.curves])
    length = float(np.ptp(every[:, 0]))
    bends = np.abs(np.concatenate([c.curvature for comb in combs for c in comb.curves]))
    usual = max(float(np.percentile(bends, PERCENT)), 1e-9)
    scale = length * USUAL / usual
    paths: list[Path] = []
    labels: list[Label] = []
    told: list[str] = []
    last = "plan" if any(comb.view == "plan" and comb.curves for comb in combs) else "side"
    top = 0.0
    for view, words in (("side", "side view"), ("plan", "plan, right-hand half")):
        some = [comb for comb in combs if comb.view == view and comb.curves]
        if not some:
            continue
        lines: list[Path] = []
        tags: list[Label] = []
        for comb in some:
            _comb(comb, scale, length, text, told, lines, tags)
        _names(some, text, tags)
        low, high = Drawing("", tuple(lines)).box()
        if view == last:
            scale_paths, scale_labels = _stations(low, high, text)
            lines += scale_paths
            tags += scale_labels
        tags.append(Label((low[0], high[1] + text), words, 1.3 * text))
        part = Drawing("", tuple(lines), tuple(tags))
        (_, under), (_, over) = part.box()
        placed = part.moved(0.0, top - over)
        top += under - over - 2 * text
        paths += placed.paths
        labels += placed.labels
    left = float(every[:, 0].min())
    _scale_bar(scale, length, text, (left, top), paths, labels)
    below = min(label.at[1] for label in labels) - 2.2 * text
    head = "not called for by any station:" if told else "no bump beyond what the stations call for"
    labels.append(Label((left, below), head, text))
    rows = -(-len(told) // COLUMNS)
    column = text + max((width_of(said, text) for said in told), default=0.0)
    for i, said in enumerate(told):
        at = (left + i // rows * column, below - (i % rows + 1) * 1.7 * text)
        labels.append(Label(at, said, text))
    return Drawing(name, tuple(paths), tuple(labels), notes)


def _comb(
    comb: Comb,
    scale: float,
    length: float,
    text: float,
    told: list[str],
    paths: list[Path],
    labels: list[Label],
) -> None:
    """Draw a line, its teeth and the line along their ends, and mark what nobody asked for."""
    most = CUT_OFF * length * USUAL
    for curve in comb.curves:
        tangent = np.gradient(curve.points, curve.length, axis=0)
        normal = comb.outward * np.stack([-tangent[:, 1], tangent[:, 0]], axis=-1)
        normal /= np.hypot(*normal.T)[:, None]
        teeth = np.clip(curve.curvature * scale, -most, most)
        ends = curve.points + teeth[:, None] * normal
        paths.append(_open(curve.points, comb.name, VISIBLE))
        paths.append(_open(ends[::3], f"{comb.name}, comb", DIM))
        step = max(1, int(TOOTH_EVERY * length / max(float(np.diff(curve.length).mean()), 1e-9)))
        for a, b in zip(curve.points[::step], ends[::step], strict=True):
            if np.hypot(*(b - a)) > 1e-6:
                paths.append(line(_point(a), _point(b), HATCH, f"{comb.name}, tooth"))
    _marks(comb, text, told, paths, labels)


def _marks(
    comb: Comb, text: float, told: list[str], paths: list[Path], labels: list[Label]
) -> None:
    """Ring what nobody asked for and number it inside of the body, where few teeth are."""
    taken = -np.inf
    for one in comb.unasked:
        told.append(f"{len(told) + 1}: {comb.name}, STA {one.station:.0f}, {one.words}")
        x, y = _on_line(comb.curves, one.station)
        taken = max(x, taken + 3 * text)
        foot = (float(taken), y - comb.outward * 4 * text)
        paths.append(circle((x, y), text / 3, VISIBLE, "not called for"))
        paths.append(line((x, y - comb.outward * text / 3), foot, DIM, "not called for"))
        drop = text * (1.4 if comb.outward > 0 else -0.4)
        number = str(len(told))
        labels.append(Label((foot[0], foot[1] - drop), number, text, 0.0, "middle", TEXT))


def _on_line(curves: tuple[Curved, ...], station: float) -> Point:
    points = np.concatenate([c.points for c in curves])
    return _point(points[int(np.abs(points[:, 0] - station).argmin())])


def _names(combs: Sequence[Comb], text: float, labels: list[Label]) -> None:
    """Write each line's name behind its aft end, none over another."""
    ends = sorted(
        ((_point(c.curves[-1].points[-1]), c.name) for c in combs), key=lambda one: one[0][1]
    )
    height = -np.inf
    right = max(float(c.points[:, 0].max()) for comb in combs for c in comb.curves)
    for (_, y), name in ends:
        height = max(height + 1.8 * text, y - text / 2)
        labels.append(Label((right + 2 * text, float(height)), name, text))


def _stations(low: Point, high: Point, text: float) -> tuple[list[Path], list[Label]]:
    """Return a scale of stations below the view."""
    base = low[1] - 2 * text
    step = step_for(STEPS, (high[0] - low[0]) / MOST_TICKS, f"STA {high[0]:.0f}", text)
    first, last = int(np.ceil(low[0] / step)), int(np.floor(high[0] / step))
    places = [float(k * step) for k in range(first, last + 1)]
    paths = [line((low[0], base), (high[0], base), DIM, "stations")]
    paths += [line((x, base), (x, base - text), DIM, "stations") for x in places]
    labels = [Label((x, base - 2.6 * text), f"STA {x:g}", text, 0.0, "middle") for x in places]
    return paths, labels


def _scale_bar(
    scale: float, length: float, text: float, at: Point, paths: list[Path], labels: list[Label]
) -> None:
    """Draw a tooth of a told radius, and say how long teeth are."""
    usual = length * USUAL
    radius = min(RADII, key=lambda r: abs(np.log(scale / (1000 * r) / usual)))
    tooth = scale / (1000 * radius)
    x, y = at[0] + text, at[1] - tooth
    paths += [line((x, y), (x, y + tooth), DIM, "scale of the comb")]
    paths += [line((x - text / 2, e), (x + text / 2, e), DIM, "scale") for e in (y, y + tooth)]
    words = (
        f"comb: this tooth stands for a radius of {radius:g} m; half the radius, twice the tooth",
        f"teeth outward where the line is full, inward where it is hollow; cut off at "
        f"{CUT_OFF * usual / tooth:.1f} times this tooth",
    )
    labels += [
        Label((x + 2 * text, y + tooth / 2 + (0.6 - 2 * i) * text), said, text)
        for i, said in enumerate(words)
    ]


def _open(points: Floats, name: str, layer: str) -> Path:
    return Path(tuple(_point(p) for p in points), (), False, layer, name)


def _point(p: Floats) -> Point:
    return (float(p[0]), float(p[1]))
