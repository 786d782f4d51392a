"""Compare two states of a machine: parameters, figures, shapes, hand-off files, an overlay."""

import json
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from geomgen.comparison.cut_parts import CutPart, Product, compared, inferred, ordered
from geomgen.comparison.drawing_changes import DrawingChange, drawing_change
from geomgen.comparison.figure_changes import figure_changes
from geomgen.comparison.parameter_changes import ParameterChange, parameter_changes
from geomgen.comparison.shape_changes import PartChange, shape_changes
from geomgen.errors import ParameterError
from geomgen.parameters import fingerprint, load
from geomgen.regeneration.store import Store
from geomgen.workflows.building.outcome import reason_of
from geomgen.workflows.comparing.result import ComparisonResult, SideInfo
from geomgen.workflows.comparing.sides import Side, checked_input, side_of

if TYPE_CHECKING:
    from geomgen.drafting.paper.sheet import Sheet

Progress = Callable[[str], None]
RESULT = "comparison.json"


def compare(
    a: str | Path,
    b: str | Path | None = None,
    out: str | Path = "out",
    progress: Progress | None = None,
    overrides: Sequence[str] = (),
    draw: bool = True,
    store: Store | None = None,
) -> ComparisonResult:
    """Compare a former state `a` with a new one `b`, each a parameter file or a folder of ours.

    Without `b`, `a` is a parameter file and the former state is the set of its name in `out`.
    `overrides` are laid over the new state's parameter file. A file whose set is not in `out` is
    built into a folder of its own that is cleared away; `out` is never touched. ParameterError for
    what is neither file nor folder of ours, FileWriteError for a set that is not complete,
    GeometryError for a file that can't be built.
    """
    started = time.perf_counter()
    say = progress or (lambda _: None)
    one, two = _named(Path(a), None if b is None else Path(b), Path(out), overrides)
    checked_input(one, ())
    checked_input(two, overrides)
    with tempfile.TemporaryDirectory(prefix="geomgen-") as spare:
        former = side_of(one, (), Path(out), Path(spare) / "former", say, store)
        shops = reason_of(former.folder) if former.handed_off else None
        new = side_of(two, overrides, Path(out), Path(spare) / "new", say, store, shops)
        if new.handed_off and not former.handed_off and one.is_file():
            place, reason = Path(spare) / "handed off", reason_of(new.folder)
            former = side_of(one, (), Path(out), place, say, store, reason)
        return _compared(former, new, say, draw, started)


def _named(a: Path, b: Path | None, out: Path, overrides: Sequence[str]) -> tuple[Path, Path]:
    if b is not None:
        return a, b
    if not a.is_file():
        raise ParameterError(
            "only a parameter file can be compared with its last build",
            file=a,
            written=str(a),
            advice="name two: the former state and the new one",
        )
    last = out / load(a, overrides).name
    if not last.is_dir():
        raise ParameterError(
            "there is no build of it to compare with",
            file=a,
            advice=f"build it into {out.name} first, or name two states",
        )
    return last, a


def _compared(
    former: Side, new: Side, say: Progress, draw: bool, started: float
) -> ComparisonResult:
    parameters = _parameters(former, new)
    figures = figure_changes(former.checks, new.checks)
    say("shapes")
    parts = shape_changes(former.states, new.states, say)
    cut, guessed, notes = _cut(former, new, parts, parameters, say)
    sheet = None
    if draw and any(part.differs for part in parts):
        say("overlay")
        sheet = _overlay(former, new, parts)
    return ComparisonResult(
        _info(former), _info(new), parameters, figures, parts, cut, guessed,
        (*former.findings, *(f for f in new.findings if f not in former.findings)), notes, sheet,
        time.perf_counter() - started,
    )  # fmt: skip


def _info(side: Side) -> SideInfo:
    p = side.parameters
    folder = "" if side.built else str(side.folder)
    return SideInfo(
        side.label, p.name, p.title, p.revision, fingerprint(p), folder, side.built,
        side.handed_off,
    )  # fmt: skip


def _parameters(former: Side, new: Side) -> tuple[ParameterChange, ...]:
    old, now = former.parameters, new.parameters
    tables = parameter_changes(old.plain(), now.plain(), former.written, new.written)
    points = [
        ParameterChange(
            f"aerofoil points of {name}",
            f"{len(old.aerofoils[name])} points",
            f"{len(now.aerofoils[name])} other points",
        )
        for name in now.aerofoils
        if name in old.aerofoils and old.aerofoils[name] != now.aerofoils[name]
    ]
    return (*tables, *points)


def _cut(
    former: Side,
    new: Side,
    parts: Sequence[PartChange],
    parameters: Sequence[ParameterChange],
    say: Progress,
) -> tuple[tuple[CutPart, ...], bool, tuple[str, ...]]:
    """Return the fate of all products, whether that of the shops' is inferred, and notes."""
    old, now = former.products, new.products
    judge = _Judge(former, new, parts, say)
    if former.handed_off and new.handed_off:
        return compared(old, now, judge.shape, judge.lines), False, ()
    plain_old, plain_now = (_parts_only(rows) for rows in (old, now))
    rows = compared(plain_old, plain_now, judge.shape, judge.lines)
    if not (former.handed_off or new.handed_off):
        return rows, False, ("neither side holds files for the shops",)
    holder, side = (old, former) if former.handed_off else (now, new)
    guessed = inferred(holder, parts, parameters)
    note = f"only {side.label} holds files for the shops: what becomes of them is inferred"
    return ordered([*rows, *guessed]), True, (note,)


def _parts_only(rows: dict[str, Product]) -> dict[str, Product]:
    return {name: product for name, product in rows.items() if not product.shop}


class _Judge:
    """Measures products of one name; finished parts were measured already."""

    def __init__(self, former: Side, new: Side, parts: Sequence[PartChange], say: Progress) -> None:
        self.former, self.new = former, new
        self.shapes = {part.part: part for part in parts}
        self.drawings: dict[str, DrawingChange] = {}
        self._measure(say)

    def shape(self, old: Product, now: Product) -> PartChange:
        """Return what was measured of two solids."""
        return self.shapes[now.name]

    def lines(self, old: Product, now: Product) -> DrawingChange:
        """Return what was measured of two drawings."""
        return self.drawings[now.name]

    def _measure(self, say: Progress) -> None:
        """Measure all products of the shops whose bytes differ, two at a time."""
        from geomgen.processes.worker_pool import answers

        old, now = self.former.products, self.new.products
        differ = [
            name
            for name, product in now.items()
            if product.shop and name in old and product.files != old[name].files
        ]
        solids = [name for name in differ if {old[name].what, now[name].what} == {"solid"}]
        before = {name: self.former.state(name) for name in solids}
        after = {name: self.new.state(name) for name in solids}
        self.shapes |= {c.part: c for c in shape_changes(before, after, say)}
        drawn = [name for name in differ if {old[name].what, now[name].what} == {"drawing"}]
        work = partial(_lines, self.former, self.new, old, now)
        for name, change in answers(work, drawn):
            say(f"outlines of {name}")
            self.drawings[name] = change


def _lines(
    former: Side, new: Side, old: Mapping[str, Product], now: Mapping[str, Product], name: str
) -> DrawingChange:
    before, after = former.drawing(old[name]), new.drawing(now[name])
    if before is None or after is None:
        return DrawingChange("texts")
    return drawing_change(before, after)


def _overlay(former: Side, new: Side, parts: Sequence[PartChange]) -> "Sheet":
    from geomgen.comparison.overlay import overlay

    old = {p.part: former.mesh(p.part) for p in parts if p.kind not in ("same", "added")}
    now = {p.part: new.mesh(p.part) for p in parts if p.kind != "removed"}
    wanted = new.parameters.drawings
    return overlay(old, now, parts, wanted.projection, wanted.sheet)


def write_comparison(
    result: ComparisonResult, out: str | Path = "out", progress: Progress | None = None
) -> Path:
    """Write `<name>.comparison` into `out`: the result as JSON, the overlay, a manifest.

    Returns the folder. FileWriteError when a file can't be written or does not prove right.
    """
    from geomgen.drafting.formats.every_format import write_drawing
    from geomgen.drafting.paper.title import Title
    from geomgen.files.disk import write_bytes
    from geomgen.files.manifest import file_entry, manifest, write_manifest
    from geomgen.files.output_set import output_set

    info = result.new
    name = f"{info.name}.comparison"
    with output_set(Path(out), name, progress or (lambda _: None)) as fresh:
        text = json.dumps(result.as_dict(), indent=1, ensure_ascii=True, allow_nan=False) + "\n"
        write_bytes(fresh / RESULT, text.encode("ascii"))
        entries: list[dict[str, Any]] = [file_entry(fresh, RESULT, "comparison")]
        if result.sheet is not None:
            title = Title(
                info.title, "overlay of former and new", info.revision,
                note=f"former: {result.former.label}; new: {info.label}",
                fingerprint=info.fingerprint[:12],
            )  # fmt: skip
            entries += write_drawing(fresh, result.sheet, title)
        whole = manifest(info.name, info.title, info.revision, info.fingerprint, entries)
        write_manifest(fresh, whole)
    return Path(out) / name
