"""The canopy's opening in a cylinder at full size: its dimensions and lengths by closed forms."""

import re

import numpy as np
import pytest
from scipy.integrate import quad
from shops.moulds.plain_moulds import RADIUS, cylinder_pod, with_mould

from geomgen.drafting.clashes import clashes
from geomgen.drafting.formats.dxf.writing import write_dxf
from geomgen.drafting.paper.title import Title
from geomgen.kernel.plain import Glass
from geomgen.shops.moulds.cutouts import sides_of
from geomgen.shops.moulds.skin import Bounds, moulded
from geomgen.shops.moulds.split import halves
from geomgen.shops.skin_lines.curves import lines_on
from geomgen.shops.skin_lines.opening_sheet import canopy_sheets
from geomgen.shops.skin_lines.planes import canopy_planes

EDGE = Glass(100.0, 400.0, 20.0, 60.0)


def lines(saltmarsh, edge, split):
    p, mould = with_mould(cylinder_pod(saltmarsh), split=split)
    sides = sides_of([moulded(q, Bounds()) for q in halves(p, mould, 0.0)])
    return [lines_on(side, canopy_planes(edge)) for side in sides]


@pytest.mark.parametrize(
    "split", ["centre plane", pytest.param("maximum breadth", marks=pytest.mark.long)]
)
def test_the_opening_has_its_sizes_however_the_mould_is_split(saltmarsh, split, tmp_path):
    (sheet,) = canopy_sheets("pod", lines(saltmarsh, EDGE, split))
    assert sheet.full_size
    assert not clashes(sheet.drawing)
    write_dxf(tmp_path / "sheet.dxf", sheet.drawing, Title("a", "pod", "A"))
    wide = [2 * np.sqrt(RADIUS**2 - z**2) for z in (20.0, 60.0)]
    measured = [one.measured for one in sheet.drawing.dimensions]
    assert measured == pytest.approx([300.0, RADIUS - 20.0, RADIUS - 60.0, *wide], abs=0.02)

    def rate(x):
        z, slope = EDGE.sill(x), 40.0 / 300.0
        return np.sqrt(1 + slope**2 + (z * slope) ** 2 / (RADIUS**2 - z**2))

    said = [float(v) for v in re.findall(r"([\d.]+) mm", sheet.drawing.notes[0])]
    wanted = [2 * RADIUS * np.arccos(z / RADIUS) for z in (20.0, 60.0)]
    assert said == pytest.approx([*wanted, quad(rate, 100.0, 400.0)[0]], abs=0.3)
    assert "WL 20.0 at STA 100.0, WL 60.0 at STA 400.0" in sheet.drawing.notes[1]


def test_a_canopy_that_misses_the_skin_has_no_sheet(saltmarsh):
    assert canopy_sheets("pod", lines(saltmarsh, Glass(100, 400, 120, 160), "centre plane")) == []
