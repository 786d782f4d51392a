"""The page of a report, filled with what stands in the set."""

import base64
import struct
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from geomgen.pages.gate_sheet import CAUTIONS
from geomgen.pages.html_page import AirPage, Picture, ReportPage, ShownDrawing, html
from geomgen.pages.parts_list import made_of, rows
from geomgen.pages.rows import part_rows, put_in
from geomgen.pages.scene import PageScene
from geomgen.parameters import Parameters, as_toml, fingerprint
from geomgen.sizing.targets import targets
from geomgen.verdicts.check import Check
from geomgen.verdicts.wording import notices_of
from geomgen.workflows.building.kinds import PAGE
from geomgen.workflows.handing_off.sheets import materials, treatments
from geomgen.workflows.reporting.air_page import air_page
from geomgen.workflows.reporting.balance_page import balance_page

Entry = dict[str, Any]
# The pictures that stand in the page, the best first; the rest lie beside it.
SHOWN = {
    "three_quarter_front": "From ahead, right and above",
    "engine_bay": "The engine bay, cut along the thrust line",
    "three_quarter_rear": "From behind, left and above",
    "inside": "Through the skins: frames, stringers, spars and ribs; geometry, not strength: have "
    "them designed and checked by someone qualified",
}
PRESSURES = {
    "pressure_climb_front": "Pressures in the climb, from ahead, left and above",
    "pressure_climb_below": "Pressures in the climb, from behind, left and below",
}
WIDE = "pilot_sight"
SIGHT = (
    "What the pilot sees from a point between the eyes, waterlines level, head still; the angles "
    "that are measured stand among the checks as sight. Not shown: panel, frames of the canopy, "
    "knees and hands, glare"
)
BARRED = "; the file says nothing of glass ([canopy]), so the pod bars the sight as drawn"


def write_page(
    fresh: Path,
    p: Parameters,
    scene: PageScene,
    checks: Sequence[Check],
    entries: Sequence[Entry],
    made_with: Mapping[str, str],
    reason: str = "",
    part_notices: Sequence[str] = (),
) -> list[Entry]:
    """Write report.html into a set whose other files are all written; return its entry.

    `part_notices` say what a builder has to know of how the parts came about.
    """
    from geomgen.files.disk import write_bytes
    from geomgen.files.manifest import file_entry
    from geomgen.workflows.reporting.scene import GIVE, places_of

    due, parts = targets(p), part_rows(entries, treatments(p))
    page = ReportPage(
        name=p.name,
        title=p.title,
        revision=p.revision,
        checks=tuple(checks),
        targets=due,
        scene=scene,
        places=places_of(scene, checks),
        shown_within=f"{GIVE + p.output.mesh_tolerance:g} mm of the solids",
        pictures=_pictures(fresh, p, entries),
        drawings=_drawings(fresh, entries),
        parts=made_of(rows(parts, (), materials(p, [row.part for row in parts]))),
        order=put_in(checks),
        cautions=CAUTIONS,
        notices=notices_of(due),
        fingerprint=fingerprint(p),
        versions=tuple(made_with.items()),
        parameters=as_toml(p),
        files=tuple((str(e["file"]), str(e["sha256"])) for e in entries),
        released=reason,
        part_notices=tuple(part_notices),
        balance=balance_page(fresh, p),
        air=_with_pictures(air_page(fresh), fresh, p, entries),
    )
    write_bytes(fresh / PAGE, html(page).encode("utf-8"))
    return [file_entry(fresh, PAGE, "report")]


def _pictures(fresh: Path, p: Parameters, entries: Sequence[Entry]) -> tuple[Picture, ...]:
    by_name = {Path(e["file"]).stem: fresh / e["file"] for e in entries if e["what"] == "picture"}
    captions = {**SHOWN, WIDE: SIGHT if p.canopy else SIGHT + BARRED}
    return tuple(
        _picture(by_name[name], caption, f"{caption}: {p.title}", name == WIDE)
        for name, caption in captions.items()
        if name in by_name
    )


def _with_pictures(
    air: AirPage | None, fresh: Path, p: Parameters, entries: Sequence[Entry]
) -> AirPage | None:
    """Return the section of the air with its pictures; the other states lie beside the page."""
    if air is None:
        return None
    by_name = {Path(e["file"]).stem: fresh / e["file"] for e in entries if e["what"] == "picture"}
    pictures = tuple(
        _picture(by_name[name], caption, f"{caption}: {p.title}", False)
        for name, caption in PRESSURES.items()
        if name in by_name
    )
    return replace(air, pictures=pictures)


def _picture(path: Path, caption: str, alt: str, wide: bool) -> Picture:
    data = path.read_bytes()
    # Width and height stand behind the signature and the head of the first chunk (PNG, W3C).
    across, high = struct.unpack(">II", data[16:24])
    return Picture(base64.b64encode(data).decode("ascii"), across, high, caption, alt, wide)


def _drawings(fresh: Path, entries: Sequence[Entry]) -> tuple[ShownDrawing, ...]:
    by_drawing: dict[str, list[Entry]] = {}
    for entry in entries:
        if entry["what"] == "report drawing":
            by_drawing.setdefault(str(entry["drawing"]), []).append(entry)
    return tuple(_shown(fresh, some) for some in by_drawing.values())


def _shown(fresh: Path, some: Sequence[Entry]) -> ShownDrawing:
    svg = next(e for e in some if str(e["file"]).endswith(".svg"))
    text = (fresh / svg["file"]).read_text("utf-8")
    caption = f"{svg['title']}, scale {svg['scale']} on {svg['sheet']}"
    files, name = tuple(str(e["file"]) for e in some), "-".join(str(svg["drawing"]).split())
    return ShownDrawing(text[text.index("<svg") :], caption, files, name)
