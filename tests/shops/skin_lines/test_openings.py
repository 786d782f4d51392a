"""The edge of a hole in a finished tube, found and laid on the mould's half. Closed form."""

import numpy as np
import pytest
from shops.moulds.plain_moulds import RADIUS, SKIN, cylinder_pod, with_mould

from geomgen.kernel.brep.primitives import box
from geomgen.kernel.model import Model
from geomgen.kernel.solids.booleans import cut
from geomgen.shapes.hull import pod_body, pod_lines
from geomgen.shops.layout_lines import inside_parts
from geomgen.shops.moulds.cutouts import sides_of
from geomgen.shops.moulds.skin import Bounds, moulded
from geomgen.shops.moulds.split import halves
from geomgen.shops.skin_lines.curves import lines_finding, lines_on
from geomgen.shops.skin_lines.openings import opening_edges
from geomgen.shops.skin_lines.package import bare_faces

HOLE = box((300.0, 50.0, -20.0), (380.0, 300.0, 20.0))


@pytest.mark.parametrize(
    ("treatment", "skin"),
    [pytest.param("plug_outside", 0.0, marks=pytest.mark.long), ("core_minus_skin", SKIN)],
)
def test_the_hole_in_the_right_side_is_drawn_on_the_right_half_alone(saltmarsh, treatment, skin):
    p, mould = with_mould(cylinder_pod(saltmarsh), treatment=treatment)
    finished = cut(pod_body(pod_lines(p), 0.0), [HOLE], "pod", "hole")
    sides = sides_of([moulded(half, Bounds()) for half in halves(p, mould, -skin)])
    every = [face for side in sides for face in side.faces]
    over = Model(parts={"scoop_a": HOLE}, families={"scoop_a": "scoop"})
    near = inside_parts(over, (), ("scoop",))
    right, left = (
        opening_edges(finished, side.faces, bare_faces(side), every, skin, near) for side in sides
    )
    assert left == []
    assert {edge.name for edge in right} == {"opening for scoop_a"}
    found = lines_on(sides[0], [], (), right)
    (line,) = found.lines
    assert line.length == pytest.approx(
        160 + 4 * (RADIUS - skin) * np.arcsin(20 / RADIUS), rel=1e-3
    )
    assert lines_finding("pod", [found])[0].measured < 0.1
