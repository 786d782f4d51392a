"""A scoop's outer shape as a full body: mouth closed by a plane, seat cut to the hull's skin."""

import numpy as np
from OCP.TopoDS import TopoDS_Shape, TopoDS_Solid
from scipy.interpolate import make_interp_spline

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.lofting.ducts import Rounded, lip, skin_through
from geomgen.kernel.lofting.sewing import free_edges_at, plane_face, sew, wire_of
from geomgen.kernel.solids.booleans import cut
from geomgen.parameters.records.aircraft import Parameters
from geomgen.shapes.hull import pod_body, pod_lines
from geomgen.shapes.scoop import course, cowl_rows, passage_rows

# A lip that is drawn in keeps at least this radius [mm].
LEAST_LIP = 0.05
# So many sections are taken for each of the scoop's own.
DENSE = 6


def scoop_body(p: Parameters, index: int, gap: float) -> TopoDS_Solid:
    """Return the scoop (the right-hand one) outside its skin, moved outward by `gap` [mm].

    The plane of the mouth moves as well; the seat stays where the scoop meets the hull's skin.
    GeometryError when the lip or the corners are rounder than the skin allows.
    """
    s, pod = p.scoops[index], pod_lines(p)
    part = f"scoop {s.name}"
    c = course(p, pod, index)
    radius = s.lip_radius + gap
    if radius < LEAST_LIP:
        raise GeometryError(
            f"its lip has a radius of {s.lip_radius:.2f} mm and the skin takes {-gap:.2f} mm off",
            part=part,
            step="lip",
            look_at=[f"{c.key}.lip_radius", "handoff.laminate"],
        )
    rows = cowl_rows(p, index, c)
    cowl = rows if gap == 0.0 else _grown(rows, gap)
    throat = passage_rows(p, index, c, np.zeros(1))
    mouth = Rounded(
        np.array([c.mouth - gap]),
        throat.middle,
        throat.half_width,
        throat.half_height,
        throat.radius,
    )
    run = (cowl.x - cowl.x[0]) / (cowl.x[-1] - cowl.x[0])
    skin = skin_through(cowl, c.frame, run)
    front = mouth.grown(s.wall - s.lip_radius)
    nose = lip(front, mouth.grown(s.wall + gap), cowl.at(0), c.frame)
    ends = ((nose, float(front.x[0])), (skin, float(cowl.x[-1])))
    caps = [plane_face(x, wire_of(free_edges_at(tuple(faces), x))) for faces, x in ends]
    whole: list[TopoDS_Shape] = [*skin, *nose, *caps]
    raw = sew(whole, part)
    return cut(raw, [pod_body(pod, s.gap, loose_box(raw))], part, "seat on the hull")


def _grown(r: Rounded, gap: float) -> Rounded:
    """Return the sections grown along the normals: more in height where roof or floor slopes.

    The slope is that of the skin which is laid through the sections; as it may change fast between
    two of them, sections are taken from that skin so densely that the grown one follows.
    """
    run = np.linspace(r.x[0], r.x[-1], DENSE * (len(r.x) - 1) + 1)
    roof, floor = r.middle + r.half_height, r.middle - r.half_height
    lines = [make_interp_spline(r.x, line, k=3) for line in (roof, floor)]
    roof, floor = (
        line(run) + way * gap * np.sqrt(1 + line.derivative()(run) ** 2)
        for line, way in zip(lines, (1.0, -1.0), strict=True)
    )
    width, radius = (make_interp_spline(r.x, row, k=3)(run) for row in (r.half_width, r.radius))
    return Rounded(run, (roof + floor) / 2, width + gap, (roof - floor) / 2, radius + gap)
