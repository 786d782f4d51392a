"""The outside of plain machines: what is drawn, what is hidden, where air goes through."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from few_cases import few
from plain_machines import (
    HALF_LONG,
    HALF_WIDE,
    RIM,
    SCOOP,
    about,
    box,
    ellipsoid,
    lofted,
    mirrored,
    mouth,
    naca,
    wing,
)

from geomgen.air.paneling.machine import outside
from geomgen.air.potential.grids import closed, grid
from geomgen.errors import GeometryError

AXES = (1500.0, 350.0, 350.0)


def drawn(meshes, families=None, mouths=(), open_behind=False, fineness=0.7, **more):
    named = {name: (families or {}).get(name, name.split("_")[0]) for name in meshes}
    return outside(meshes, named, mouths, open_behind, 0.3, fineness, **more)


def of(machine, fineness=0.7):
    a = machine
    return outside(a.meshes, a.families, a.mouths, a.open_behind, a.joint, fineness)


@pytest.fixture(scope="module")
def whole():
    return of(about())


def test_pod_alone_is_drawn_and_closed():
    shown = drawn({"pod": ellipsoid(AXES)}, fineness=1.0)
    assert (shown.panels.names, shown.rim, shown.left_out) == (("pod",), None, ())
    assert not shown.drawn.any()
    assert not shown.mouths
    closing = shown.panels.areas @ shown.panels.normals
    # The half's open side faces the plane: nothing is left of the sum fore and aft, up and down.
    assert closing[[0, 2]] == pytest.approx([0.0, 0.0], abs=1.0)
    assert closing[1] == pytest.approx(np.pi * AXES[0] * AXES[2], rel=0.01)


def test_twice_as_fine_is_four_times_as_many():
    few, many = (len(drawn({"pod": ellipsoid(AXES)}, fineness=f).panels) for f in (1.0, 2.0))
    assert many == pytest.approx(4 * few, rel=0.05)


def test_no_pod_and_no_wing_is_refused_in_words():
    with pytest.raises(GeometryError, match="no pod or wing whose outside could be drawn"):
        drawn({"wheel_main": ellipsoid((200.0, 60.0, 200.0))})


def test_part_that_cannot_be_drawn_is_named():
    aside = box((0.0, 100.0, -50.0), (800.0, 300.0, 50.0))
    with pytest.raises(GeometryError, match="does not reach the plane") as told:
        drawn({"pod": aside})
    assert told.value.part == "pod"
    with pytest.raises(GeometryError, match="no two cuts") as told:
        drawn(
            {
                "pod": box((-900, -900, -300), (900, 900, 300)),
                "wing": box((0, 5, 0), (500, 800, 40)),
            }
        )
    assert told.value.part == "wing"


def test_what_nobody_feels_is_named():
    meshes = {
        "pod": ellipsoid(AXES),
        "wheel_nose": ellipsoid((150.0, 40.0, 150.0), (-800, 0, -500)),
    }
    assert drawn(meshes).left_out == ("wheel_nose",)


def test_parts_of_the_left_are_the_mirror_image():
    """A scoop each side: the right one is drawn, and the left one is not told as left out."""
    shown = of(about())
    assert "scoop_a_left" not in shown.panels.names
    assert shown.left_out == ()
    swapped = about(scoops=False)
    meshes = dict(swapped.meshes) | {
        "scoop_a_left": mirrored(box(*SCOOP)),
        "scoop_a_right": box(*SCOOP),
    }
    families = {**swapped.families, "scoop_a_left": "scoop", "scoop_a_right": "scoop"}
    other = of(replace(swapped, meshes=meshes, families=families, mouths=[mouth("left"), mouth()]))
    assert sorted(map(tuple, other.panels.centres)) == sorted(map(tuple, shown.panels.centres))
    assert set(other.mouths) == set(shown.mouths) == {"scoop_a_right"}


def test_mirrored_input_gives_the_same_panels(whole):
    machine = about()
    turned = {name: mirrored(mesh) for name, mesh in machine.meshes.items()}
    swap = {"scoop_a_right": "scoop_a_left", "scoop_a_left": "scoop_a_right"}
    found = of(replace(machine, meshes={swap.get(n, n): turned[n] for n in machine.meshes}))
    assert len(found.panels) == len(whole.panels)
    # A wing's mesh is cut into other triangles: what lies on its chords moves by hundredths.
    assert found.panels.centres == pytest.approx(whole.panels.centres, abs=2.0)


def test_no_panel_lies_inside_another_part(whole):
    panels = whole.panels
    inside_pod = np.linalg.norm(panels.centres / AXES, axis=1) < 0.97
    assert not (inside_pod & ~panels.of("pod") & (panels.centres[:, 0] < RIM)).any()
    low, high = np.array(SCOOP[0]) + 12.0, np.array(SCOOP[1]) - 12.0
    in_scoop = ((panels.centres > low) & (panels.centres < high)).all(axis=1)
    assert not in_scoop.any()


def test_wing_through_the_pod_is_cut_at_its_skin():
    shown = drawn({"pod": ellipsoid(AXES), "wing": wing(at=(-300.0, 0.0))}, fineness=1.0)
    of_wing = shown.panels.of("wing")
    facets, owner = shown.panels.facets
    assert facets.corners[of_wing[owner]][..., 1].min() > 320.0
    assert np.linalg.norm(shown.panels.centres[of_wing] / AXES, axis=1).min() > 0.97
    pod = shown.panels.of("pod")
    inner = np.abs(shown.panels.centres[pod][:, 2]) < 20.0
    across = shown.panels.centres[pod][inner]
    # The pod's panels inside the wing are gone, and no others.
    assert not ((across[:, 0] > -100.0) & (across[:, 0] < 200.0)).any()
    assert (across[:, 0] < -400.0).any()


def test_open_rim_has_its_tail_and_says_which_panels_are_no_skin(whole):
    assert whole.rim == pytest.approx(RIM, abs=1.0)
    assert whole.drawn.any()
    assert (whole.panels.centres[whole.drawn, 0] > RIM - 1.0).all()
    skin = whole.panels.of("pod") & ~whole.drawn
    assert (whole.panels.centres[skin, 0] < RIM).all()


def test_exit_ring_is_one_body_with_the_pod():
    turn = np.linspace(0, 2 * np.pi, 72, endpoint=False)
    ring = lofted(
        [[(x, r * np.sin(t), r * np.cos(t)) for t in turn] for x, r in ((1050, 250), (1200, 210))]
    )
    machine = about(scoops=False, winged=False)
    meshes = {**machine.meshes, "exit": ring}
    found = of(replace(machine, meshes=meshes, families={"pod": "pod", "exit": "exit"}))
    assert (found.panels.names, found.left_out) == (("pod",), ())
    assert found.rim == pytest.approx(1200.0, abs=1.0)


def mouth_hull(low, high):
    """Return the area [mm2] of a scoop's front wall outside the pod."""
    x = low[0]
    pod = shapely.Point(0, 0).buffer(HALF_WIDE * np.sqrt(1 - (x / HALF_LONG) ** 2), 64)
    return shapely.box(low[1], low[2], high[1], high[2]).difference(pod).area


@pytest.mark.parametrize("fineness", few([0.7, 1.0, 1.6]))
def test_mouth_is_what_of_its_scoop_faces_the_air(fineness):
    shown = of(about(winged=False), fineness)
    marked = shown.mouths["scoop_a_right"]
    assert (shown.panels.normals[marked, 0] < -0.6).all()
    assert shown.panels.of("scoop_a_right")[marked].all()
    area = float(shown.panels.areas[marked] @ -shown.panels.normals[marked, 0])
    assert area == pytest.approx(mouth_hull(*SCOOP), rel=0.08)


def test_mouth_elsewhere_has_no_panels():
    far = replace(mouth(), plane=replace(mouth().plane, origin=(900.0, 370.0, 0.0)))
    assert of(about(winged=False, mouths=[far])).mouths == {}
    nobody = replace(mouth(), name="scoop_b_right")
    assert of(about(winged=False, mouths=[nobody])).mouths == {}


def test_scoop_that_runs_out_along_the_skin_is_no_shape_there():
    """Behind, the fairing lies within a few millimetres of the pod's skin."""
    x = np.array([SCOOP[0][0], 250.0, 450.0, 700.0, 900.0])
    tops = np.interp(x, [100.0, 250.0, 700.0, 900.0], [440.0, 440.0, 0.0, 0.0])
    skin = HALF_WIDE * np.sqrt(1 - (x / HALF_LONG) ** 2)
    tops = np.maximum(tops, skin + 4.0)
    rings = [
        [(s, 250.0, -60.0), (s, t, -60.0), (s, t, 60.0), (s, 250.0, 60.0)]
        for s, t in zip(x, tops, strict=True)
    ]
    machine = about(scoops=False, winged=False)
    meshes = {**machine.meshes, "scoop_a_right": lofted(rings)}
    families = {"pod": "pod", "scoop_a_right": "scoop"}
    shown = of(replace(machine, meshes=meshes, families=families, mouths=[mouth()]), 1.0)
    own = shown.panels.centres[shown.panels.of("scoop_a_right")]
    assert own[:, 0].max() < 760.0
    assert "scoop_a_right" in shown.mouths


def test_scoop_on_the_centre_plane_is_drawn_as_a_half():
    scoop = box((100.0, -80.0, -450.0), (450.0, 80.0, -300.0))
    machine = about(scoops=False, winged=False)
    meshes, families = {**machine.meshes, "scoop_a": scoop}, {"pod": "pod", "scoop_a": "scoop"}
    opening = replace(mouth(), name="scoop_a")
    opening = replace(opening, plane=replace(opening.plane, origin=(100.0, 0.0, -390.0)))
    shown = of(replace(machine, meshes=meshes, families=families, mouths=[opening]), 1.0)
    own = shown.panels.of("scoop_a")
    assert shown.panels.corners[own][..., 1].min() >= 0.0
    area = float(shown.panels.areas[shown.mouths["scoop_a"]].sum())
    assert 2 * area == pytest.approx(160.0 * (450.0 - 349.0), rel=0.1)


def test_pylon_stands_on_the_plane():
    rings = [[(-200 + 400 * u, 400 * v, z) for u, v in naca(0.15)] for z in (250.0, 400.0, 520.0)]
    meshes = {"pod": ellipsoid(AXES), "pylon": lofted(rings), "wing": wing()}
    shown = drawn(meshes, fineness=1.0)
    own = shown.panels.of("pylon")
    assert own.sum() > 10
    assert shown.panels.corners[own][..., 1].min() == pytest.approx(0.0, abs=1e-6)
    assert (shown.panels.normals[own, 1] > 0.2).mean() > 0.8
    z = shown.panels.centres[own, 2]
    assert z.min() > 340.0
    assert z.max() < 500.0


def test_scoop_that_lies_wholly_inside_the_pod_has_no_mouth():
    machine = about(scoops=False, winged=False)
    meshes = {**machine.meshes, "scoop_a_right": box((100.0, 20.0, -80.0), (450.0, 200.0, 80.0))}
    families = {"pod": "pod", "scoop_a_right": "scoop"}
    shown = of(replace(machine, meshes=meshes, families=families, mouths=[mouth()]))
    assert not shown.panels.of("scoop_a_right").any()
    assert shown.mouths == {}


def test_wing_that_a_boom_has_cut_with_its_joint_is_drawn_straight_through():
    """Notched a little wider than the boom: the joint's gap lies beside it."""
    low, high, notch = 1000.0, 1100.0, naca(0.12)
    notch[:, 0] = 0.5 + 0.5 * notch[:, 0]
    lines = [-4000.0, 0.0, low, low + 1e-3, high, high + 1e-3, 4000.0]
    rings = [
        [(-300 + 800 * u, y, 500 + 800 * v) for u, v in (notch if low < y <= high else naca(0.12))]
        for y in lines
    ]
    boom = box((-100.0, low + 1.0, 400.0), (2500.0, high - 1.0, 600.0))
    meshes = {"pod": ellipsoid(AXES), "wing": lofted(rings), "boom_right": boom}
    found = drawn(meshes).grids["wing"]
    assert found == pytest.approx(drawn({**meshes, "wing": wing()}).grids["wing"], abs=0.6)


def test_tip_of_a_wing_is_closed():
    shown = drawn({"pod": ellipsoid(AXES), "wing": wing()}, fineness=1.0)
    tip = shown.panels.of("wing") & (shown.panels.normals[:, 1] > 0.99)
    assert shown.panels.centres[tip, 1] == pytest.approx(np.full(tip.sum(), 4000.0))
    # The section's own area: 0.685 of chord times thickness.
    assert shown.panels.areas[tip].sum() == pytest.approx(0.685 * 0.12 * 800.0**2, rel=0.02)


def test_normals_turned_inward_are_refused():
    """Broken on purpose: a grid drawn the wrong way round says so, by its name."""
    points = of(about(winged=False)).grids["pod"]
    assert len(closed(grid("pod", points))) > 0
    with pytest.raises(GeometryError, match="inside out") as told:
        closed(grid("pod", points[::-1]))
    assert told.value.part == "pod"
