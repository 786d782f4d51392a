"""Where the quick rule of integrating fails the adaptive one tells all moments, or nobody does."""

from math import pi

import pytest
from OCP.BRepBuilderAPI import BRepBuilderAPI_NurbsConvert
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import cylinder
from geomgen.kernel.solids import moments
from geomgen.kernel.solids.moments import body_moments, skin_moments

ROD = cylinder((10.0, 20.0, 30.0), (1.0, 0.0, 0.0), 4.0, 50.0)


class Off:
    """The kernel's integrals, some of them over another body."""

    def __init__(self, *rules):
        self.rules = rules

    def __getattr__(self, name):
        whole = getattr(BRepGProp, name)
        other = cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 4.0, 50.02)
        return (lambda shape, *rest: whole(other, *rest)) if name in self.rules else whole


def test_a_body_that_the_quick_rule_gets_wrong_has_its_moments_by_the_adaptive_one(monkeypatch):
    """Closed form of a cylinder; the quick rule is 4 parts in 10,000 off."""
    monkeypatch.setattr(moments, "BRepGProp", Off("VolumeProperties_s"))
    found, mass = body_moments(ROD), pi * 16.0 * 50.0
    assert found.size == pytest.approx(mass, rel=1e-9)
    assert found.centre == pytest.approx((35.0, 20.0, 30.0), abs=1e-6)
    assert found.spread[:3] == pytest.approx(
        (mass * 50.0**2 / 12, mass * 4.0, mass * 4.0), rel=1e-6
    )


def test_where_neither_agrees_nothing_is_told(monkeypatch):
    rules = Off("VolumeProperties_s", "VolumePropertiesGK_s")
    monkeypatch.setattr(moments, "BRepGProp", rules)
    with pytest.raises(GeometryError, match="two ways to integrate it differ"):
        body_moments(ROD)


def test_moments_of_a_ruled_half_cylinder():
    """Closed forms: V = pi r^2 h / 2, its centroid 4 r / (3 pi) up; its skin, face by face."""
    r, h = 10.0, 30.0
    half = BRepPrimAPI_MakeCylinder(r, h, pi).Shape()
    shape = BRepBuilderAPI_NurbsConvert(half, True).Shape()
    body, skin = body_moments(shape), skin_moments(shape)
    mass, up = pi * r * r * h / 2, 4 * r / (3 * pi)
    assert body.size == pytest.approx(mass, rel=1e-9)
    assert body.centre == pytest.approx((0.0, up, h / 2), abs=1e-6)
    xx, yy, zz = mass * r * r / 4, mass * (r * r / 4 - up * up), mass * h * h / 12
    assert body.spread == pytest.approx((xx, yy, zz, 0.0, 0.0, 0.0), rel=1e-6, abs=1.0)
    curved, flat, ends = pi * r * h, 2 * r * h, pi * r * r
    assert abs(skin.size - curved - flat - ends) <= skin.error
    high = (curved * 2 * r / pi + ends * up) / skin.size
    assert skin.centre == pytest.approx((0.0, high, h / 2), abs=1e-5)
