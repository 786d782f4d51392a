"""The skin over a foam stack: where it is laid, its area. Closed forms."""

from types import SimpleNamespace

import numpy as np
import pytest

from geomgen.kernel.brep.primitives import cylinder
from geomgen.shops.foam.skin import laid_area, spans_to_lay


def asked(*moulds, rim=2000.0):
    handoff = SimpleNamespace(moulds=[SimpleNamespace(part=part) for part in moulds])
    return SimpleNamespace(handoff=handoff, exit=rim and SimpleNamespace(rim_station=rim))


@pytest.mark.parametrize(
    ("p", "spans"),
    [
        (asked("wing_tip"), ((100.0, 3000.0),)),
        (asked("pod"), ((2000.0, 3000.0),)),
        (asked("exit"), ((100.0, 2000.0),)),
        (asked("exit", "pod"), ()),
        (asked("pod", rim=None), ()),
        (asked("pod", rim=3500.0), ()),
        (asked("pod", rim=50.0), ((100.0, 3000.0),)),
        (SimpleNamespace(handoff=None, exit=None), ((100.0, 3000.0),)),
    ],
)
def test_a_mould_of_the_pod_lays_its_own_skin(p, spans):
    assert spans_to_lay(p, (100.0, 3000.0)) == spans


def test_flat_ends_are_no_skin():
    # The mantle of a cylinder, 2 pi r l.
    body = cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 100.0, 500.0)
    assert laid_area(body) == pytest.approx(2 * np.pi * 100.0 * 500.0)
