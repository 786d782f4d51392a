"""What stands beside the shops' folders: the cut / don't-cut sheet and the parts list."""

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from geomgen.pages import gate_sheet, parts_list
from geomgen.pages.rows import family_of, part_rows, put_in
from geomgen.pages.totals import ClothLayer, totals
from geomgen.parameters import Parameters, fingerprint
from geomgen.parameters.records.pilot import GLAZED
from geomgen.parameters.records.structure.wing import wing_joint_names
from geomgen.parameters.values.materials import MATERIALS
from geomgen.verdicts.check import Check
from geomgen.workflows.building.build import write_texts
from geomgen.workflows.building.kinds import LIST, SHEET

if TYPE_CHECKING:
    from geomgen.kernel.model import Model
    from geomgen.measurements.record import Measurement
    from geomgen.shops.product import Item

TREATMENTS = {
    "plug_outside": "plug, outside size: no skin taken off; a female mould is taken from it",
    "core_minus_skin": "core: smaller than the part by the skin",
    "male_mould": "male mould: the skin's inner face",
}


def write_sheets(
    fresh: Path,
    p: Parameters,
    model: "Model",
    checks: Sequence[Check],
    findings: Sequence[Check],
    items: "Sequence[Item]",
    entries: list[dict[str, Any]],
    reason: str,
    measured: "Sequence[Measurement]" = (),
) -> None:
    """Write sheet and list, JSON and PDF, then the texts and the manifest of the whole set."""
    from geomgen.balance.masses.to_weigh import to_weigh
    from geomgen.documents.pdf import write_page
    from geomgen.drafting.own_lengths import lengths_on_paper
    from geomgen.files.disk import write_bytes
    from geomgen.files.manifest import file_entry
    from geomgen.workflows.handing_off.shop_files import both_units, title_of

    inches = both_units(p)
    head = {
        "name": p.name,
        "title": p.title,
        "revision": p.revision,
        "parameters_sha256": fingerprint(p),
    }
    parts = part_rows(entries, treatments(p))
    hashes = {str(entry["file"]): str(entry["sha256"]) for entry in entries}
    weights = [piece.as_dict() for piece in to_weigh(p, measured)]
    sheet = gate_sheet.content(
        head, checks, findings, parts, hashes, reason, model.notices, weights
    )
    text = json.dumps(sheet, indent=1, ensure_ascii=True, allow_nan=False) + "\n"
    write_bytes(fresh / f"{SHEET}.json", text.encode("ascii"))
    title = title_of(p, "the whole set", "", "", reason)
    with lengths_on_paper(inches):
        write_page(fresh / f"{SHEET}.pdf", title, gate_sheet.blocks(sheet, checks, findings))
    table = parts_list.rows(parts, items, materials(p, [row.part for row in parts]))
    sums = totals(items, layers(p))
    with lengths_on_paper(inches):
        listed = [*table, *parts_list.total_rows(sums)]
        write_bytes(fresh / f"{LIST}.csv", parts_list.as_csv(listed, reason))
        blocks = parts_list.blocks(table, model.notices, sums, put_in(checks))
        write_page(fresh / f"{LIST}.pdf", title, blocks, landscape=True)
    for name, what in (
        (f"{SHEET}.json", "cut / don't-cut sheet"),
        (f"{SHEET}.pdf", "cut / don't-cut sheet"),
        (f"{LIST}.csv", "parts list"),
        (f"{LIST}.pdf", "parts list"),
    ):
        entries.append(file_entry(fresh, name, what))
    write_texts(fresh, p, checks, entries, model, measured=measured)


def layers(p: Parameters) -> list[ClothLayer]:
    """Return the cloths of the skin from the outside in; none where no laminate is described."""
    from geomgen.shops.laminate import resin_mass

    laminate = p.handoff.laminate if p.handoff else None
    if laminate is None:
        return []
    return [
        ClothLayer(
            ply.cloth,
            ply.count,
            ply.areal_weight,
            resin_mass(
                *(ply.areal_weight, laminate.fibre_density),
                *(ply.fibre_volume_fraction, laminate.resin_density),
            ),
        )
        for ply in laminate.plies
    ]


def materials(p: Parameters, parts: Sequence[str] = ()) -> dict[str, parts_list.Material]:
    """Return what finished parts are made of, by their names without hand, as far as is known.

    `parts` are the names of all of them: spars and ribs are told by [[mass]].
    """
    from geomgen.shops.ply_patterns.stock import joint_material, material_of

    envelope = parts_list.Material("none: an envelope to keep clear")
    bought = parts_list.Material("bought")
    found = {
        "firewall": parts_list.Material(
            f"{p.firewall.material}, {p.firewall.thickness:g} mm", p.firewall.density
        ),
        "engine": envelope,
        "prop_disc": envelope,
        "spinner": bought,
    }
    for frame in p.frames:
        words = f"{frame.material}, {frame.thickness:g} mm"
        found[f"frame_{frame.name}"] = parts_list.Material(words, frame.density)
    for stringer in p.stringers:
        words = f"{stringer.material}, {stringer.width:g} x {stringer.depth:g} mm"
        found[f"stringer_{stringer.name}"] = parts_list.Material(words, stringer.density)
    for part in parts:
        said = material_of(p, part) if part.startswith(("spar_", "rib_")) else None
        if said is not None:
            found[family_of(part)] = parts_list.Material(*said)
    for joint, names in ((s.wing_joint, wing_joint_names(s)) for s in p.spars if s.wing_joint):
        for name, metal in zip(names, (joint.material, joint.pin_material), strict=True):
            for part in (one for one in parts if one.startswith(f"{name}_")):
                found[family_of(part)] = parts_list.Material(*joint_material(p, part, metal))
    if p.canopy and p.canopy.built_as == GLAZED and p.canopy.material:
        words = f"{p.canopy.material}, {p.canopy.thickness:g} mm"
        found["canopy"] = parts_list.Material(words, MATERIALS[p.canopy.material].density)
    found |= {f"wheel_{wheel.name}": bought for wheel in (p.gear.wheels if p.gear else ())}
    return found


def treatments(p: Parameters) -> dict[str, str]:
    """Return what is done about the skin, by the part's name without its hand."""
    found: dict[str, str] = {}
    for mould in p.handoff.moulds if p.handoff else ():
        # Of a wing in several parts, inner and outer panels, the outer ones have the tips.
        parts = ("wing", "wing_outer") if mould.part == "wing_tip" else (mould.part,)
        words = TREATMENTS[mould.treatment]
        if mould.part == "wing_tip":
            words = f"tips moulded ({words})"
        if mould.stock:
            words += f", {mould.stock:g} mm left on for machining"
        found |= dict.fromkeys(parts, words)
    return found
