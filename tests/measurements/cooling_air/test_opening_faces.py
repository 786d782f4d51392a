"""The faces of openings are found again by the areas that were measured (closed form: discs)."""

import math

import numpy as np
import pytest

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import cylinder, revolved
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis, Opening, Passage, Plane
from geomgen.kernel.solids.booleans import cut
from geomgen.measurements.cooling_air.opening_faces import opening_faces

MOUTH, WIDE = math.pi * 40.0**2, math.pi * 50.0**2


def funnel():
    """Return a model of a rod with a bore that widens from 40 to 50 mm of radius."""
    rod = cylinder((0, 0, 0), (1, 0, 0), 80.0, 200.0)
    bore = revolved(((0, 0), (0, 40.0), (200.0, 50.0), (200.0, 0)), Axis((0, 0, 0), (1, 0, 0)))
    solid = cut(rod, [bore], "funnel", "bore")

    def at(name, station):
        return Opening(name, Plane((station, 0, 0), (1, 0, 0)), (station, 0.0, 0.0), 120.0)

    passage = Passage("cheek", at("mouth", 0.001), (at("throat", 199.999),), (300.0, 0, 0))
    return Model(
        {"funnel": solid}, {"funnel": "scoop"}, passages=[passage], exits=[at("exit", 199.999)]
    )


def areas(model):
    from geomgen.measurements.cooling_air.opening import measure_on_solids, solids

    (passage,) = model.passages
    return [
        measure_on_solids(solids(model), where).area
        for where in (passage.mouth, passage.throats[0])
    ]


def test_each_figure_finds_its_face():
    model = funnel()
    small, large = areas(model)
    assert (small, large) == pytest.approx((MOUTH, WIDE), rel=1e-5)
    found = opening_faces(
        model,
        {
            "inlet.area": small,
            "inlet.area.cheek": small,
            "duct.throat_area.cheek": large,
            "exit.area": large,
            "firewall.area": 5.0,
        },
    )
    assert [face.id for face in found] == [
        "inlet.area.cheek",
        "duct.throat_area.cheek",
        "exit.area",
    ]
    assert [face.centroid[0] for face in found] == pytest.approx([0.001, 199.999, 199.999])
    for face, radius in zip(found, (40.0, 50.0, 50.0), strict=True):
        reach = np.linalg.norm(face.vertices[:, 1:], axis=1).max()
        assert reach == pytest.approx(radius, abs=1e-2)


def test_a_figure_of_other_solids_is_told():
    model = funnel()
    with pytest.raises(GeometryError, match=r"inlet\.area\.cheek"):
        opening_faces(model, {"inlet.area.cheek": MOUTH * 1.001})
