"""Details of a riveted flange on the sheet shop's drawing: in section, and along a lap."""

import math

import numpy as np

from geomgen.drafting.record import CENTRE, SECTION, Drawing, Path, Point, line
from geomgen.shops.sheet_metal.drawing.details import (
    LETTERS,
    aside,
    bend_dimensions,
    detail_scale,
    dimension,
    scale_words,
    titled,
)
from geomgen.shops.sheet_metal.flat_pattern.fold import rolled
from geomgen.shops.sheet_metal.flat_pattern.pattern import Tab
from geomgen.shops.sheet_metal.ring.joggle import joggle_of
from geomgen.shops.sheet_metal.ring.rivet_line import root_radius
from geomgen.shops.sheet_metal.ring.segments import RingFlange


def assembly_detail(ring: RingFlange, tab: Tab, over: float, room: float = 1.0) -> Drawing:
    """Return sheet and ring in section, as on the bench, aft up, for a sheet at 1:`over` [1]."""
    up = 1.0 if ring.flat.sheet.frame.toward > 0 else -1.0
    bending, wish = ring.whole.bending, ring.wish
    setback, thick = bending.setback(tab.angle), bending.thickness
    allowance = bending.allowance(tab.angle)
    scale = detail_scale(max(tab.width, wish.width), 48.0 * room)
    times, height = scale * over, LETTERS * over
    flat = np.array([setback - wish.width, 0.0, allowance, tab.flat + allowance / 2])
    outer, inner = (
        [
            (float(x) * times, up * float(y) * times)
            for x, y in zip(*rolled(flat, tab.angle, bending, depth), strict=True)
        ]
        for depth in (0.0, thick)
    )
    bulge = up * math.tan(math.radians(tab.angle) / 4)
    leg = Path(
        (*outer, *inner[::-1]), (0.0, bulge, 0.0, 0.0, 0.0, -bulge, 0.0, 0.0), True, SECTION, "ring"
    )
    left, rim, low = outer[0][0] - 0.4 * wish.width * times, setback * times, -up * thick * times
    sheet = Path(((left, 0.0), (left, low), (rim, low), (rim, 0.0)), (), True, SECTION, "sheet")
    at = (setback - wish.width + wish.edge) * times
    reach = up * thick * times + 1.5 * up * height
    axis = line((at, -reach), (at, reach), CENTRE, "rivet")
    plain = {"height": height, "decimals": 2, "enlarged": times}
    right = max(x for x, _ in outer)
    mould, top = (rim, 0.0), up * thick * times
    # Over the figure of the radius, and below that of the angle.
    over_it, below = top + 5.0 * up * height, -top - 5.4 * up * height
    dims = (
        dimension(mould, outer[3], aside(mould, outer[3], up * 3 * height), up * tab.angle, plain,
                  "outside"),
        dimension(mould, outer[3], (right + 8 * height, outer[3][1] / 2), 90.0, plain, "depth"),
        # Its figure, where it stands outside, is on the side away from the flange.
        dimension((outer[0][0], top), (at, top), (left, over_it), 0.0, plain, "rivet"),
        dimension((outer[0][0], low), (rim, low), (at, below), 0.0, plain, "width"),
        *bend_dimensions(bending, tab.angle, up, mould, plain),
    )  # fmt: skip
    made = Drawing("assembly", (leg, sheet, axis), (), dimensions=dims)
    title = (
        f"RING ON THE SHEET, ZONE {tab.zone} ({scale_words(scale)})",
        "aft is up; angle from flat, outside, depth, rivet, width",
    )
    return titled(made, title, height)


def joggle_detail(ring: RingFlange, over: float, room: float = 1.0) -> Drawing:
    """Return a lap in section along the rivets: sheet below, next segment, the tongue over it.

    It is for a sheet at 1:`over` [1].
    """
    assert ring.wish.lap is not None
    up = 1.0 if ring.flat.sheet.frame.toward > 0 else -1.0
    made, span, bending = joggle_of(ring.whole.bending), ring.spans[0], ring.whole.bending
    assert span.tip is not None
    assert span.lapped is not None
    thick = bending.thickness
    lifted = root_radius(bending) + made.run
    begin, tip = span.lapped - span.end, span.tip - span.end
    scale = detail_scale(tip + 12.0, 125.0 * room)
    times, height = scale * over, LETTERS * over
    turn = math.radians(made.angle)

    def at(x: float, y: float) -> Point:
        return x * times, up * y * times

    first = root_radius(bending)
    under, top = [], []
    for share in np.linspace(0.0, 1.0, 13).tolist():
        x, y = _s_curve(made.radius, turn, made.run, thick, share)
        under.append(at(first + x, y))
        top.append(at(first + x, y + thick))
    tongue = Path(
        (at(-8.0, 0.0), *under, at(tip, thick), at(tip, 2 * thick), *top[::-1], at(-8.0, thick)),
        (), True, SECTION, "tongue",
    )  # fmt: skip
    after = Path(
        (at(begin, 0.0), at(tip + 5.0, 0.0), at(tip + 5.0, thick), at(begin, thick)),
        (), True, SECTION, "next segment",
    )  # fmt: skip
    sheet = Path(
        (at(-8.0, 0.0), at(-8.0, -thick), at(tip + 5.0, -thick), at(tip + 5.0, 0.0)),
        (), True, SECTION, "sheet",
    )  # fmt: skip
    rivets = tuple(
        line(at(s - span.end, -thick - 1.0 / times), at(s - span.end, 2 * thick), CENTRE, "rivet")
        for s in span.shared
    )
    last = max(span.shared) - span.end
    plain = {"height": height, "decimals": 2, "enlarged": times}
    above, below = up * (2 * thick * times + 3 * height), -up * (thick * times + 3 * height)
    dims = (
        dimension(at(begin, thick), at(tip, 2 * thick), (at(begin, 0.0)[0], above), 0.0, plain,
                  "lap"),
        dimension(at(first, 0.0), at(lifted, thick), (0.0, below), 0.0, plain, "run"),
        dimension(at(last, 2 * thick), at(tip, 2 * thick), (at(last, 0.0)[0], 2 * above), 0.0,
                  plain, "rivet"),
        dimension(at(tip, 0.0), at(tip, thick), (at(tip + 5.0, 0.0)[0] + 3 * height, above), 90.0,
                  plain, "lift"),
    )  # fmt: skip
    drawing = Drawing("joggle", (tongue, after, sheet, *rivets), dimensions=dims)
    title = (f"LAP ALONG THE RIVETS ({scale_words(scale)})", "rivet from the end, lap, lift, run")
    return titled(drawing, title, height)


def _s_curve(radius: float, turn: float, run: float, step: float, share: float) -> Point:
    """Return a place on the rise of a joggle: two arcs and what is straight between them."""
    arc = (radius * math.sin(turn), radius * (1 - math.cos(turn)))
    if share <= 0.5:
        angle = turn * 2 * share
        return radius * math.sin(angle), radius * (1 - math.cos(angle))
    angle = turn * 2 * (1 - share)
    x, y = radius * math.sin(angle), radius * (1 - math.cos(angle))
    assert arc[0] <= run
    return run - x, step - y
