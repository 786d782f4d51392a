"""The firewall: area of the sheet, how well it fills the hull, slits, thickness, volume."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
from OCP.BRepIntCurveSurface import BRepIntCurveSurface_Inter
from OCP.BRepTools import BRepTools
from OCP.gp import gp_Dir, gp_Lin, gp_Pnt
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Shape
from scipy.spatial import cKDTree

from geomgen.kernel.boxes import loose_box
from geomgen.kernel.distance import Closest, closest, vertex
from geomgen.kernel.openings import Section, material, opening, points_in
from geomgen.kernel.plain import Model, Plane, Vec3
from geomgen.kernel.probing import edges_in
from geomgen.kernel.properties import face_area, volume
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement

SAMPLES = 400
OPEN_HULL = "the hull is not closed round the firewall's plane"
HULL = ("pod", "exit")


def firewall(model: Model) -> list[Measurement]:
    """Return all that is measured of the part `firewall`; nothing when there is none."""
    sheet, plane, seed = model.parts.get("firewall"), model.firewall_plane, model.firewall_seed
    if sheet is None or plane is None or seed is None:
        return []
    reach = _reach(model)
    faces = material(plane, seed, reach, sheet)
    body = volume(sheet)
    weight = Measurement(
        "firewall.volume", "firewall", "volume of sheet and flange", body.value, "mm3",
        "adaptive integration over the solid", body.error, place(seed),
    )  # fmt: skip
    if not faces:
        return [weight, *_missing(seed)]
    face = max(faces, key=lambda f: face_area(f).value)
    net, whole = face_area(face), face_area(_without_holes(face))
    holes = whole.value - net.value
    rows = [
        _record("firewall.area", "section of the sheet, holes taken out", net.value, "mm2",
                "section of the solid by its middle plane, integrated", net.error, place(seed)),
        _record("firewall.opening_area", "holes through the sheet", holes, "mm2",
                "outer outline of the section less the section", net.error + whole.error,
                place(seed)),
    ]  # fmt: skip
    clear = _clear(model, plane, seed)
    return [weight, *rows, *_fill(clear, seed, whole.value), _slit(clear, face, seed),
            _thickness(sheet, plane, face)]  # fmt: skip


def _record(
    id_: str, what: str, value: float | None, unit: str, method: str, bound: float | None, at: str
) -> Measurement:
    return Measurement(id_, "firewall", what, value, unit, method, bound, at)


def _missing(seed: Vec3) -> list[Measurement]:
    note = "the firewall's plane cuts through no sheet"
    return [
        Measurement(
            id_, "firewall", what, None, unit, "section by the firewall's plane",
            None, place(seed), note=note, broken=True,
        )
        for id_, what, unit in (
            ("firewall.area", "section of the sheet", "mm2"),
            ("firewall.edge_gap", "widest slit to the hull", "mm"),
            ("firewall.fill", "share of the hull's section that the sheet fills", "1"),
        )
    ]  # fmt: skip


def _reach(model: Model) -> float:
    box = loose_box(model.parts["pod"]) if "pod" in model.parts else None
    return 1e3 if box is None else max(box.size[1], box.size[2]) + 50.0


def _without_holes(face: TopoDS_Face) -> TopoDS_Face:
    return BRepBuilderAPI_MakeFace(BRepTools.OuterWire_s(face), True).Face()


def _clear(model: Model, plane: Plane, seed: Vec3) -> Section:
    """Return what the hull alone leaves open in the firewall's plane."""
    hull = [s for name, s in model.parts.items() if model.families.get(name) in HULL]
    return opening(plane, seed, _reach(model), hull)


def _fill(clear: Section, seed: Vec3, sheet: float) -> list[Measurement]:
    """Compare the sheet, holes counted in, with the hull's clear section in the same plane."""
    note = "" if clear.state == "open" else OPEN_HULL
    ratio = bound = None
    if clear.area is not None:
        ratio = sheet / clear.area
        bound = ratio * ((clear.error or 0.0) / clear.area + 1e-8)
    what = "share of the hull's clear section that the sheet fills"
    rows = (
        ("firewall.clear_section", "clear section of the hull", clear.area, "mm2", clear.error),
        ("firewall.fill", what, ratio, "1", bound),
    )
    return [
        Measurement(
            i, "firewall", w, v, u, "plane window cut with the hull only", b, place(seed),
            note=note, broken=clear.state != "open",
        )
        for i, w, v, u, b in rows
    ]  # fmt: skip


def _slit(clear: Section, face: TopoDS_Face, seed: Vec3) -> Measurement:
    """Return the widest gap between the sheet's edge and the hull, in the sheet's plane [mm]."""
    if clear.face is None:
        return replace(_missing(seed)[1], note=OPEN_HULL)
    hull = BRepTools.OuterWire_s(clear.face)
    walls = np.concatenate([_points(edge, 4 * SAMPLES) for edge in edges_in(hull)])
    gap, edge, share = -1.0, None, 0.0
    for rim in edges_in(BRepTools.OuterWire_s(face)):
        rough = cKDTree(walls).query(_points(rim, SAMPLES))[0]
        if rough.max() > gap:
            gap, edge, share = float(rough.max()), rim, int(rough.argmax()) / (SAMPLES - 1)
    if edge is None:
        return _missing(seed)[1]
    curve = BRepAdaptor_Curve(edge)
    a, b = curve.FirstParameter(), curve.LastParameter()

    def near(at: float) -> Closest:
        p = curve.Value(a + at * (b - a))
        return closest(vertex((p.X(), p.Y(), p.Z())), hull)

    step = 1.0 / (SAMPLES - 1)
    while step > 1e-5:
        tried = [min(max(share + k * step, 0.0), 1.0) for k in (-1, 0, 1)]
        share = max(tried, key=lambda at: near(at).distance)
        step /= 2
    found = near(share)
    return Measurement(
        "firewall.edge_gap", "firewall", "widest slit between sheet and hull", found.distance,
        "mm", "outline of the sheet against the hull's outline in the sheet's plane, sampled at "
        f"{SAMPLES} points of each edge, then exact about the widest", 1e-3,
        place(found.first), (found.first, found.second),
    )  # fmt: skip


def _points(edge: TopoDS_Edge, count: int) -> NDArray[np.float64]:
    """Return points (count, 3) spread evenly over the parameters of an edge."""
    curve = BRepAdaptor_Curve(edge)
    at = np.linspace(curve.FirstParameter(), curve.LastParameter(), count).tolist()
    return np.array([(p.X(), p.Y(), p.Z()) for p in map(curve.Value, at)])


def _thickness(sheet: TopoDS_Shape, plane: Plane, face: TopoDS_Face) -> Measurement:
    """Return the sheet's thickness [mm] along the normal at a point away from holes."""
    point = points_in(face)[0]
    line = gp_Lin(gp_Pnt(*point), gp_Dir(*plane.normal))
    search = BRepIntCurveSurface_Inter()
    search.Init(sheet, line, 1e-7)
    at = []
    while search.More():
        at.append(search.W())
        search.Next()
    ahead = [w for w in at if w >= 0]
    behind = [w for w in at if w <= 0]
    value = min(ahead) - max(behind) if ahead and behind else None
    return _record(
        "firewall.thickness", "thickness of the sheet", value, "mm",
        "line across the sheet at a point of its section", 1e-6, place(point),
    )  # fmt: skip
