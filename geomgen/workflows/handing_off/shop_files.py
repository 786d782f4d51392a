"""A shop's part of the hand-off to disk: made, written and proved in a process of its own."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from geomgen.parameters import Parameters, fingerprint
from geomgen.parameters.records.shops import IN_BOTH
from geomgen.verdicts.check import Check

if TYPE_CHECKING:
    from geomgen.drafting.paper.sheet import Sheet
    from geomgen.drafting.paper.title import Title
    from geomgen.kernel.model import Model
    from geomgen.shops.product import Item, Package, ShopSheet, ShopSolid

Progress = Callable[[str], None]
Maker = Callable[[Parameters, "Model"], "Package"]


@dataclass(frozen=True)
class ShopFiles:
    """What a shop got: rows of the manifest, findings, items of the parts list."""

    entries: tuple[dict[str, Any], ...]
    findings: tuple[Check, ...]
    items: "tuple[Item, ...]"


def makers(p: Parameters) -> dict[str, Maker]:
    """Return what has to be made, by the words that progress shows."""
    h = p.handoff
    wanted: dict[str, Maker] = {}
    if h is None:
        return wanted
    if h.moulds:
        from geomgen.shops.draft.package import analysis_package
        from geomgen.shops.moulds.package import mould_package

        wanted["moulds"] = mould_package
        wanted["draft and fairness"] = analysis_package
    if h.foam:
        from geomgen.shops.foam.package import foam_package

        wanted["foam stations"] = foam_package
    if h.cores:
        from geomgen.shops.hotwire_cores.package import cores_package

        wanted["wing cores"] = cores_package
    if h.sheet:
        from geomgen.shops.sheet_metal.package import sheet_package

        wanted["firewall sheet"] = sheet_package
    if h.ply and (p.frames or p.stringers or p.ribs or p.spars):
        from geomgen.shops.ply_patterns.package import ply_package

        wanted["ply patterns"] = ply_package
    return wanted


def write_shops(
    fresh: Path, p: Parameters, model: "Model", reason: str, say: Progress
) -> list[ShopFiles]:
    """Make and write every shop's folder, two at a time; errors as for the writers."""
    from geomgen.processes.worker_pool import answers

    wanted = makers(p)
    found: dict[str, ShopFiles] = {}
    for name, answer in answers(partial(_made, fresh, p, model, reason), list(wanted)):
        say(f"made: {name}")
        found[name] = answer
    return [found[name] for name in wanted]


def _made(fresh: Path, p: Parameters, model: "Model", reason: str, name: str) -> ShopFiles:
    from geomgen.drafting.own_lengths import lengths_on_paper
    from geomgen.shops.stock import stock_findings

    with lengths_on_paper(both_units(p)):
        package = makers(p)[name](p, model)
        found = (*package.findings, *stock_findings(p, package))
        return _shop(fresh, p, replace(package, findings=found), reason)


def both_units(p: Parameters) -> bool:
    """Return whether papers tell lengths in inches first."""
    return p.handoff is not None and p.handoff.paper.lengths == IN_BOTH


def _shop(fresh: Path, p: Parameters, package: "Package", reason: str) -> ShopFiles:
    assert p.handoff is not None
    folder = fresh / package.shop
    folder.mkdir(exist_ok=True)
    entries: list[dict[str, Any]] = []
    for made in package.solids:
        entries += _solid(folder, p, made)
    for sheet in package.sheets:
        entries += _sheet(folder, p, sheet, reason)
        if sheet.full_size and package.shop in p.handoff.paper.tiles:
            entries.append(_tiles(folder, p, sheet, reason))
    for entry in entries:
        entry["file"] = f"{package.shop}/{entry['file']}"
    return ShopFiles(tuple(entries), package.findings, package.items)


def _solid(folder: Path, p: Parameters, made: "ShopSolid") -> list[dict[str, Any]]:
    from geomgen.files.manifest import marked_entry, step_entry, stl_entry
    from geomgen.files.parts import write_marked, write_part

    part = write_part(folder, made.name, made.solid, None, p.output.mesh_tolerance)
    more = {"for": made.part, "hand": made.hand, "note": made.note}
    written = [
        stl_entry(made.name, part.stl, part.figures),
        step_entry(made.name, part.step, part.figures),
    ]
    if made.marked:
        proof = write_marked(folder, made.marked_name, made.marked, p.output.mesh_tolerance)
        written.append(marked_entry(made.marked_name, proof))
    return [{**entry, **more} for entry in written]


def title_of(p: Parameters, part: str, hand: str, note: str, reason: str) -> "Title":
    """Return the title block of one of the set's drawings."""
    from geomgen.drafting.paper.title import Title

    return Title(
        project=p.title,
        part=part,
        revision=p.revision,
        hand=hand,
        note=note,
        fingerprint=fingerprint(p)[:12],
        reason=reason,
    )


def _sheet(folder: Path, p: Parameters, sheet: "ShopSheet", reason: str) -> list[dict[str, Any]]:
    """Write and prove a drawing as DXF at full size, and its sheet."""
    from geomgen.drafting.formats.dxf.writing import prove_dxf, write_dxf
    from geomgen.drafting.formats.pdf.pages import write_sheet
    from geomgen.drafting.formats.pdf.pages_proof import prove_sheet
    from geomgen.files.manifest import file_entry

    title = title_of(p, sheet.name, sheet.hand, sheet.note, reason)
    paper = _with_room(sheet.paper, title)
    dxf = write_dxf(folder / f"{sheet.name}_mm.dxf", paper.drawing, title, paper.over)
    prove_dxf(dxf, paper.drawing, title, paper.over)
    page = write_sheet(folder / f"{sheet.name}.pdf", paper, title)
    prove_sheet(page, paper, title)
    written = ((dxf, "drawing"), (page, "sheet"))
    return [{**file_entry(folder, path.name, what), **_told(sheet)} for path, what in written]


def _with_room(paper: "Sheet", title: "Title") -> "Sheet":
    """Return a sheet, or the next larger one if it can't hold the title: a reason may be long."""
    from geomgen.drafting.paper.frame import frame
    from geomgen.drafting.paper.sheet import SIZES
    from geomgen.errors import FileWriteError

    if paper.full_size:
        return paper
    sizes = list(SIZES)
    for size in sizes[sizes.index(paper.size) :]:
        larger = replace(paper, size=size)
        try:
            frame(larger, title)
        except FileWriteError:
            if size == sizes[-1]:
                raise
        else:
            break
    return larger


def _tiles(folder: Path, p: Parameters, sheet: "ShopSheet", reason: str) -> dict[str, Any]:
    from geomgen.drafting.formats.pdf.pages import write_tiles
    from geomgen.drafting.formats.pdf.pages_proof import prove_tiles
    from geomgen.files.manifest import file_entry

    assert p.handoff is not None
    paper = p.handoff.paper
    title = title_of(p, sheet.name, sheet.hand, sheet.note, reason)
    path = folder / f"{sheet.name}_{paper.size.lower()}_tiles.pdf"
    write_tiles(path, sheet.drawing, title, paper.size, paper.overlap)
    prove_tiles(path, sheet.drawing, title, paper.size, paper.overlap)
    return {**file_entry(folder, path.name, "tiles"), **_told(sheet)}


def _told(sheet: "ShopSheet") -> dict[str, Any]:
    told = {"for": sheet.part, "hand": sheet.hand, "unit": "mm", "note": sheet.note}
    return {**told, "full_size": sheet.full_size}
