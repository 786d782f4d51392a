"""The stack as a whole, from its left-hand side: every slab and template in its place, in order."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from geomgen.drafting.lettering import width_of
from geomgen.drafting.paper.choice import on_smallest
from geomgen.drafting.record import CENTRE, DIM, SECTION, VISIBLE, Drawing, Label, Path, line
from geomgen.parameters.records.shops import FoamStations
from geomgen.shops.figures import counted, plain, sta
from geomgen.shops.flat_areas import united
from geomgen.shops.foam.holes import Pair
from geomgen.shops.foam.notes import bench_notes
from geomgen.shops.foam.slabs import Slab
from geomgen.shops.foam.templates import JointTemplate
from geomgen.shops.layout_lines import InsidePart, laid_along
from geomgen.shops.product import ShopSheet

# Height of letters as a share of the stack's length, and at most of a slab's thickness.
TEXT_SHARE, IN_SLAB = 1 / 90, 0.8
# How far below the body the figures stand, in heights of their letters.
BELOW = 2.0


def stack_sheet(
    slabs: Sequence[Slab],
    joints: Sequence[JointTemplate],
    holes: Sequence[Pair | None],
    foam: FoamStations,
    skin: float,
    skin_words: str,
    built_to: Sequence[InsidePart] = (),
) -> ShopSheet:
    """Return the drawing to look at: slabs, templates and holes at their stations, front left.

    `skin` [mm] is how far the foam lies inside the loft, `built_to` the parts that stand in it.
    """
    text = TEXT_SHARE * (slabs[-1].aft - slabs[0].front)
    small = min(text, IN_SLAB * float(np.median([slab.thickness for slab in slabs])) / 1.6)
    low = min(float(slab.box()[0][1]) for slab in slabs)
    high = max(float(slab.box()[1][1]) for slab in slabs)
    paths = [_side(slab) for slab in slabs]
    labels: list[Label] = []
    inside = _inside(built_to, paths, high, small, labels)
    labels += _numbers(slabs, paths, inside.paths, small)
    paths += inside.paths
    for joint in joints:
        paths.append(_template(joint))
    base = low - BELOW * small
    paths += _stations(slabs, small, base, labels)
    foot = base - width_of("STA 0000.00", small) - 2 * text
    if joints:
        _templates_named(joints, high, small, paths, labels)
    paths += _holes(slabs, holes)
    left = slabs[0].front
    count = f"{counted(len(slabs), 'slab')} of {plain(foam.slab)} mm"
    if joints:
        stay = "that stay between" if len(joints) > 1 else "that stays between"
        count += f", {counted(len(joints), 'template')} of {plain(joints[0].thickness)} mm {stay}"
    rows = [
        f"The stack from its left-hand side, nose to the left: {count}",
        "chain lines: alignment holes; figures below: station of each slab's front face"
        + (", T: template behind the slab of its number" if joints else ""),
        *_groups(slabs, holes),
        *inside.words,
    ]
    for i, words in enumerate(rows):
        labels.append(Label((left, foot - 1.9 * i * text), words, text))
    inset = f"foam lies {skin:.3f} mm inside the loft" if skin else "foam is as large as the loft"
    drawing = Drawing(
        "foam stack", tuple(paths), tuple(labels), (inset, skin_words, *bench_notes(foam))
    )
    note = "order and place of all slabs; look, don't measure on it"
    paper = on_smallest(lambda *_: [drawing], "pod", ["handoff.foam"])
    return ShopSheet("foam_stack", "pod", paper, note=note)


def _heights(outline: np.ndarray) -> tuple[float, float]:
    return float(outline[:, 1].min()), float(outline[:, 1].max())


def _side(slab: Slab) -> Path:
    places = (slab.front, 0.5 * (slab.front + slab.aft), slab.aft)
    points = [
        (x, *_heights(outline))
        for x, (outline, _) in zip(places, slab.sections, strict=True)
        if len(outline)
    ]
    if len(points) < 3:
        points = _pointed(points, places, len(slab.sections[0][0]) == 0)
    under = [(x, z) for x, z, _ in points]
    over = [(x, z) for x, _, z in reversed(points)]
    return Path((*under, *over), (), True, VISIBLE, f"slab {slab.number}")


def _numbers(
    slabs: Sequence[Slab], sides: Sequence[Path], lines: Sequence[Path], small: float
) -> list[Label]:
    """Return each slab's number at mid height, or as near to it as it is clear of lines."""
    taken = shapely.union_all([shapely.LineString(path.dense(1.0)) for path in lines])
    made = []
    for slab, side in zip(slabs, sides, strict=True):
        words, x = str(slab.number), 0.5 * (slab.front + slab.aft)
        size = min(small, IN_SLAB * slab.thickness / max(width_of(words, 1.0), 1e-9))
        heights = [z for px, z in side.points if abs(px - x) < 1e-6] or [z for _, z in side.points]
        low, high = min(heights), max(heights)
        middle = 0.5 * (low + high)
        levels = sorted(np.arange(low, high - size, 0.5 * size), key=lambda z: abs(z - middle))
        half = 0.5 * width_of(words, size)
        level = next(
            (z for z in levels if taken.distance(_room(x, z, half, size)) > 0.3 * size),
            middle - size / 2,
        )
        made.append(Label((x, float(level)), words, size, 0.0, "middle"))
    return made


def _room(x: float, z: float, half: float, size: float) -> shapely.Geometry:
    return shapely.box(x - half, z, x + half, z + size)


def _pointed(
    points: list[tuple[float, float, float]], places: tuple[float, float, float], ahead: bool
) -> list[tuple[float, float, float]]:
    """Return the heights of a slab that ends in the point of a round nose or tail."""
    _, z0, z1 = points[0 if ahead else -1]
    tip = (places[0 if ahead else 2], 0.5 * (z0 + z1), 0.5 * (z0 + z1))
    return [tip, *points] if ahead else [*points, tip]


def _template(joint: JointTemplate) -> Path:
    z0, z1 = _heights(joint.section[0])
    a, b = joint.front, joint.aft
    return Path(((a, z0), (b, z0), (b, z1), (a, z1)), (), True, SECTION, f"template {joint.number}")


def _templates_named(
    joints: Sequence[JointTemplate],
    high: float,
    small: float,
    paths: list[Path],
    labels: list[Label],
) -> None:
    """Write each template's number above the body, turned, at the end of a thin line."""
    top = high + 1.5 * small
    for joint in joints:
        x, z = joint.station, _heights(joint.section[0])[1]
        paths.append(line((x, z), (x, top), DIM, "leader"))
        labels.append(
            Label((x + small / 2, top + 0.4 * small), f"T{joint.number}", small, 90.0, "start")
        )


@dataclass(frozen=True)
class _Inside:
    """What stands in the stack: its lines with their leaders, and what is said of it."""

    paths: list[Path]
    words: tuple[str, ...]


def _inside(
    built_to: Sequence[InsidePart],
    sides: Sequence[Path],
    high: float,
    small: float,
    labels: list[Label],
) -> _Inside:
    """Return the parts that stand in the stack, cut in the centre plane, and write their names."""
    found = laid_along(built_to, 0.0, united([shapely.Polygon(path.points) for path in sides]))
    paths = list(found.on(SECTION))
    # Names stand above those of the templates.
    top, last = high + 8.0 * small, -np.inf
    for name, area in sorted(found.areas.items(), key=lambda row: row[1].centroid.x):
        x0, _, x1, z1 = area.bounds
        x = 0.5 * (x0 + x1)
        last = max(x, last + 1.6 * small)
        paths.append(Path(((x, z1), (x, top - 2.0 * small), (last, top)), (), False, DIM, "leader"))
        labels.append(Label((last + small / 2, top + 0.4 * small), name, small, 90.0, "start"))
    told = (f"in the centre plane: {', '.join(found.areas)}",) if found.areas else ()
    return _Inside(paths, (*told, *(f"no line found: {name}" for name in found.undrawn)))


def _stations(slabs: Sequence[Slab], small: float, base: float, labels: list[Label]) -> list[Path]:
    paths = []
    last = -np.inf
    for x in [*(slab.front for slab in slabs), slabs[-1].aft]:
        # A thin last slab has its two figures moved apart.
        aside = max(x, last + 1.6 * small)
        paths.append(line((aside, base), (x, base + small), DIM, "station"))
        words = f"STA {sta(x)}"
        labels.append(Label((aside + small / 2, base - 0.6 * small), words, small, 90.0, "end"))
        last = aside
    return paths


def _holes(slabs: Sequence[Slab], holes: Sequence[Pair | None]) -> list[Path]:
    return [
        line((slabs[a - 1].front, z), (slabs[b - 1].aft, z), CENTRE, "alignment hole")
        for a, b, pair in _runs(slabs, holes)
        if pair is not None
        for _, z in pair.holes
    ]


def _runs(
    slabs: Sequence[Slab], holes: Sequence[Pair | None]
) -> list[tuple[int, int, Pair | None]]:
    """Return the first and last number of slabs in a row that have the same pair of holes."""
    runs: list[tuple[int, int, Pair | None]] = []
    for slab, pair in zip(slabs, holes, strict=True):
        if runs and runs[-1][2] == pair:
            runs[-1] = (runs[-1][0], slab.number, pair)
        else:
            runs.append((slab.number, slab.number, pair))
    return runs


def _groups(slabs: Sequence[Slab], holes: Sequence[Pair | None]) -> list[str]:
    """Return in words which slabs in a row have which pair of holes."""
    return [
        f"holes of slab{'s' if b > a else ''} {a}{f' to {b}' if b > a else ''}: "
        + (pair.words() if pair else "none, go by WL and BL")
        for a, b, pair in _runs(slabs, holes)
    ]
