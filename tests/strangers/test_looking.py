"""A second look finds what is built otherwise than the file says, and nothing where all is well."""

from dataclasses import replace
from functools import cache
from types import SimpleNamespace
from unittest.mock import patch

import numpy as np
import pytest
import trimesh
from few_cases import few
from strangers import looking
from strangers.looking import problems_of
from strangers.truths import mouth_area, tip_mach

from geomgen.kernel.brep.primitives import box
from geomgen.kernel.meshing.proven import meshed
from geomgen.shapes import booms, engine, firewall, gear, hull, leg, propeller
from geomgen.shapes.assembly.cutters import cutters

MEASURES = ("centroid", "kernel_box", "validity", "volume")


@pytest.fixture(scope="module", autouse=True)
def each_solid_measured_once():
    """Take what the kernel says of a solid again, of the same one."""
    once = {name: cache(getattr(looking, name)) for name in MEASURES}
    with patch.multiple(looking, **once):
        yield


@pytest.fixture(scope="module")
def some(saltmarsh):
    """Return solids of parts that are made in a moment, by name."""
    pieces = [
        propeller.prop_disc(saltmarsh),
        propeller.spinner(saltmarsh),
        engine.engine(saltmarsh),
        firewall.firewall(saltmarsh, hull.pod_lines(saltmarsh)),
        *booms.booms(saltmarsh),
        *gear.wheels(saltmarsh),
        *leg.legs(saltmarsh, lambda family: cutters(saltmarsh, family)),
    ]
    return {piece.name: piece.solid for piece in pieces}


@pytest.fixture(scope="module")
def model(some):
    return SimpleNamespace(parts=some, families={})


def told(p, parts, checks=()):
    """Return what is found, less what is only said of the parts that are not there."""
    found = problems_of(p, SimpleNamespace(parts=parts, families={"wing": "wing"}), {}, checks)
    return [text for text in found if "was not built" not in text]


def test_all_is_well(saltmarsh, some):
    assert told(saltmarsh, some) == []


def test_a_part_that_is_not_there(saltmarsh, some):
    less = {name: solid for name, solid in some.items() if name != "engine"}
    found = problems_of(saltmarsh, SimpleNamespace(parts=less, families={}), {})
    assert "engine: it is in the file and was not built" in found


@pytest.mark.parametrize(
    ("change", "word"),
    few(
        [
            ("propeller.diameter=1.32 m", "prop_disc"),
            ("propeller.waterline=1 m", "prop_disc"),
            ("propeller.thrust_tilt=3 deg", "prop_disc"),
            ("propeller.blade_depth=61 mm", "prop_disc"),
            ("spinner.length=190 mm", "spinner"),
            ("gear.wheels.0.diameter=390 mm", "wheel"),
            ("gear.wheels.0.station=1.2 m", "wheel"),
            ("gear.wheels.0.buttock_line=700 mm", "leg_main"),
            ("gear.wheels.1.leg.diameter=10 mm", "leg_nose"),
            ("engine.boxes.0.length=500 mm", "engine"),
            ("booms.stations.0.station=1 m", "boom"),
        ],
        0,
        4,
        5,
        7,
        8,
        9,
        10,
        rows=True,
    ),
)
def test_parts_that_another_file_describes(saltmarsh, some, variant, change, word):
    try:
        other = variant(change)
    except Exception as error:  # noqa: BLE001 - the table above must fit the example
        pytest.fail(f"{change}: {error}")
    assert any(text.startswith(word) for text in told(other, some)), told(other, some)


def test_twins_that_are_none(saltmarsh, some):
    moved = dict(some) | {"boom_left": some["boom_right"]}
    assert "boom_left: not where the mirror image of boom_right stands" in told(saltmarsh, moved)
    other = dict(some) | {"boom_left": box((0, -900, 0), (10, -890, 10))}
    assert any("its mirror" in text for text in told(saltmarsh, other))


def test_a_solid_inside_out_or_of_two_pieces(saltmarsh, some):
    turned = dict(some) | {"engine": some["engine"].Reversed()}
    assert any(text.startswith("engine: ") for text in told(saltmarsh, turned))


def test_a_mesh_that_is_open_or_holds_something_else(saltmarsh, some):
    made = meshed(some["spinner"], 0.2)
    good = problems_of(saltmarsh, SimpleNamespace(parts=some, families={}), {"spinner": made})
    assert not [text for text in good if text.startswith("spinner")]
    for mesh, words in (
        (replace(made.mesh, triangles=made.mesh.triangles[:-1]), "open"),
        (replace(made.mesh, vertices=np.asarray(made.mesh.vertices) * 1.02), "mesh holds"),
    ):
        bad = {"spinner": replace(made, mesh=mesh)}
        found = problems_of(saltmarsh, SimpleNamespace(parts=some, families={}), bad)
        assert any(text.startswith("spinner") and words in text for text in found), found


def test_a_firewall_that_leans_the_other_way(saltmarsh, some, variant):
    made = {"firewall": meshed(some["firewall"], 0.2, part="firewall")}
    model = SimpleNamespace(parts=some, families={})
    assert not [t for t in problems_of(saltmarsh, model, made) if t.startswith("firewall")]
    for change in ("firewall.tilt=3 deg", "firewall.tilt=-3 deg", "firewall.station=1.78 m"):
        found = problems_of(variant(change), model, made)
        assert any(text.startswith("firewall: from") for text in found), change


def test_a_hull_off_its_control_stations(saltmarsh, saltmarsh_model, saltmarsh_meshes, variant):
    mesh, deviation = saltmarsh_meshes["pod"]
    made = {"pod": SimpleNamespace(mesh=mesh, deviation=deviation)}
    model = SimpleNamespace(parts={"pod": saltmarsh_model.parts["pod"]}, families={})
    assert not [t for t in problems_of(saltmarsh, model, made) if t.startswith("pod")]
    other = variant("pod.stations.2.breadth=300 mm")
    found = [t for t in problems_of(other, model, made) if t.startswith("pod")]
    assert found == ["pod: breadth at station 2 is " + found[0].split(" is ")[1]]


@pytest.mark.parametrize("how", ["opening", "glazing"])
def test_a_hull_that_is_cut_out_for_the_canopy(saltmarsh, saltmarsh_meshes, variant, how):
    """Half a hull stands for one that is cut out, its other half for the glass."""
    p = variant("canopy.built_as=" + how, "canopy.thickness=3 mm", "canopy.material=acrylic")
    mesh, _ = saltmarsh_meshes["pod"]
    skin = trimesh.Trimesh(mesh.vertices, mesh.triangles)
    lower, upper = (
        skin.slice_plane((0.0, 0.0, saltmarsh.canopy.fore_sill), (0.0, 0.0, side))
        for side in (-1.0, 1.0)
    )
    skins = {"pod": lower} | ({"canopy": upper} if how == "glazing" else {})
    wrong = [t.split(" is ")[0] for t in looking._off_the_pod(p, skins)]
    under = {
        i
        for i, row in enumerate(p.pod.stations)
        if p.canopy.fore_station < row.station < p.canopy.aft_station
    }
    assert under
    assert not [t for t in wrong if int(t.split()[-1]) in under]
    assert bool(wrong) == (how == "opening")
    moved = variant(f"pod.stations.{min(under)}.keel=500 mm", "canopy.built_as=opening")
    assert f"pod: keel at station {min(under)}" in [
        t.split(" is ")[0] for t in looking._off_the_pod(moved, {"pod": lower})
    ]


def test_a_hull_that_is_alike_on_both_sides_of_unlike_scoops(saltmarsh, saltmarsh_model, variant):
    model = SimpleNamespace(parts={"pod": saltmarsh_model.parts["pod"]}, families={})
    words = "pod: its two sides are alike, its scoops are not"
    assert words not in problems_of(saltmarsh, model, {})
    assert words in problems_of(variant("scoops.0.mirrored=false"), model, {})


def test_a_scoop_may_be_called_right(saltmarsh, some, variant):
    changes = [
        "scoops.0.name=right",
        "scoops.0.mirrored=false",
        "handoff.moulds.1.part=scoop_right",
    ]
    name = variant(*changes)
    parts = dict(some) | {"scoop_right": box((0, 0, 0), (9, 9, 9))}
    assert not any("no scoop_left" in text for text in told(name, parts))


def test_figures_that_no_drawing_allows(saltmarsh, some):
    scoop = saltmarsh.scoops[0]
    name = f"inlet.area.scoop_{scoop.name}_right"
    right = {name: mouth_area(scoop), "prop.tip_mach": tip_mach(saltmarsh), "exit.area": 1e4}
    wrong = {name: 1.02 * mouth_area(scoop), "prop.tip_mach": 0.9, "exit.area": 1e8}
    wrong["prop.radial_clearance"] = 5e3

    def checks(figures):
        return [SimpleNamespace(id=key, measured=v, note="") for key, v in figures.items()]

    assert told(saltmarsh, some, checks(right)) == []
    assert len(told(saltmarsh, some, checks(wrong))) == len(wrong)


def test_joined_parts_that_run_into_each_other(saltmarsh, some):
    families = {"pylon": "pylon", "wing": "wing", "wheel_main_left": "wheel"}
    note = "pylon and wing by 0.40 mm (3 mm3); wing and wheel_main_left by 9.00 mm (9 mm3)"
    check = SimpleNamespace(id="parts.interference", measured=-9.0, note=note)
    model = SimpleNamespace(parts=some, families=families)
    found = problems_of(saltmarsh, model, {}, [check])
    assert "pylon and wing are joined and run into each other by 0.40 mm" in found
    assert not any("wheel_main_left are" in text for text in found)


def test_a_leg_that_runs_into_what_it_is_cut_back_to(saltmarsh, some):
    families = {"pod": "pod", "leg_nose": "leg", "boom_left": "boom"}
    note = "pod and leg_nose by 3.00 mm (3 mm3); boom_left and leg_nose by 9.00 mm (9 mm3)"
    check = SimpleNamespace(id="parts.interference", measured=-9.0, note=note)
    model = SimpleNamespace(parts=some, families=families, struts=leg.struts(saltmarsh))
    found = problems_of(saltmarsh, model, {}, [check])
    assert "pod and leg_nose are joined and run into each other by 3.00 mm" in found
    assert not any("boom_left and" in text for text in found)
