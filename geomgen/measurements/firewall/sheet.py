"""The firewall: area of the sheet, how well it fills the hull, slits, thickness, volume."""

from collections.abc import Mapping, Sequence

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.planes import frame_round
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.model import Model
from geomgen.kernel.openings.window import OpenArea
from geomgen.kernel.plain import Plane, Vec3
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.solids.properties import Integral, volume
from geomgen.measurements.firewall.holes import holes_and_fittings
from geomgen.measurements.firewall.sections import METHOD, SeededPlane, SheetInPlane, cut, traced
from geomgen.measurements.firewall.thickness import thickness
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement

OPEN_HULL = "the hull is not closed round the firewall's plane"
HULL = ("pod", "exit")
# What may stand across a firewall, and opens the hull where it is cut out of it.
ACROSS = ("wing", "tailplane", "boom", "fin", "pylon")


def firewall(
    model: Model,
    bodies: Mapping[str, Body] | None = None,
    others: Mapping[str, Body] | None = None,
) -> list[Measurement]:
    """Return all that is measured of the part `firewall`; nothing when there is none.

    With the parts' meshes beside their solids in `bodies` it takes a tenth of the time. `others`
    may stand across the sheet: they are named where the hull is open because of them.
    """
    sheet, plane, seed = model.parts.get("firewall"), model.firewall_plane, model.firewall_seed
    if sheet is None or plane is None or seed is None:
        return []
    where = SeededPlane(plane, seed, _reach(model))
    hull = {name: s for name, s in model.parts.items() if model.families.get(name) in HULL}
    found, own = None, None
    if bodies is not None:
        own = bodies["firewall"]
        found = traced(where, own, [bodies[name] for name in hull])
    found = found or cut(where, sheet, hull)
    body = volume(sheet)
    weight = Measurement(
        "firewall.volume", "firewall", "volume of sheet and flange", body.value, "mm3",
        "adaptive integration over the solid", body.error, place(seed),
    )  # fmt: skip
    if found is None:
        return [weight, *_missing(seed)]
    frame = frame_round(plane, seed)
    leak = _why_open(model, plane, _through(frame, bodies or {}, list(hull), others or {}))
    sheet_, bound = found.sheet, found.sheet.net.error + found.sheet.whole.error
    return [weight, *_areas(found, seed), *_fill(found.clear, seed, sheet_.net, leak),
            *holes_and_fittings(sheet_.holes, model.fittings, plane, seed, bound),
            _slit(found, seed, leak),
            thickness(sheet, frame, sheet_.outline, sheet_.inside, own)]  # fmt: skip


def _record(
    id_: str, what: str, value: float | None, unit: str, method: str, bound: float | None, at: str
) -> Measurement:
    return Measurement(id_, "firewall", what, value, unit, method, bound, at)


def _missing(seed: Vec3) -> list[Measurement]:
    note = "the firewall's plane cuts through no sheet"
    rows = (
        ("firewall.area", "section of the sheet", "mm2"),
        ("firewall.edge_gap", "widest slit to the hull", "mm"),
        ("firewall.fill", "share of the hull's section that the sheet fills", "1"),
        ("firewall.open_holes", "holes in the sheet that no fitting closes", "mm2"),
        ("firewall.astray_fittings", "fittings that stand in no hole of the sheet", "1"),
    )
    return [_no_figure(seed, id_, what, unit, note) for id_, what, unit in rows]


def _no_figure(seed: Vec3, id_: str, what: str, unit: str, note: str) -> Measurement:
    return Measurement(
        id_, "firewall", what, None, unit, "section by the firewall's plane",
        None, place(seed), note=note, broken=True,
    )  # fmt: skip


def _reach(model: Model) -> float:
    box = loose_box(model.parts["pod"]) if "pod" in model.parts else None
    return 1e3 if box is None else max(box.size[1], box.size[2]) + 50.0


def _through(
    frame: Frame, bodies: Mapping[str, Body], hull: Sequence[str], others: Mapping[str, Body]
) -> list[str]:
    """Return which of the others reach into the hull in the firewall's plane."""
    rims = [_crossings(frame, bodies[name].mesh) for name in hull if name in bodies]
    inside = shapely.MultiLineString([line for rim in rims for line in rim]).convex_hull
    return [
        name
        for name, body in others.items()
        if np.any(shapely.intersects(inside, shapely.linestrings(_crossings(frame, body.mesh))))
    ]


def _crossings(frame: Frame, mesh: Mesh) -> Floats:
    """Return the lines (k, 2, 2) in which a mesh passes a plane, in its coordinates [mm]."""
    high = frame.height(mesh.corners.reshape(-1, 3)).reshape(-1, 3) >= 0.0
    corners = mesh.corners[high.any(axis=1) & ~high.all(axis=1)]
    tall = frame.height(corners.reshape(-1, 3)).reshape(-1, 3)
    # The corner that is alone on its side comes first: both lines to the others pass the plane.
    above = tall >= 0.0
    alone = np.where(above.sum(axis=1) == 1, above.argmax(axis=1), above.argmin(axis=1))
    order = (alone[:, None] + np.arange(3)) % 3
    tall = np.take_along_axis(tall, order, axis=1)
    corners = np.take_along_axis(corners, order[:, :, None], axis=1)
    share = tall[:, :1] / (tall[:, :1] - tall[:, 1:])
    passed = corners[:, :1] + share[:, :, None] * (corners[:, 1:] - corners[:, :1])
    return np.asarray(frame.flat(passed.reshape(-1, 3))).reshape(-1, 2, 2)


def _why_open(model: Model, plane: Plane, through: Sequence[str]) -> str:
    """Return what is said of a hull that is open there: parts through it, or else scoops over it.

    A scoop's mouth ahead of the sheet opens no hull that a wing does not open already.
    """
    if through:
        names = " and ".join(through)
        them = "passes" if len(through) == 1 else "pass"
        return (
            f"{OPEN_HULL}: {names} {them} through the firewall there; move firewall.station, or "
            f"what {them} through it"
        )

    def ahead(point: Vec3) -> bool:
        return (
            sum((c - o) * n for c, o, n in zip(point, plane.origin, plane.normal, strict=True)) < 0
        )

    over = [p.name for p in model.passages if ahead(p.mouth.seed) and not ahead(p.into_bay)]
    words = f"; {', '.join(over)}: the mouth stands ahead of it, the passage ends behind"
    return OPEN_HULL + words if over else OPEN_HULL


def _areas(found: SheetInPlane, seed: Vec3) -> list[Measurement]:
    net, whole = found.sheet.net, found.sheet.whole
    return [
        _record("firewall.area", "section of the sheet, holes taken out", net.value, "mm2",
                "section of the solid by its middle plane, integrated", net.error, place(seed)),
        _record("firewall.opening_area", "holes through the sheet", whole.value - net.value, "mm2",
                "outer outline of the section less the section", net.error + whole.error,
                place(seed)),
    ]  # fmt: skip


def _fill(clear: OpenArea, seed: Vec3, sheet: Integral, leak: str) -> list[Measurement]:
    """Compare the sheet, holes taken out, with the hull's clear section in the same plane."""
    note = "" if clear.state == "open" else leak
    ratio = bound = None
    if clear.area is not None:
        ratio = sheet.value / clear.area
        bound = ratio * ((clear.error or 0.0) / clear.area + sheet.error / sheet.value + 1e-8)
    what = "share of the hull's clear section that the sheet fills, all holes taken out"
    rows = (
        ("firewall.clear_section", "clear section of the hull", clear.area, "mm2", clear.error),
        ("firewall.fill", what, ratio, "1", bound),
    )
    return [
        Measurement(
            i, "firewall", w, v, u, "the hull alone in the firewall's plane", b, place(seed),
            note=note, broken=clear.state != "open",
        )
        for i, w, v, u, b in rows
    ]  # fmt: skip


def _slit(found: SheetInPlane, seed: Vec3, leak: str) -> Measurement:
    """Return the widest gap between the sheet's edge and the hull, in the sheet's plane [mm]."""
    slit, what = found.slit, "widest slit between sheet and hull"
    if slit is None:
        return _no_figure(seed, "firewall.edge_gap", "widest slit to the hull", "mm", leak)
    return Measurement(
        "firewall.edge_gap", "firewall", what, slit.distance, "mm", METHOD, found.slit_bound,
        place(slit.first), (slit.first, slit.second),
    )  # fmt: skip
