"""The sheet of a half's draft: the view along its pull, views of the walls at fault, the key."""

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from geomgen.drafting.label_spots import Spots, about, along, without_texts
from geomgen.drafting.lettering import extent, width_of, wrapped
from geomgen.drafting.paper.choice import on_smallest
from geomgen.drafting.paper.sheet import LETTERS, Sheet, room
from geomgen.drafting.record import DIM, VISIBLE, Drawing, Label, Path, Point, line, rectangle
from geomgen.shops.draft.cells import DraftBody
from geomgen.shops.draft.hatching import StandingUndercut, cm2, hatched, spoken
from geomgen.shops.draft.undercut import Draft, Region
from geomgen.shops.draft.views import PITCH, DraftView, drawn, sides_of
from geomgen.shops.page_view import PageView, loft_word, step_for

# Gap between views and rows of the key, in heights of the letters.
GAP, ROW, BOX = 6.0, 2.4, 5.0
# Steps between the ticks of the scale [mm]; ticks are so many heights of letters apart at least.
# A page that leans more than this against the loft's axis has no scale on it.
STRAIGHT = 0.99999
STEPS, WIDE_TICK, HIGH_TICK = (5, 10, 20, 50, 100, 200, 500, 1000), 7.0, 2.0
# A piece smaller than this [mm2] is not pointed at.
SPOT = 10.0


@dataclass
class _Page:
    """What is drawn so far."""

    firm: list[Path] = field(default_factory=list)
    fine: list[Path] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)

    def drawing(self, name: str, notes: tuple[str, ...]) -> Drawing:
        paths = (*self.firm, *without_texts(self.fine, self.labels))
        return Drawing(name, paths, tuple(self.labels), notes)

    def copied(self) -> "_Page":
        return _Page([*self.firm], [*self.fine], [*self.labels])


def draft_sheet(
    name: str,
    body: DraftBody,
    found: Draft,
    half: str,
    patches: tuple[StandingUndercut, ...] = (),
    notes: tuple[str, ...] = (),
) -> Sheet:
    """Return the sheet of one half; GeometryError where none has room for it."""
    sides = sides_of(found)

    def lettered(over: int, size: str) -> Iterator[Drawing]:
        if not _fits_roughly(found, sides, over, size):
            return
        views, said = _views(body, found, sides, float(over), patches)
        for beside in (False, True):
            page = views.copied()
            _key(found, half, beside, LETTERS * over, [one.name for one in patches], said, page)
            yield page.drawing(name, (f"{half} half of the mould", *notes))

    turned = "third angle" if len(sides) > 1 else ""
    return on_smallest(lettered, name, ["handoff.moulds"], projection=turned)


def _fits_roughly(found: Draft, sides: list[PageView], over: float, size: str) -> bool:
    """Say whether the view along the pull alone has room on a sheet."""
    flat = sides[0].flat(found.cells.corners.reshape(-1, 3))
    return bool(np.all(np.ptp(flat, axis=0) < np.array(room(size)) * over))


def _views(
    body: DraftBody,
    found: Draft,
    sides: list[PageView],
    over: float,
    patches: tuple[StandingUndercut, ...],
) -> tuple[_Page, list[str]]:
    """Return all views with their scales, figures and letters, and what the letters mean."""
    text, page = LETTERS * over, _Page()
    main: tuple[Point, Point] = ((0.0, 0.0), (0.0, 0.0))
    views: list[tuple[PageView, DraftView]] = []
    for side in sides:
        extra = [(one.name, one.cells, one.share) for one in patches] if not views else []
        made = drawn(body, found, side, over, extra)
        if side.place == "middle":
            main = Drawing("", tuple(made.firm)).box()
            _scale(side, main, text, page)
        else:
            made = _moved(made, _shift(side.place, main, made, text))
        views.append((side, made))
        page.firm += made.firm
        page.fine += made.fine
    for side, made in views:
        (x0, _), (_, y1) = Drawing("", tuple(made.firm)).box()
        words = side.words + (", along its pull" if side.place == "middle" else "")
        page.labels.append(Label((x0, y1 + text), words, text))
    spots = Spots(page.firm, page.labels, text)
    said = _pointed(found, views, text, spots, page)
    for _, made in views:
        for level, points in made.levels.items():
            label = spots.take(along(points, f"{level:g} deg", 0.8 * text))
            if label is not None:
                page.labels.append(label)
    return page, said


def _shift(place: str, main: tuple[Point, Point], made: DraftView, text: float) -> Point:
    (x0, y0), (x1, y1) = Drawing("", tuple(made.firm)).box()
    (a0, b0), (a1, b1) = main
    if place == "above":
        return (0.0, b1 + GAP * text - y0)
    if place == "below":
        return (0.0, b0 - (GAP + 3) * text - y1)
    if place == "right":
        return (a1 + GAP * text - x0, 0.0)
    return (a0 - (GAP + 8) * text - x1, 0.0)


def _moved(made: DraftView, by: Point) -> DraftView:
    firm = list(Drawing("", tuple(made.firm)).moved(*by).paths)
    fine = list(Drawing("", tuple(made.fine)).moved(*by).paths)
    levels = {v: [(x + by[0], y + by[1]) for x, y in run] for v, run in made.levels.items()}
    return DraftView(firm, fine, levels, by)


def _scale(side: PageView, box: tuple[Point, Point], text: float, page: _Page) -> None:
    """Draw a scale below the view and one to its left, in the words of the loft."""
    low, high = box
    for axis, (a, b) in enumerate(((low[0], high[0]), (low[1], high[1]))):
        way = side.right if axis == 0 else side.up
        if np.abs(way).max() < STRAIGHT:
            continue
        longest = max((loft_word(way, round(end)) for end in (a, b)), key=len)
        least = (WIDE_TICK, HIGH_TICK)[axis] * text
        step = step_for(STEPS, least, longest if axis == 0 else "", text)
        base = (low[1] if axis == 0 else low[0]) - 1.5 * text
        page.firm.append(_tick(axis, base, a, b))
        for k in range(int(np.ceil(a / step)), int(np.floor(b / step)) + 1):
            page.firm.append(_tick(1 - axis, k * step, base - 0.6 * text, base))
            words = loft_word(way, k * step)
            at = (k * step, base - 2.0 * text) if axis == 0 else (base - text, k * step - text / 2)
            page.labels.append(Label(at, words, text, 0.0, "middle" if axis == 0 else "end"))


def _tick(axis: int, at: float, a: float, b: float) -> Path:
    return line((a, at), (b, at), DIM) if axis == 0 else line((at, a), (at, b), DIM)


def _pointed(
    found: Draft, views: list[tuple[PageView, DraftView]], text: float, spots: Spots, page: _Page
) -> list[str]:
    """Lead a letter to the largest piece of each kind, where it is seen; return what they mean."""
    said: list[str] = []
    for region, words in ((found.below_at, "below draft"), (found.undercut_at, "undercut")):
        if region is None or region.area < SPOT:
            continue
        side, made = views[-1] if len(views) > 1 else views[0]
        at = _nearest(found, region, words, side, made)
        letter = "AB"[len(said)]
        label = spots.take(about(at, letter, 1.4 * text))
        if label is None:
            continue
        middle = np.array([label.at[0], label.at[1] + 0.7 * text])
        way = np.array(at) - middle
        x, y = middle + 1.3 * text * way / np.hypot(*way)
        end = (float(x), float(y))
        dot = rectangle((at[0] - text / 5, at[1] - text / 5), (at[0] + text / 5, at[1] + text / 5),
                        DIM, "spot")  # fmt: skip
        page.firm += [line(at, end, DIM, "leader"), dot]
        page.labels.append(label)
        said.append(
            f"{letter}: largest piece {words}, {cm2(region.area)}, middle at "
            f"{spoken(region.centroid)}"
        )
    return said


def _nearest(found: Draft, region: Region, words: str, side: PageView, made: DraftView) -> Point:
    """Return the place on the page of the kind's cell that is nearest to the region's middle."""
    share = found.share_below if words == "below draft" else found.share_undercut
    seen = found.cells.normals.mean(axis=1) @ side.toward > 0
    some = np.nonzero((share * found.share > 0.5) & seen)[0]
    some = some if len(some) else np.nonzero(share * found.share > 0)[0]
    away = np.linalg.norm(found.cells.middles[some] - np.array(region.centroid), axis=1)
    x, y = side.flat(found.cells.middles[int(some[int(away.argmin())])])
    return (float(x) + made.shift[0], float(y) + made.shift[1])


def _key(
    found: Draft,
    half: str,
    beside: bool,
    text: float,
    others: list[str],
    said: list[str],
    page: _Page,
) -> None:
    low, high = extent(Drawing("", tuple(page.firm), tuple(page.labels)))
    x, top = (high[0] + 3 * text, high[1] - 3 * text) if beside else (low[0], low[1] - 3 * text)
    share = 100 / max(found.total, 1e-300)
    below = f"{cm2(found.below)} ({found.below * share:.2f} %)"
    held = f"{cm2(found.undercut)} ({found.undercut * share:.2f} %)"
    rows: list[tuple[tuple[int, ...], str]] = [
        ((1,), f"draft below {found.wanted_deg:g} deg: {below}"),
        ((1, -1), f"undercut: {held}"),
        *(((1, -1), name) for name in others),
        ((), f"releases: the rest of {cm2(found.total)}"),
    ]
    for i, (ways, words) in enumerate(rows):
        a, b = x, top - i * ROW * text
        c, d = a + BOX * text, b + 1.6 * text
        page.firm.append(rectangle((a, b), (c, d), VISIBLE, "key"))
        two = np.array([[(a, b), (c, b), (c, d)], [(a, b), (c, d), (a, d)]])
        page.firm += hatched(two, PITCH * text / LETTERS, ways, "key")
        page.labels.append(Label((c + text, b + 0.3 * text), words, text))
    told = [
        f"{half} half; lines of equal draft, the thick one at {found.wanted_deg:g} deg",
        *said,
    ]
    aside = x + (BOX + 4) * text + max(width_of(words, text) for _, words in rows)
    if beside:
        aside, top = x, top - len(rows) * ROW * text
        told = [part for words in told for part in wrapped(words, 24 * text, text)]
    for i, words in enumerate(told):
        page.labels.append(Label((aside, top + (0.3 - i * ROW) * text), words, text))
