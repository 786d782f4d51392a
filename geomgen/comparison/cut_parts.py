"""Which hand-off files, and so parts already cut from them, are no longer right."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from typing import Any, Literal, get_args

from geomgen.comparison.drawing_changes import DrawingChange
from geomgen.comparison.parameter_changes import ParameterChange
from geomgen.comparison.shape_changes import PartChange, in_order

Fate = Literal[
    "cut again",
    "withdrawn",
    "in doubt",
    "read again",
    "moved",
    "not told apart",
    "new",
    "title only",
    "no reason found",
    "right",
]
# What is worst comes first.
FATES: tuple[Fate, ...] = get_args(Fate)
WRONG: tuple[Fate, ...] = ("cut again", "withdrawn", "read again", "moved")
UNSURE: tuple[Fate, ...] = ("in doubt", "not told apart")
SHAPES, DRAWINGS = ("mesh", "solid"), ("drawing", "sheet", "tiles")
INFERRED = "inferred from what it depends on, its files were not made and compared"
# Tables that no shop's geometry hangs on once the finished parts are measured the same.
FREE = (
    *("name", "title", "revision", "rules", "flight", "cooling", "powerplant"),
    *("propeller", "spinner", "gear", "drawings", "handoff.paper"),
)
# The table of each shop's own wishes; a change there leaves the other shops alone.
OWN = {
    "mould_maker": "handoff.moulds",
    "foam_stations": "handoff.foam",
    "wing_cores": "handoff.cores",
    "sheet_shop": "handoff.sheet",
    "ply_shop": "handoff.ply",
}
SKINLESS = ("sheet_shop", "ply_shop")


@dataclass(frozen=True)
class Product:
    """What a shop works from: the files of one name in one folder, path to hash.

    `shop` is the folder, empty for the finished parts themselves. `what` is solid or drawing.
    `template` says that something is cut from the drawing; others are to be looked at.
    """

    name: str
    shop: str
    part: str
    hand: str
    note: str
    what: Literal["solid", "drawing"]
    files: Mapping[str, str] = field(default_factory=dict)
    template: bool = False


@dataclass(frozen=True)
class CutPart:
    """What became of a product: its fate, why, and which of its files are no longer right.

    `moved` [mm] is the largest distance measured between former and new outline or surface, known
    to `error` [mm]. `measured` False: the fate is an inference, not a comparison of files.
    """

    name: str
    shop: str
    part: str
    hand: str
    note: str
    fate: Fate
    files: tuple[str, ...] = ()
    why: str = ""
    moved: float | None = None
    error: float | None = None
    measured: bool = True

    def as_dict(self) -> dict[str, object]:
        """Return plain values for JSON."""
        return asdict(self)


def products(entries: Iterable[Mapping[str, Any]]) -> dict[str, Product]:
    """Return what the rows of a manifest hand to the shops, by folder and name.

    A row for a shop says which part it is `for`; drawings and models to be looked at do not.

    >>> row = {"file": "wing_cores/root_mm.dxf", "what": "drawing", "for": "wing", "sha256": "a"}
    >>> tiles = {**row, "file": "wing_cores/root_a4_tiles.pdf", "what": "tiles", "sha256": "b"}
    >>> made = products([row, tiles])["wing_cores/root"]
    >>> made.part, made.template, sorted(made.files)
    ('wing', True, ['wing_cores/root_a4_tiles.pdf', 'wing_cores/root_mm.dxf'])
    """
    rows: dict[str, list[Mapping[str, Any]]] = {}
    for entry in entries:
        part = entry["what"] in SHAPES and "/" not in str(entry["file"])
        if part or ("for" in entry and entry["what"] in (*SHAPES, *DRAWINGS)):
            rows.setdefault(_name(str(entry["file"])), []).append(entry)
    return {name: _product(name, group) for name, group in rows.items()}


def _name(file: str) -> str:
    stem = file.rpartition(".")[0]
    for tail in ("_a4_tiles", "_letter_tiles", "_mm"):
        stem = stem.removesuffix(tail)
    return stem


def _product(name: str, rows: list[Mapping[str, Any]]) -> Product:
    first = rows[0]
    shop, _, _ = name.rpartition("/")
    solid = first["what"] in SHAPES
    return Product(
        name,
        shop,
        str(first.get("for") or first.get("part") or ""),
        str(first.get("hand") or ""),
        str(first.get("note") or ""),
        "solid" if solid else "drawing",
        {str(row["file"]): str(row["sha256"]) for row in rows},
        any(row.get("full_size") or row["what"] == "tiles" for row in rows),
    )


Shape = Callable[[Product, Product], PartChange]
Lines = Callable[[Product, Product], DrawingChange]


def compared(
    former: Mapping[str, Product], new: Mapping[str, Product], shape: Shape, lines: Lines
) -> tuple[CutPart, ...]:
    """Return the fate of each product of two sets, from their own files: the worst first.

    `shape` measures two solids, `lines` two drawings; they are asked only where bytes differ.
    """
    found = []
    for name in in_order(former, new):
        old, now = former.get(name), new.get(name)
        if old is None and now is not None:
            found.append(_cut(now, "new", (), "it was not handed off before"))
        elif now is None and old is not None:
            files = tuple(old.files)
            found.append(_cut(old, "withdrawn", files, "the new set does not hand it off"))
        elif old is not None and now is not None:
            found.append(_compared(old, now, shape, lines))
    return ordered(found)


def ordered(rows: Iterable[CutPart]) -> tuple[CutPart, ...]:
    """Return rows with the worst fate first, the largest move first within one fate."""
    return tuple(sorted(rows, key=lambda row: (FATES.index(row.fate), -(row.moved or 0.0))))


def _cut(
    product: Product,
    fate: Fate,
    files: tuple[str, ...],
    why: str,
    moved: float | None = None,
    error: float | None = None,
    measured: bool = True,
) -> CutPart:
    p = product
    return CutPart(p.name, p.shop, p.part, p.hand, p.note, fate, files, why, moved, error, measured)


def _compared(old: Product, now: Product, shape: Shape, lines: Lines) -> CutPart:
    differ = tuple(path for path in old.files if now.files.get(path) != old.files[path])
    if not differ:
        return _cut(now, "right", (), "the same bytes")
    if now.what != old.what:
        return _cut(now, "cut again", differ, f"it was a {old.what}, it is a {now.what}")
    if now.what == "solid":
        return _solid(now, differ, shape(old, now))
    return _drawing(old, now, differ, lines(old, now))


def _solid(now: Product, differ: tuple[str, ...], change: PartChange) -> CutPart:
    moved, error = change.distance, change.error
    if change.kind == "same":
        return _cut(now, "right", (), "the same solid, meshed anew", 0.0, 0.0)
    if change.kind == "moved":
        return _cut(now, "moved", differ, "its shape stayed, it stands elsewhere", moved, error)
    if change.kind == "not told apart":
        why = "its file differs, but no difference of shape could be measured"
        return _cut(now, "not told apart", differ, why, moved, error)
    return _cut(now, "cut again", differ, "its shape changed", moved, error)


def _drawing(old: Product, now: Product, differ: tuple[str, ...], change: DrawingChange) -> CutPart:
    if change.kind == "title only":
        if old.note != now.note:
            return _cut(now, "read again", differ, f"its note is now: {now.note}")
        why = "the same outlines and texts; its title or its pages differ"
        return _cut(now, "title only", differ, why, 0.0, 0.0)
    if change.kind == "texts":
        why = "the same outlines to cut; texts or lines to read differ"
        return _cut(now, "read again", differ, why, 0.0, 0.0)
    if not now.template:
        return _cut(now, "read again", differ, "what it shows changed")
    moved = None if change.moved == float("inf") else change.moved
    return _cut(now, "cut again", differ, "its outlines changed", moved, change.error)


def inferred(
    known: Mapping[str, Product],
    parts: Sequence[PartChange],
    parameters: Sequence[ParameterChange],
) -> tuple[CutPart, ...]:
    """Return the fate of each shop's product where the other side has none to compare it with.

    Inferred from its part's shape and from the keys that differ; what might not be right is in
    doubt, and nothing is called right.
    """
    changes = {change.part: change for change in parts}
    found = []
    for product in known.values():
        if not product.shop:
            continue
        own = [c for c in of_part(product.part, changes) if c.reshaped]
        keys = [c.key for c in parameters if concerns(product.shop, c.key)]
        if own:
            worst = max(own, key=lambda c: c.distance or 0.0)
            why = f"the shape of {worst.part} differs"
            row = _cut(product, "in doubt", tuple(product.files), why, worst.distance, worst.error)
        elif keys:
            more = f" and {len(keys) - 3} more" if len(keys) > 3 else ""
            why = f"differs: {', '.join(keys[:3])}{more}"
            row = _cut(product, "in doubt", tuple(product.files), why)
        else:
            row = _cut(product, "no reason found", (), "nothing that it depends on differs")
        found.append(_as_inferred(row))
    return ordered(found)


def _as_inferred(row: CutPart) -> CutPart:
    return CutPart(**{**asdict(row), "why": f"{row.why}; {INFERRED}", "measured": False})


def of_part(part: str, changes: Mapping[str, PartChange]) -> list[PartChange]:
    """Return the changes of the solids that a product is made for; all, where none is known.

    >>> rows = {n: PartChange(n, "same") for n in ("wing", "scoop_cheek_left", "scoop_chin")}
    >>> [c.part for c in of_part("scoop_cheek", rows)], [c.part for c in of_part("wing_tip", rows)]
    (['scoop_cheek_left'], ['wing'])
    >>> apart = {n: PartChange(n, "same") for n in ("wing_centre", "wing_outer_left", "pod")}
    >>> [c.part for c in of_part("wing_tip", apart)]
    ['wing_centre', 'wing_outer_left']
    """
    # A wing may be in several parts, named after it.
    wing = part in ("wing", "wing_tip")
    names = (part, f"{part}_left", f"{part}_right")
    found = [
        change
        for name, change in changes.items()
        if name in names or (wing and (name == "wing" or name.startswith("wing_")))
    ]
    if part.startswith("scoop") and "pod" in changes:
        # A scoop ends on the pod's skin.
        found.append(changes["pod"])
    if part == "pod" and "exit" in changes:
        found.append(changes["exit"])
    return found or list(changes.values())


def concerns(shop: str, key: str) -> bool:
    """Say whether a shop's geometry may hang on a key, as far as that can't be ruled out.

    >>> concerns("wing_cores", "handoff.cores.kerf"), concerns("wing_cores", "handoff.foam.slab")
    (True, False)
    >>> concerns("sheet_shop", "flight.climb_speed"), concerns("sheet_shop", "joints[1].gap")
    (False, True)
    """
    free = [*FREE, *(table for name, table in OWN.items() if name != shop)]
    if shop in SKINLESS:
        free.append("handoff.laminate")
    return not any(key == t or key.startswith((f"{t}.", f"{t}[")) for t in free)
