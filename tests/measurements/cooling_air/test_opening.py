"""Openings told from meshes beside the kernel's cuts: the slow way is the reference."""

import math
from dataclasses import replace

import pytest
from meshed_bodies import body
from OCP.BRepTools import BRepTools
from one_look import opening_measurer

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.openings.window import opening
from geomgen.kernel.plain import Opening, Plane
from geomgen.kernel.solids.booleans import cut
from geomgen.kernel.solids.distance import closest, vertex
from geomgen.measurements.cooling_air.opening import (
    METHOD,
    TRACED,
    measure_on_meshes,
    measure_on_solids,
    solids,
)
from geomgen.measurements.firewall.sheet import HULL, firewall
from geomgen.measurements.survey.whole import bodies_of

X = (1.0, 0.0, 0.0)
WHERE = Opening("mouth", Plane((50.0, 0.0, 0.0), X), (50.0, 0.0, 0.0), 30.0)


def pipe():
    rod, hole = (cylinder((0, 0, 0), X, r, 100.0) for r in (12.0, 10.0))
    return cut(rod, [hole], "pipe", "bore")


def seen(**parts):
    return measure_on_meshes({name: body(solid) for name, solid in parts.items()}, WHERE)


def test_an_open_mouth_says_how_it_was_measured() -> None:
    found = seen(pipe=pipe())
    assert found.area == pytest.approx(math.pi * 100.0, rel=1e-10)
    assert (found.method, found.broken, found.note) == (TRACED, False, "")


def test_what_the_meshes_do_not_settle_is_cut_by_the_kernel() -> None:
    """A rod that touches the pipe's wall inside (closed form: two circles side by side)."""
    found = seen(pipe=pipe(), rod=cylinder((20, 9.0, 0), X, 1.0, 60.0))
    assert found.method == METHOD
    assert found.area == pytest.approx(math.pi * 99.0, rel=1e-5)


def test_shut_and_leaking_mouths_are_told_alike() -> None:
    plug, slot = cylinder((40, 0, 0), X, 9.0, 20.0), box((0, 0, -0.5), (100, 30, 0.5))
    for parts in ({"pipe": pipe(), "plug": plug}, {"pipe": cut(pipe(), [slot], "pipe", "slot")}):
        quick, slow = seen(**parts), measure_on_solids(parts, WHERE)
        assert (quick.note, quick.broken, quick.area) == (slow.note, True, None)


def joined(slit: float):
    """Return a scoop of 40 x 30 mm that stands `slit` [mm] off the hull, and the hull."""
    block, hollow = box((0, -23, -20), (100, 23, 15)), box((-1, -20, -15), (101, 20, 16))
    hull = box((0, -60, 15 + slit), (100, 60, 20 + slit))
    return {"scoop": cut(block, [hollow], "scoop", "hollow"), "hull": hull}


def test_a_joint_of_two_parts_is_taken_as_sealed_and_said() -> None:
    """The area counts the joint's own room as well: 40 x (30 + slit), within the bound."""
    where = replace(WHERE, reach=40.0, joint=0.3)
    parts = joined(0.3)
    for found in (
        measure_on_solids(parts, where),
        measure_on_meshes({n: body(s) for n, s in parts.items()}, where),
    ):
        assert found.note == "joint of 0.30 mm between scoop and hull taken as sealed"
        assert not found.broken
        assert abs(found.area - 40.0 * 30.3) <= found.error < 0.5


def test_an_open_side_is_no_joint() -> None:
    where = replace(WHERE, reach=40.0, joint=0.3)
    for slit in (0.6, 3.5, 10.0):
        found = measure_on_solids(joined(slit), where)
        assert (found.broken, found.area) == (True, None)
        assert "not closed all round" in found.note


@pytest.mark.long
@pytest.mark.parametrize("config", ["saltmarsh", "hayfield", "tight"])
def test_examples_are_measured_as_the_kernel_measures_them(config, variant, kept) -> None:
    from geomgen.regeneration.regenerating import bodies as made

    state = made(variant(config=config), kept)
    model = state.model
    bodies = bodies_of(model, {n: (m.mesh, m.deviation) for n, m in state.meshes.items()})
    quick, slow = opening_measurer(model, bodies), opening_measurer(model)
    every = [o for p in model.passages for o in (p.mouth, *p.throats)] + list(model.exits)
    assert every
    for where in every:
        one, other = quick(where), slow(where)
        assert (one.note, one.broken) == (other.note, other.broken)
        assert one.area == pytest.approx(other.area, rel=1e-9)
        assert one.centroid == pytest.approx(other.centroid, abs=1e-6)
        assert abs(one.area - other.area) <= one.error + other.error
    _same_firewall(model, bodies)


def _same_firewall(model, bodies) -> None:
    found = {m.id: m for m in firewall(model, bodies)}
    known = {m.id: m for m in firewall(model)}
    assert list(found) == list(known)
    for id_, record in known.items():
        assert found[id_].value == pytest.approx(record.value, rel=1e-8, abs=1e-3), id_
    if model.firewall_plane is None:
        return
    hull = [s for n, s in solids(model).items() if model.families[n] in HULL]
    clear = opening(model.firewall_plane, model.firewall_seed, 2000.0, hull)
    gap = found["firewall.edge_gap"]
    # The kernel's distance of that place of the rim from the hull's outline.
    near = closest(vertex(gap.points[0]), BRepTools.OuterWire_s(clear.face))
    assert near.distance == pytest.approx(gap.value, abs=1e-5)
