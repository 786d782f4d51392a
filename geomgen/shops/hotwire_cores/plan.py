"""The cores of one hand as they lie in the wing, seen from above: where templates stand, spans."""

from collections.abc import Sequence
from dataclasses import replace

from geomgen.drafting.dimension_lines import drawn, drawn_out
from geomgen.drafting.lettering import LINE, block_size, extent, wrapped
from geomgen.drafting.paper.choice import on_smallest
from geomgen.drafting.paper.sheet import Sheet
from geomgen.drafting.record import (
    HIDDEN,
    TEXT,
    VISIBLE,
    Dimension,
    Drawing,
    Label,
    Path,
    Point,
    joined,
)
from geomgen.drafting.tables import table
from geomgen.parameters.records.shops import Cores
from geomgen.shops.hotwire_cores.gaps import Gap
from geomgen.shops.hotwire_cores.pieces import CorePiece, RibPlace
from geomgen.shops.hotwire_cores.sections import CoreSection
from geomgen.shops.product import Hand, ShopSheet

LETTERS, ROW = 2.5, 7.0
# Lines of two dimensions meet in their common end, within this [mm].
TOUCH = 0.5
# Words in a gap: their angle [deg], share of the gap's sides.
UPRIGHT, SHARE = 90.0, 0.85
# The name of a rib: off its line, over the height of its letters; where along the chord [1].
NAME_OFF, NAME_AT = 0.5, 0.28
HEAD = ("no", "core", "BL from [mm]", "BL to [mm]", "across [mm]", "along LE [mm]",
        "along TE [mm]", "chords [mm]", "block [mm]")  # fmt: skip


def core_plan(
    pieces: Sequence[CorePiece], hand: Hand, shop: Cores, missing: Sequence[Gap] = ()
) -> ShopSheet:
    """Return the dimensioned plan of the cores of one hand on its sheet.

    What is to be done stands in the gaps between cores where any sheet has room for it.
    GeometryError when no sheet has room for the plan.
    """

    def told(sheet: Sheet) -> float:
        upright = (label.text for label in sheet.drawing.labels if label.angle == UPRIGHT)
        said = " ".join(upright)
        return sum(gap.told in said for gap in missing) / len(missing) if missing else 1.0

    paper = on_smallest(
        lambda over, _: [_drawing(pieces, hand, shop, float(over), missing)],
        "wing",
        ["handoff.cores.bow", "wing.sections"],
        told,
    )
    note = "where each template stands and how long each core is; look, don't measure"
    return ShopSheet(paper.drawing.name, "wing", paper, hand, note)


def _drawing(
    pieces: Sequence[CorePiece], hand: Hand, shop: Cores, over: float, missing: Sequence[Gap]
) -> Drawing:
    height, row = LETTERS * over, ROW * over
    top = max(_leading(piece.ends[i])[1] for piece in pieces for i in (0, 1))
    paths, labels, dims = [], [], []
    for number, piece in enumerate(pieces, 1):
        root, tip = piece.ends
        corners = (_leading(root), _leading(tip), _trailing(tip), _trailing(root))
        paths.append(Path(corners, (), True, VISIBLE, f"core {number}"))
        middle = (_between_ribs(piece), sum(y for _, y in corners) / 4)
        labels.append(Label(middle, f"{number}", height, 0.0, "middle", TEXT))
        a, b = _leading(root), _leading(tip)
        dims.append(
            Dimension(a, b, ((a[0] + b[0]) / 2, top + row), 0.0, height, name=f"across {number}")
        )
    # One that stands across two cores is drawn once.
    ribs = {rib.name: _rib(piece, rib, height) for piece in pieces for rib in piece.within}
    paths += [path for path, _ in ribs.values()]
    labels += [label for _, label in ribs.values()]
    dims = _in_rows(dims, row)
    high = max(one.at[1] for one in dims) + row
    labels += [label for gap in missing for label in _in_gap(gap, pieces, height)]
    first = pieces[0].ends[0]
    outermost = max(abs(piece.ends[1].buttock_line) for piece in pieces)
    last = next(p.ends[1] for p in pieces if abs(p.ends[1].buttock_line) == outermost)
    dims.append(Dimension(_leading(first), _leading(last), (0.0, high), 0.0, height, name="all"))
    made = Drawing("plan", tuple(paths), tuple(labels), dimensions=tuple(dims))
    (left, low), _ = extent(drawn_out(made))
    words = table(
        (left, low - row), _title(hand, shop), HEAD, _rows(pieces, missing), height
    ).drawing
    notes = (
        f"cores of the {hand} wing as they lie in it, seen from above, forward is up",
        "full-size templates: the files core_panel...; chords from LE to TE, root and tip",
    )
    return joined(f"core_plan_{hand}", (made, words), notes)


def _between_ribs(piece: CorePiece) -> float:
    """Return the middle [mm] of the widest stretch of a core that no rib's lines cross."""
    side = piece.panel.side
    ends = sorted(_leading(end)[0] for end in piece.ends)
    lines = sorted(side * at for rib in piece.within for at in (rib.low, rib.high))
    places = [ends[0], *(min(max(at, ends[0]), ends[1]) for at in lines), ends[1]]
    stretches = [(b - a, (a + b) / 2) for a, b in zip(places[::2], places[1::2], strict=True)]
    return max(stretches)[1]


def _rib(piece: CorePiece, rib: RibPlace, height: float) -> tuple[Path, Label]:
    """Return a rib in a core as seen from above, its name upright beside it."""
    side = piece.panel.side
    ends = [piece.panel.section(y) for y in (rib.low, rib.high)]
    corners = (*map(_leading, ends), *map(_trailing, ends[::-1]))
    path = Path(corners, (), True, HIDDEN, rib.name)
    beside = min(side * rib.low, side * rib.high) - NAME_OFF * height
    front, rear = _leading(ends[0])[1], _trailing(ends[0])[1]
    at = (beside, front + NAME_AT * (rear - front))
    return path, Label(at, rib.name, height, UPRIGHT, "middle", TEXT)


def _in_rows(dims: Sequence[Dimension], row: float) -> list[Dimension]:
    """Return dimensions so that no figure stands in another's line: short ones in rows above.

    A figure without room goes to the right of its line, so that the next one there lies lower.
    """
    taken: list[list[Point]] = []
    rows: dict[str, Dimension] = {}
    for one in sorted(dims, key=lambda d: -max(d.a[0], d.b[0])):
        ends = [x for x, _ in drawn(one).line.points]
        low, high = min(ends), max(ends)
        level = 0
        while level < len(taken) and any(
            low < b - TOUCH and a + TOUCH < high for a, b in taken[level]
        ):
            level += 1
        taken += [[]] * (level == len(taken))
        taken[level] = [*taken[level], (low, high)]
        rows[one.name] = replace(one, at=(one.at[0], one.at[1] + level * row))
    return [rows[one.name] for one in dims]


def _in_gap(gap: Gap, pieces: Sequence[CorePiece], height: float) -> list[Label]:
    """Return upright words in a gap: what is to be done, or less where there is no room for it."""
    ends = [end for piece in pieces for end in piece.ends]
    beside = sorted(
        ends, key=lambda end: min(abs(abs(end.buttock_line) - at) for at in (gap.low, gap.high))
    )[:2]
    front = min(_leading(end)[1] for end in beside)
    rear = max(_trailing(end)[1] for end in beside)
    middle = (1 if beside[0].buttock_line > 0 else -1) * (gap.low + gap.high) / 2
    for words in (gap.told, "no core"):
        lines = wrapped(words, SHARE * (front - rear), height)
        long, deep = block_size(lines, height)
        if deep <= SHARE * (gap.high - gap.low) and long <= SHARE * (front - rear):
            first = middle - deep / 2 + height
            return [
                Label(
                    (first + LINE * height * i, (front + rear) / 2),
                    *(line, height, UPRIGHT, "middle", TEXT),
                )
                for i, line in enumerate(lines)
            ]
    return []


def _title(hand: Hand, shop: Cores) -> str:
    bow = "no longest block given" if shop.bow is None else f"longest block (bow) {shop.bow:g} mm"
    return f"CORES, {hand.upper()} HAND; {bow}"


def _leading(section: CoreSection) -> Point:
    x, y, _ = section.nose
    return y, -x


def _trailing(section: CoreSection) -> Point:
    x, y, _ = section.tail
    return y, -x


def _rows(pieces: Sequence[CorePiece], missing: Sequence[Gap]) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = []
    for number, piece in enumerate(pieces, 1):
        (low, high), blank = piece.span, piece.blank
        rows.append(
            (
                f"{number}", piece.name, f"{low:.1f}", f"{high:.1f}", f"{high - low:.1f}",
                f"{blank.leading:.1f}", f"{blank.trailing:.1f}",
                " and ".join(f"{end.chord:.1f}" for end in piece.ends),
                " x ".join(f"{side:.0f}" for side in blank.size),
            )
        )  # fmt: skip
    return rows + [
        ("-", f"no core: {gap.what}", f"{gap.low:.1f}", f"{gap.high:.1f}",
         f"{gap.high - gap.low:.1f}", "", "", "", "fill by hand")
        for gap in missing
    ]  # fmt: skip
