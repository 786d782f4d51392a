"""The picture of a half as the pull sees it: hatched below the draft, cross-hatched undercut."""

from dataclasses import dataclass

import numpy as np
import shapely

from geomgen.drawings.record import REF, TEXT, Drawing, Label, Path, Point, line, rectangle
from geomgen.handoff.bordered import bordered
from geomgen.handoff.draft import Draft, Region
from geomgen.handoff.draft_cells import Body, Cells
from geomgen.handoff.shadow import frame_of
from geomgen.kernel.mesh_record import Floats, Ints
from geomgen.kernel.plain import Vec3

# Hatch lines across the longer side of the picture, its text's height and snapping as shares of it.
HATCHES, TEXT_SHARE, SNAP = 110, 1 / 75, 1 / 4000
# A piece smaller than this [mm2] is not pointed at.
SPOT = 10.0
# Cells of an undercut that are outlined one by one; beyond that, the mesh's own triangles.
OUTLINED = 4000
# Steps between the ticks of the scale [mm], the first that gives at most so many ticks.
# A page that leans more than this against the loft's axis has no scale on it.
STRAIGHT = 0.99999
STEPS, TICKS = (5, 10, 20, 50, 100, 200, 500, 1000), 14


@dataclass(frozen=True)
class Patch:
    """Undercut that something else brings: its cells, the share of each (m,), what it is."""

    cells: Cells
    share: Floats
    name: str


@dataclass(frozen=True)
class View:
    """The page across a pull: directions, and the size of its text and hatch [mm]."""

    right: Floats
    up: Floats
    size: float

    def flat(self, points: Floats) -> Floats:
        """Return points (..., 3) on the page, (..., 2)."""
        return np.stack([points @ self.right, points @ self.up], axis=-1)

    @property
    def text(self) -> float:
        """Return the height of the text [mm]."""
        return self.size * TEXT_SHARE


def view_of(body: Body, pull: Vec3) -> View:
    """Return the view of a body by who looks against the pull."""
    right, up, _ = frame_of(pull)
    page = np.stack([body.mesh.vertices @ right, body.mesh.vertices @ up], axis=-1)
    return View(right, up, float(np.ptp(page, axis=0).max()))


def draft_drawing(
    name: str, body: Body, found: Draft, half: str, patches: tuple[Patch, ...] = ()
) -> Drawing:
    """Return the drawing of one half [mm], seen along its pull, with a scale and a legend."""
    view = view_of(body, found.pull)
    paths = _outline(body, found, view)
    paths += _limit(found, view)
    below = found.share_below * found.share > 0.5
    paths += hatched(
        view.flat(found.cells.corners[below]),
        view.size / HATCHES,
        (1,),
        "below",
        0.8 * view.size / HATCHES,
    )
    undercuts = [
        Patch(found.cells, found.share_undercut * found.share, "undercut"),
        *patches,
    ]
    for patch in undercuts:
        held = patch.share > 0.5
        flat = view.flat(patch.cells.corners[held])
        paths += hatched(flat, view.size / HATCHES, (1, -1), patch.name)
        paths += _edge(flat, view, patch.name)
    low, high = Drawing("", tuple(paths)).box()
    labels: list[Label] = []
    frame: list[Path] = []
    _scale(view, low, high, frame, labels)
    said = _pointed(view, found, high, frame, labels)
    _legend(view, found, half, low, [patch.name for patch in patches], said, frame, labels)
    notes = (f"{half} half, seen along its pull",)
    return bordered(Drawing(name, (*paths, *frame), tuple(labels), notes), 2 * view.text)


def _outline(body: Body, found: Draft, view: View) -> list[Path]:
    """Return the lines where the half ends."""
    used = np.zeros(len(body.mesh.triangles), dtype=bool)
    used[found.cells.parent[found.share > 0.5]] = True
    beside = body.beside
    rim = used[:, None] & ~(used[np.maximum(beside, 0)] & (beside >= 0))
    triangle, side = np.nonzero(rim)
    ends = body.mesh.triangles[triangle]
    row = np.arange(len(triangle))
    a, b = ends[row, side], ends[row, (side + 1) % 3]
    flat = view.flat(body.mesh.vertices)
    return merged(np.stack([flat[a], flat[b]], axis=1), view.size * SNAP, "outline")


def _limit(found: Draft, view: View) -> list[Path]:
    """Return the line on which the draft is just the wanted one."""
    d = np.array(found.pull) / np.linalg.norm(found.pull)
    value = found.cells.normals @ d - np.sin(np.radians(found.wanted_deg))
    crossed = (value.min(axis=1) < 0) & (value.max(axis=1) >= 0) & (found.share > 0.5)
    segments = _crossings(view.flat(found.cells.corners[crossed]), value[crossed])
    return merged(segments, view.size * SNAP, f"draft {found.wanted_deg:g} deg")


def _crossings(flat: Floats, value: Floats) -> Floats:
    """Return where a linear value (m, 3) is nil on triangles (m, 3, 2): segments (m, 2, 2)."""
    below = value < 0
    alone = np.where(below.sum(axis=1) == 1, below.argmax(axis=1), (~below).argmax(axis=1))
    row = np.arange(len(flat))
    ends = []
    for turn in (1, 2):
        other = (alone + turn) % 3
        a, b = value[row, alone], value[row, other]
        share = (a / (a - b))[:, None]
        ends.append(flat[row, alone] * (1 - share) + flat[row, other] * share)
    return np.stack(ends, axis=1)


def merged(segments: Floats, snap: float, name: str) -> list[Path]:
    """Return segments (k, 2, 2) as few lines, their ends snapped to a grid [mm]."""
    if not len(segments):
        return []
    rounded = np.round(segments / snap) * snap
    rounded = rounded[np.any(rounded[:, 0] != rounded[:, 1], axis=1)]
    if not len(rounded):
        return []
    joined = shapely.line_merge(shapely.union_all(shapely.linestrings(rounded)))
    lines = shapely.simplify(shapely.get_parts(joined), snap)
    lines = lines[shapely.length(lines) > 4 * snap]
    return [
        Path(tuple((float(x), float(y)) for x, y in one.coords), (), False, REF, name)
        for one in lines
    ]


def hatched(
    flat: Floats, pitch: float, ways: tuple[int, ...], name: str, least: float = 0.0
) -> list[Path]:
    """Return hatch lines over triangles (m, 3, 2), rising (1) or falling (-1), overlaps joined.

    A line shorter than `least` [mm] is lengthened: a strip seen edge-on shows by its strokes.
    """
    paths: list[Path] = []
    for way in ways if len(flat) else ():
        along = np.array([1.0, way]) / np.sqrt(2)
        across = np.array([-way, 1.0]) / np.sqrt(2)
        s, t = flat @ along, flat @ across / pitch
        for number, start, end in _joined(*_chords(s, t), 0.2 * pitch, least):
            a, b = (start * along + number * pitch * across, end * along + number * pitch * across)
            paths.append(line(_point(a), _point(b), REF, name))
    return paths


def _chords(s: Floats, t: Floats) -> tuple[Ints, Floats, Floats]:
    """Return hatch number, start and end (k,) of each chord that a hatch line cuts of triangles."""
    first = np.ceil(t.min(axis=1)).astype(np.int64)
    count = np.maximum(np.floor(t.max(axis=1)).astype(np.int64) - first + 1, 0)
    owner = np.repeat(np.arange(len(t)), count)
    number = first[owner] + np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
    start, end = np.full(len(owner), np.inf), np.full(len(owner), -np.inf)
    for i in range(3):
        a, b = t[owner, i], t[owner, (i + 1) % 3]
        crossed = (np.minimum(a, b) <= number) & (number <= np.maximum(a, b)) & (a != b)
        with np.errstate(divide="ignore", invalid="ignore"):
            at = s[owner, i] + (number - a) / (b - a) * (s[owner, (i + 1) % 3] - s[owner, i])
        start = np.where(crossed, np.minimum(start, at), start)
        end = np.where(crossed, np.maximum(end, at), end)
    return number, start, end


def _joined(
    number: Ints, start: Floats, end: Floats, gap: float, least: float
) -> list[tuple[int, float, float]]:
    found: list[tuple[int, float, float]] = []
    for i in np.lexsort((start, number)):
        n, a, b = int(number[i]), float(start[i]), float(end[i])
        if found and found[-1][0] == n and a <= found[-1][2] + gap:
            found[-1] = (n, found[-1][1], max(found[-1][2], b))
        elif b > a:
            found.append((n, a, b))
    return [(n, *_at_least(a, b, least)) for n, a, b in found if least or b - a > gap]


def _at_least(start: float, end: float, length: float) -> tuple[float, float]:
    more = max(0.0, length - (end - start)) / 2
    return start - more, end + more


def _edge(flat: Floats, view: View, name: str) -> list[Path]:
    """Return the outline of an undercut's cells (m, 3, 2)."""
    if not len(flat):
        return []
    a, b, c = flat.transpose(1, 0, 2)
    wide = np.abs(
        (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    )
    seen = flat[wide > (view.size * SNAP) ** 2]
    seen = seen[np.argsort(-wide[wide > (view.size * SNAP) ** 2])[:OUTLINED]]
    whole = shapely.union_all(shapely.polygons(seen), grid_size=view.size * SNAP)
    snap = view.size * SNAP
    closed = shapely.buffer(shapely.buffer(whole, 4 * snap), -4 * snap)
    rings = [
        np.asarray(ring.coords)[:-1]
        for part in shapely.get_parts(shapely.simplify(closed, snap))
        if part.area > (16 * snap) ** 2
        for ring in (part.exterior, *part.interiors)
    ]
    return [Path(tuple(_point(p) for p in ring), (), True, REF, name) for ring in rings]


def _scale(view: View, low: Point, high: Point, paths: list[Path], labels: list[Label]) -> None:
    """Draw a scale below the picture and one to its left, in the words of the loft."""
    text = view.text
    for axis, (a, b) in enumerate(((low[0], high[0]), (low[1], high[1]))):
        way = view.right if axis == 0 else view.up
        if np.abs(way).max() < STRAIGHT:
            continue
        step = next((s for s in STEPS if (b - a) / s <= TICKS), STEPS[-1])
        base = (low[1] if axis == 0 else low[0]) - 2 * text
        paths.append(_tick(axis, base, a, b))
        # The scale of the page runs along the loft's axis or against it.
        for k in range(int(np.ceil(a / step)), int(np.floor(b / step)) + 1):
            paths.append(_tick(1 - axis, k * step, base - text, base))
            words = _loft_word(way, k * step)
            if axis == 0:
                labels.append(Label((k * step, base - 2.5 * text), words, text, 0.0, "middle"))
            else:
                labels.append(
                    Label((base - 1.5 * text, k * step - text / 2), words, text, 0, "end")
                )


def _tick(axis: int, at: float, a: float, b: float) -> Path:
    return line((a, at), (b, at)) if axis == 0 else line((at, a), (at, b))


def _loft_word(way: Floats, value: float) -> str:
    axis = int(np.abs(way).argmax())
    at = value * float(np.sign(way[axis])) + 0.0
    return f"{('STA', 'BL', 'WL')[axis]} {at:g}"


def _legend(
    view: View,
    found: Draft,
    half: str,
    low: Point,
    others: list[str],
    said: list[str],
    paths: list[Path],
    labels: list[Label],
) -> None:
    text = view.text
    top = low[1] - 8 * text
    share = 100 / max(found.total, 1e-300)
    rows: list[tuple[tuple[int, ...], str]] = [
        (
            (1,),
            f"draft below {found.wanted_deg:g} deg: {_cm2(found.below)} "
            f"({found.below * share:.2f} %)",
        ),
        ((1, -1), f"undercut: {_cm2(found.undercut)} ({found.undercut * share:.2f} %)"),
        *(((1, -1), name) for name in others),
        ((), f"releases: the rest of {_cm2(found.total)}"),
    ]
    labels.append(Label((low[0], top), f"{half} half, seen along its pull", 1.4 * text))
    for i, (ways, words) in enumerate(rows):
        y = top - (i + 1) * 3.2 * text
        box = ((low[0], y - 0.5 * text), (low[0] + 5 * text, y + 1.5 * text))
        paths.append(rectangle(*box, layer=REF, name="legend"))
        (x0, y0), (x1, y1) = box
        two = np.array([[[x0, y0], [x1, y0], [x1, y1]], [[x0, y0], [x1, y1], [x0, y1]]])
        paths += hatched(two, view.size / HATCHES, ways, "legend")
        labels.append(Label((x1 + text, y), words, text))
    y = top - (len(rows) + 1) * 3.2 * text
    labels += [Label((low[0], y - i * 2 * text), words, text) for i, words in enumerate(said)]


def _cm2(area: float) -> str:
    return f"{area / 100:.1f} cm2"


def _pointed(
    view: View, found: Draft, high: Point, paths: list[Path], labels: list[Label]
) -> list[str]:
    """Lead a letter above the picture to the largest piece of each kind; return what they mean."""
    text, at = view.text, high[1] + 2 * view.text
    said: list[str] = []
    taken: list[float] = []
    for region, words in ((found.below_at, "below draft"), (found.undercut_at, "undercut")):
        if region is None or region.area < SPOT:
            continue
        x, y = _nearest(view, found, region, words)
        aside = x
        while any(abs(aside - other) < 3 * text for other in taken):
            aside += 3 * text
        taken.append(aside)
        letter = "AB"[len(said)]
        paths += [line((x, y), (aside, at - 0.5 * text)), rectangle(*_dot((x, y), text / 4), REF)]
        labels.append(Label((aside, at), letter, text, 0.0, "middle", TEXT))
        said.append(
            f"{letter}: largest piece {words}, {_cm2(region.area)}, middle at "
            f"{spoken(region.centroid)}"
        )
    return said


def _nearest(view: View, found: Draft, region: Region, words: str) -> Point:
    """Return the place on the page of the kind's cell that is nearest to the region's middle."""
    share = found.share_below if words == "below draft" else found.share_undercut
    some = np.nonzero(share * found.share > 0.5)[0]
    some = some if len(some) else np.nonzero(share * found.share > 0)[0]
    middles = found.cells.middles[some]
    away = np.linalg.norm(middles - np.array(region.centroid), axis=1)
    return _point(view.flat(middles[int(away.argmin())]))


def _dot(at: Point, half: float) -> tuple[Point, Point]:
    return (at[0] - half, at[1] - half), (at[0] + half, at[1] + half)


def spoken(at: Vec3) -> str:
    """Return a place in the words of the loft.

    >>> spoken((1200.0, -30.04, 700.0))
    'STA 1200.0, BL 30.0 left, WL 700.0'
    """
    hand = " right" if at[1] > 0.05 else " left" if at[1] < -0.05 else ""
    return f"STA {at[0]:.1f}, BL {abs(at[1]):.1f}{hand}, WL {at[2]:.1f}"


def _point(p: Floats) -> Point:
    return (float(p[0]), float(p[1]))
