"""Wrong spars and ribs that the checks must not pass; each distance by trimesh or by hand, too.

What they do not see: foam or skin that the file does not have, strength, whether a spar can be got
into the wing, glue.
"""

import re

import numpy as np
import pytest
import trimesh
from spar_wings import BENT, PLAIN, bodies, body, planned

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import box, cylinder, mirrored, moved
from geomgen.kernel.interference.meeting import FirstBody
from geomgen.kernel.mesh_part import MeshPart
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Inlay, Limb
from geomgen.kernel.solids.booleans import cut
from geomgen.measurements.question import Given
from geomgen.measurements.subject import Answered
from geomgen.measurements.wing_structure.inside import depths
from geomgen.measurements.wing_structure.questions import WING_STRUCTURE
from geomgen.shapes.lifting import fins, wing
from geomgen.shapes.wing_structure.ribs import ribs
from geomgen.shapes.wing_structure.spars import spars

FIN = {"of": "fin", "start": "100 mm", "end": "700 mm", "width": "25 mm", "cap_height": "4 mm",
       "web": "2 mm"}  # fmt: skip


def measured(parts, families, inlays, **more):
    """Return the figures of bodies by name: all questions asked, all answers said."""
    model = Model(families=families, inlays=inlays, **more)
    boxes = {name: loose_box(one.solid) for name, one in parts.items()}
    asked = {q.name: q.ask(Given(bodies=parts)) for q in WING_STRUCTURE.ask(model, boxes)}
    return {m.id: m for m in WING_STRUCTURE.say(Answered(model, list(parts), asked))}


@pytest.fixture(scope="module")
def plain_wing():
    return body(wing(planned()).solid)


@pytest.fixture(scope="module")
def plain_spars():
    return bodies(spars(planned(spars=[{}])))


def in_wing(holder, pieces, **more):
    parts = {"wing": holder, **pieces}
    families = {name: name.split("_")[0] for name in parts}
    inlays = (Inlay("spar_main", "wing"), Inlay("rib_a", "wing"))
    return measured(parts, families, inlays, **more)


def by_trimesh(holder, part):
    """Return the least distance [mm] of a part's corners to the holder's mesh, minus outside."""
    shell = trimesh.Trimesh(holder.mesh.vertices, holder.mesh.triangles, process=False)
    return float(trimesh.proximity.signed_distance(shell, part.mesh.vertices).min())


@pytest.mark.parametrize(("told", "least"), [("2 mm", 2.0), ("5 mm", 5.0)])
def test_a_sound_spar_keeps_its_skin(plain_wing, told, least):
    made = bodies(spars(planned(spars=[{"skin": told}])))
    found = in_wing(plain_wing, made)["spar.skin.main"]
    assert least < found.value < least + 0.1
    assert found.value - found.error_bound > least
    rough = min(by_trimesh(plain_wing, one) for one in made.values())
    assert rough == pytest.approx(found.value, abs=0.25)


def test_a_skin_that_was_forgotten_is_missed(plain_wing):
    """Made for no skin and judged against one of 2 mm."""
    made = bodies(spars(planned(spars=[{"skin": "0 mm"}])))
    assert in_wing(plain_wing, made)["spar.skin.main"].value == pytest.approx(0.05, abs=0.01)


def test_a_spar_at_the_wrong_place_comes_through(plain_wing, plain_spars):
    aft = (650.0, 0.0, 0.0)
    made = {name: body(moved(one.solid, aft)) for name, one in plain_spars.items()}
    found = in_wing(plain_wing, made)["spar.skin.main"]
    assert found.value < -10.0
    rough = min(by_trimesh(plain_wing, one) for one in made.values())
    assert found.value == pytest.approx(rough, abs=1.0)


@pytest.mark.parametrize("way", [(1.0, 0.0, 0.0), (0.0, 0.0, 1.0)])
def test_a_hole_of_the_wing_that_a_spar_passes_is_seen(plain_wing, plain_spars, way):
    """Smaller than the faces of the spar, and between the places of its edges."""
    made = plain_spars
    box_ = loose_box(made["spar_main_cap_upper"].solid)
    middle = (box_.low[0] + 27.0, 1013.0, (box_.high[2] + box_.low[2]) / 2 - 60.0 * way[0])
    start = tuple(c - 300.0 * w for c, w in zip(middle, way, strict=True))
    holed = cut(plain_wing.solid, [cylinder(start, way, 12.0, 600.0)], "wing", "hole")
    assert in_wing(body(holed), made)["spar.skin.main"].value < -1.0


def test_a_notch_without_clearance_is_seen(plain_wing):
    p = planned(spars=[{"end": "700 mm"}], ribs=[{"notch_gap": "0 mm"}])
    found = in_wing(plain_wing, bodies([*spars(p), *ribs(p)]))["rib.notch.a"]
    assert found.value == pytest.approx(0.01, abs=1e-3)
    assert found.value < 0.3


@pytest.mark.long
def test_a_rib_without_its_notch_is_in_the_spar(plain_wing):
    made = bodies([*spars(planned(spars=[{}])), *ribs(planned(ribs=[{}]))])
    assert in_wing(plain_wing, made)["rib.notch.a"].value < -1.0


def test_a_notch_is_as_wide_as_told(plain_wing):
    p = planned(spars=[{"end": "700 mm"}], ribs=[{"notch_gap": "0.8 mm"}])
    found = in_wing(plain_wing, bodies([*spars(p), *ribs(p)]))
    assert found["rib.notch.a"].value == pytest.approx(0.81, abs=1e-3)
    assert 2.0 < found["rib.skin.a"].value < 2.1


def test_hands_that_were_swapped_are_found():
    p = planned(spars=[{**FIN, "name": "f", "chord_share": 0.4}])
    holders, made = bodies(fins(p)), spars(p)
    swapped = {one.name: body(mirrored(one.solid)) for one in made}

    def skin(pieces):
        parts = {**holders, **pieces}
        families = {name: name.split("_")[0] for name in parts}
        return measured(parts, families, (Inlay("spar_f", "fin"),))["spar.skin.f"].value

    assert 2.0 < skin(bodies(made)) < 2.1
    assert skin(swapped) < -1000.0


@pytest.mark.long
def test_twist_sweep_and_dihedral_keep_the_skin():
    p = planned(BENT, [{"width": "40 mm", "cap_height": "8 mm"}], [{"at": ["1000 mm", "3000 mm"]}])
    found = in_wing(body(wing(p).solid), bodies([*spars(p), *ribs(p)]))
    for id_ in ("spar.skin.main", "rib.skin.a"):
        assert found[id_].value - found[id_].error_bound > 2.0, id_
    assert found["rib.notch.a"].value >= 0.3


def square_on_edge(half, off, aft=0.0):
    """Return a bar [mm] along y whose four sides slope by 45 deg, as a mesh that is `off`."""
    ring = half * np.array([[1.0, 0, 0], [0, 0, 1.0], [-1.0, 0, 0], [0, 0, -1.0]]) + [aft, 0, 0]
    end = np.array([0, 100.0, 0])
    points = np.concatenate([ring - end, ring + end])
    sides = [[k, (k + 1) % 4, (k + 1) % 4 + 4] for k in range(4)]
    sides += [[k, (k + 1) % 4 + 4, k + 4] for k in range(4)]
    ends = [[0, 2, 1], [0, 3, 2], [4, 5, 6], [4, 6, 7]]
    triangles = np.array(sides + ends)
    made = MeshPart(points, triangles, off)
    return FirstBody(made if made.volume > 0 else MeshPart(points, triangles[:, ::-1], off))


def test_the_depth_between_skins_that_slope_is_off_by_more_than_they_are():
    """Closed form: sides at 45 deg that are 0.1 mm farther out are 0.141 mm higher each."""
    spar = square_on_edge(2.0, 0.0, 5.0)
    near, true = (
        depths([spar], [square_on_edge(20.0 + more, 0.1)], 1, 2)[0] for more in (0, 0.1 * 2**0.5)
    )
    assert true.skins - near.skins == pytest.approx(0.2 * 2**0.5)
    assert near.off == pytest.approx(true.skins - near.skins)
    # A spar that stands elsewhere is looked at where the skins are otherwise apart.
    blurred = depths([square_on_edge(2.0, 0.05, 5.0)], [square_on_edge(20.0, 0.1)], 1, 2)[0]
    assert blurred.off == pytest.approx(0.2 * 2**0.5 + 0.1)


@pytest.mark.long
def test_depth_between_the_skins(plain_wing):
    """The section's own thickness at 30 % of the chord, and the spar less two skins."""
    found = in_wing(plain_wing, bodies(spars(planned(spars=[{}]))))["spar.depth.main"]
    assert found.value == pytest.approx(0.12003 * 1200.0 + 0.3 * (2.0 - 0.00252 * 1200.0), abs=0.3)
    own = [value for name, value in found.further if name.startswith("spar")]
    assert np.ptp(own) < 0.01
    assert found.value - own[0] == pytest.approx(2 * 2.05, abs=0.4)
    told = r"at BL -?\d+: 1\d\d\.\d mm between the skins, spar 1\d\d\.\d mm deep; at BL"
    assert re.match(told, found.note)


def test_pilot_and_engine_as_far_off_as_they_stand(plain_wing, plain_spars):
    made = plain_spars
    fore = loose_box(made["spar_main_web_fore"].solid).low[0]
    head = Limb("head", (fore - 300.0, 0.0, 1330.0), (fore - 300.0, 0.0, 1330.0), 100.0, 100.0)
    reach = Limb("reach right", (fore, 0.0, 1330.0), (fore, 0.0, 1330.0), 700.0, 700.0)
    aft = loose_box(made["spar_main_web_aft"].solid).high[0]
    engine = body(box((aft + 77.0, -50.0, 1300.0), (aft + 300.0, 50.0, 1350.0)))
    found = in_wing(plain_wing, {"engine": engine, **made}, pilot=[head, reach])
    assert found["spar.to_pilot.main"].value == pytest.approx(200.0, abs=0.2)
    assert found["spar.to_engine.main"].value == pytest.approx(77.0, abs=1e-3)
    inside = Limb("head", (fore + 20.0, 0.0, 1330.0), (fore + 20.0, 0.0, 1330.0), 100.0, 100.0)
    assert in_wing(plain_wing, made, pilot=[inside])["spar.to_pilot.main"].value < 0.0


def test_no_question_where_there_is_nothing():
    assert PLAIN
    assert measured({}, {}, ()) == {}
