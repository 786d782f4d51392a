"""The pod's foam stack: skin taken off, volumes, holes, halves, and what is refused."""

from dataclasses import replace

import numpy as np
import pytest
from shapely import Polygon

from geomgen.drawings.record import CUT, REF
from geomgen.errors import GeometryError
from geomgen.handoff.foam import core_body, cut_slabs, foam_package, stations
from geomgen.handoff.foam_holes import Pair, pairs
from geomgen.handoff.foam_sections import strips
from geomgen.handoff.foam_sheet import Face, halved, slab_drawing
from geomgen.handoff.laminate import thickness
from geomgen.kernel.plain import Model
from geomgen.kernel.properties import volume
from geomgen.shapes.hull import exit_rim, hull, pod_lines


@pytest.fixture(scope="module")
def small_model(saltmarsh):
    pod = pod_lines(saltmarsh)
    pieces = [hull(saltmarsh, pod), exit_rim(saltmarsh, pod)]
    return Model(parts={piece.name: piece.solid for piece in pieces})


@pytest.fixture(scope="module")
def package(saltmarsh, small_model):
    return foam_package(saltmarsh, small_model)


def by_id(package):
    return {finding.id: finding for finding in package.findings}


def test_every_slab_has_a_sheet_and_an_item(package):
    slabs = [item for item in package.items if item.name.startswith("foam slab")]
    names = {sheet.name for sheet in package.sheets}
    # 3 m in steps of 50 mm.
    assert len(slabs) == 60
    assert all(item.files[0] in names for item in slabs)
    assert all(item.count == 2 for item in slabs)


def test_findings_of_the_example(package):
    found = by_id(package)
    assert found["foam.skin"].measured < 0.05
    assert found["foam.skin"].verdict == "pass"
    assert found["foam.stack"].verdict == "pass"
    assert found["foam.blank"].measured == 0


def test_slabs_add_up_to_the_core(saltmarsh):
    pod = pod_lines(saltmarsh)
    skin = thickness(saltmarsh.handoff.laminate)
    core = core_body(pod, skin)
    at = stations(saltmarsh, saltmarsh.handoff.foam, pod, skin)
    total = sum(slab.volume for slab in cut_slabs(strips(core), at, 0.0))
    # The kernel integrates the same body by another way.
    assert total == pytest.approx(volume(core).value, rel=1e-3)


def test_forgotten_skin_is_found(saltmarsh, small_model):
    """The templates are made for a laminate, the solid measured is grown by it once more."""
    h = saltmarsh.handoff
    thick = h.laminate.model_copy(
        update={"plies": (h.laminate.plies[0].model_copy(update={"count": 9}),)}
    )
    wrong = saltmarsh.model_copy(update={"handoff": h.model_copy(update={"laminate": thick})})
    from geomgen.handoff import foam

    real = foam.core_body
    try:
        foam.core_body = lambda pod, skin: real(pod, 0.0)
        package = foam_package(wrong, small_model)
    finally:
        foam.core_body = real
    finding = by_id(package)["foam.skin"]
    assert finding.verdict == "fail"
    assert finding.measured == pytest.approx(thickness(thick), abs=0.05)


def test_no_laminate_is_refused(saltmarsh, small_model):
    bare = saltmarsh.handoff.model_copy(update={"laminate": None})
    with pytest.raises(GeometryError, match="no laminate") as caught:
        foam_package(saltmarsh.model_copy(update={"handoff": bare}), small_model)
    assert "handoff.laminate" in caught.value.look_at


def test_no_room_for_a_slab_is_refused(saltmarsh, small_model):
    foam = saltmarsh.handoff.foam.model_copy(update={"start": 1000.0, "end": 1020.0})
    short = saltmarsh.handoff.model_copy(update={"foam": foam})
    with pytest.raises(GeometryError, match="no room"):
        foam_package(saltmarsh.model_copy(update={"handoff": short}), small_model)


def test_too_small_sheets_are_found(saltmarsh, small_model):
    foam = saltmarsh.handoff.foam.model_copy(update={"sheet_width": 200.0})
    narrow = saltmarsh.handoff.model_copy(update={"foam": foam})
    package = foam_package(saltmarsh.model_copy(update={"handoff": narrow}), small_model)
    finding = by_id(package)["foam.blank"]
    assert finding.verdict == "fail"
    assert finding.measured > 0


def ring(radius, centre=(0.0, 500.0)):
    turn = np.linspace(0, 2 * np.pi, 100, endpoint=False)
    return np.c_[centre[0] + radius * np.cos(turn), centre[1] + radius * np.sin(turn)]


def test_half_of_a_circle():
    half = halved(ring(100.0))
    # Closed form: half of the polygon of a hundred sides.
    assert Polygon(half).area == pytest.approx(Polygon(ring(100.0)).area / 2, rel=1e-6)
    assert half[:, 0].min() == 0.0


def test_template_says_what_it_is():
    front = Face("front", 1000.0, ring(100.0), ring(90.0), Pair(40.0, 470.0, 540.0))
    aft = Face("aft", 1050.0, ring(90.0), ring(100.0), None)
    made = slab_drawing(7, [front, aft], True, 8.0, ())
    words = " ".join(label.text for label in made.labels)
    for expected in ("SLAB 7 FRONT", "STA 1000.0", "SLAB 7 AFT", "turn over for LEFT", "points up",
                     "WL 500", "BL 0", "no alignment holes"):  # fmt: skip
        assert expected in words
    cut = [path for path in made.paths if path.layer == CUT]
    limits = [path for path in made.paths if path.name == "sanding limit"]
    assert len(cut) == 2 + 2
    assert len(limits) == 1
    assert sum(path.name == "up" for path in made.paths) == 6
    assert limits[0].layer == REF
    areas = sorted(path.area() for path in cut)
    assert areas[:2] == pytest.approx([np.pi * 16] * 2)
    assert areas[2:] == pytest.approx([np.pi * 90**2 / 2, np.pi * 100**2 / 2], rel=2e-3)


def test_holes_are_shared_and_stay_clear():
    discs = [Polygon(ring(r)) for r in (150, 160, 170, 180)] + [Polygon(ring(12.0)), None]
    found = pairs(discs, 12.0)
    assert len(set(found[:4])) == 1
    assert found[4] is None
    assert found[5] is None
    pair = found[0]
    assert pair.high - pair.low >= 60.0
    from shapely import Point

    for disc in discs[:4]:
        for z in (pair.low, pair.high):
            assert disc.exterior.distance(Point(pair.buttock_line, z)) >= 12.0 - 1e-6


def test_slab_is_a_record(saltmarsh):
    pod = pod_lines(saltmarsh)
    slab = cut_slabs(strips(core_body(pod, 0.0)), [1000.0, 1050.0], 0.0)[0]
    assert replace(slab, number=2).volume == slab.volume
