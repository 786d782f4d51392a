"""The mould maker's package: names, hands, notes, items, findings."""

import re

import numpy as np
import pytest
from shops.moulds.plain_moulds import LENGTH, RADIUS, SKIN, cylinder_pod, with_mould

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import cylinder, mirrored
from geomgen.kernel.lofting.panels import ruled_solid
from geomgen.kernel.model import Model
from geomgen.kernel.solids.properties import bounding_box, centroid, volume
from geomgen.kernel.solids.validity import require_valid
from geomgen.parameters.records.stock import Stock
from geomgen.shapes.aerofoil import angles
from geomgen.shapes.hull import pod_body, pod_lines
from geomgen.shapes.lifting import wing_sections
from geomgen.shapes.scoop import scoop
from geomgen.shops.moulds.bodies import skin_deducted
from geomgen.shops.moulds.findings import skin_finding
from geomgen.shops.moulds.package import _bounds, _findings, _made, _piece_solids, mould_package
from geomgen.shops.moulds.scoop import scoop_body
from geomgen.shops.moulds.skin import moulded
from geomgen.shops.moulds.split import halves
from geomgen.shops.stock import stock_findings


@pytest.fixture(scope="module")
def package(saltmarsh):
    """Return the package of a cylindrical pod in three pieces a half, skin deducted, stock on."""
    p, _ = with_mould(
        cylinder_pod(saltmarsh), treatment="core_minus_skin", stock=1.0, machine_length=None
    )
    # The length comes from the router that the builder has.
    router = {"length": "250 mm", "width": "300 mm", "height": "150 mm"}
    has = Stock.model_validate({"router": router})
    p = p.model_copy(update={"handoff": p.handoff.model_copy(update={"stock": has})})
    pod = cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), RADIUS, LENGTH)
    return mould_package(p, Model(parts={"pod": pod}))


def test_every_piece_is_named_by_part_half_and_number(package):
    assert package.shop == "mould_maker"
    names = [s.name for s in package.solids]
    assert len(set(names)) == len(names)
    for half in ("right", "left"):
        assert [f"pod_{half}_core_{i}of3" for i in (1, 2, 3)] == [
            n for n in names if n.startswith(f"pod_{half}_core")
        ]
        assert f"pod_{half}_flange_1of6" in names
    for solid in package.solids:
        require_valid(solid.solid, solid.part, solid.name)


def test_hands_are_what_they_say(package):
    for solid in package.solids:
        assert solid.hand in solid.name
        box = bounding_box(solid.solid)
        if "flange" in solid.name:
            # The board lies behind the split of its half.
            assert (box.high[1] < 1e-6) == (solid.hand == "right")
        else:
            assert (box.low[1] > -1e-6) == (solid.hand == "right")


def test_pieces_hold_what_the_cylinder_holds_less_the_holes(package):
    cores = [s for s in package.solids if "_core_" in s.name]
    whole = np.pi * (RADIUS - SKIN + 1.0) ** 2 * LENGTH
    holes = 2 * 8 * np.pi / 4 * 8.0**2 * 24.0
    assert sum(volume(s.solid).value for s in cores) == pytest.approx(whole - holes, rel=5e-6)


def test_notes_say_treatment_skin_stock_and_flats(package):
    core = next(s for s in package.solids if s.name == "pod_left_core_2of3")
    assert "smaller by the skin of 2.000 mm" in core.note
    assert "1 mm stock" in core.note
    assert "4 joint dowel holes 8 mm, 24 mm deep" in core.note
    board = next(s for s in package.solids if s.name == "pod_right_flange_1of6")
    x, z = LENGTH + 0.9 * 60.0, -(RADIUS - SKIN) - 0.9 * 60.0
    assert f"meet at STA {x:.1f} BL 0.0 WL {z:.1f}" in board.note


def test_findings_pass_and_measure_the_stock(package):
    found = {f.id: f for f in package.findings}
    assert set(found) == {
        f"mould.{kind}.pod"
        for kind in (
            *("skin", "volume", "dowels", "dowel_pitch", "flats"),
            *("mirror", "mirror_place", "hands"),
        )
    }
    assert {f.verdict for f in package.findings} == {"pass"}
    assert found["mould.skin.pod"].measured < 0.02
    assert "-1.000 mm" in found["mould.skin.pod"].what


def test_items_list_blanks_and_the_skin_with_its_plies(package):
    items = {item.name: item for item in package.items}
    core = items["pod_right_core_1of3"]
    side = RADIUS - SKIN + 1.0
    assert core.size == pytest.approx((LENGTH / 3, side, 2 * side), abs=0.02)
    assert core.files == ("pod_right_core_1of3",)
    skin = items["pod_left_skin"]
    area = np.pi * (RADIUS - SKIN) * LENGTH
    assert skin.laminate_area == pytest.approx(area, rel=1e-4)
    # Mass of one ply: W + W / rho_f (1 - Vf) / Vf rho_r, W = t rho_f Vf (derived).
    mass = SKIN / 1000 * (2560.0 * 0.35 + 0.65 * 1150.0)
    assert skin.mass == pytest.approx(mass * area * 1e-6, rel=1e-4)
    assert skin.note.startswith("1 x glass twill")
    assert skin.files == tuple(f"pod_left_core_{i}of3" for i in (1, 2, 3))


def test_a_finished_pod_of_another_size_fails(saltmarsh):
    p, _ = with_mould(cylinder_pod(saltmarsh))
    other = cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), RADIUS + 0.2, LENGTH)
    found = {f.id: f for f in mould_package(p, Model(parts={"pod": other})).findings}
    assert found["mould.skin.pod"].verdict == "fail"


def test_a_set_without_the_finished_part_is_refused(saltmarsh):
    p, _ = with_mould(cylinder_pod(saltmarsh))
    with pytest.raises(GeometryError) as error:
        mould_package(p, Model())
    assert error.value.look_at == ["handoff.moulds.0.part"]


def test_a_forgotten_laminate_is_refused(saltmarsh):
    p, _ = with_mould(cylinder_pod(saltmarsh), treatment="male_mould", skin=None)
    with pytest.raises(GeometryError) as error:
        mould_package(p, Model())
    assert error.value.look_at[0] == "handoff.laminate"


def test_no_moulds_no_package(saltmarsh):
    p, _ = with_mould(saltmarsh)
    bare = p.model_copy(update={"handoff": None})
    assert mould_package(bare, Model()).solids == ()


@pytest.mark.parametrize(
    ("part", "last"),
    [
        ("wing_tip", "core_minus_skin"),
        pytest.param("scoop_cheek", "plug_outside", marks=pytest.mark.long),
    ],
)
def test_mirrored_parts_are_made_in_both_hands(saltmarsh, part, last):
    p, _ = with_mould(saltmarsh, part="scoop_cheek", split="maximum breadth")
    if part == "wing_tip":
        handoff = saltmarsh.handoff.model_copy(update={"moulds": (saltmarsh.handoff.moulds[3],)})
        p = p.model_copy(update={"handoff": handoff})
    wing = ruled_solid([s.points() for s in wing_sections(p, p.wing)], angles(), "wing")
    hull, scoop = pod_body(pod_lines(p), 0.0), scoop_body(p, 0, 0.0)
    made = mould_package(p, Model(parts={"scoop_cheek_right": scoop, "pod": hull, "wing": wing}))
    assert {f.verdict for f in made.findings} == {"pass"}
    solids = {s.name: s for s in made.solids}
    for half in ("upper", "lower"):
        right = solids[f"{part}_right_{half}_{last}"]
        left = solids[f"{part}_left_{half}_{last}"]
        assert (right.hand, left.hand) == ("right", "left")
        assert bounding_box(right.solid).low[1] > 0 > bounding_box(left.solid).high[1]
        back = centroid(mirrored(left.solid))
        assert back == pytest.approx(centroid(right.solid), abs=1e-6)


def scoop_skin(saltmarsh, stock, whole=False, **changes):
    """Return the finding on the skin of a scoop's plug with stock on [mm], `whole` as packed."""
    p, mould = with_mould(saltmarsh, part="scoop_cheek", split="maximum breadth", stock=stock)
    rows = (p.scoops[0].model_copy(update=changes), *p.scoops[1:])
    p = p.model_copy(update={"scoops": rows})
    pod = pod_lines(p)
    (right, _) = scoop(p, pod, 0)
    model = Model(parts={"pod": pod_body(pod, 0.0), right.name: right.solid})
    if whole:
        made = _made(p, mould, model)
        return _findings(p, made, model, _piece_solids(made))[0]
    gap, bounds = stock - skin_deducted(p, mould), _bounds(p, mould, model, None)
    rough = [moulded(half, bounds) for half in halves(p, mould, gap)]
    return skin_finding(mould.part, rough, right.solid, gap)


@pytest.mark.long
def test_a_scoop_with_much_stock_is_told_what_helps_and_it_does(saltmarsh):
    bad = scoop_skin(saltmarsh, 5.0, whole=True)
    assert bad.verdict == "fail"
    assert "the miss grows with the 5 mm of stock" in bad.note
    most = float(re.search(r"about ([0-9.]+) mm", bad.note)[1])
    assert 2.0 < most < 4.0
    assert scoop_skin(saltmarsh, most).measured < bad.measured * 1.1 * most / 5.0
    s = saltmarsh.scoops[0]
    for key, value in (("height", s.height - 16.0), ("passage_length", s.passage_length + 70.0)):
        assert f"scoops.cheek.{key}" in bad.note
        assert scoop_skin(saltmarsh, 5.0, **{key: value}).measured < 0.9 * bad.measured


@pytest.mark.long
def test_pieces_cut_across_and_up_say_their_place_and_fit_the_router(saltmarsh):
    p, _ = with_mould(cylinder_pod(saltmarsh))
    has = Stock.model_validate(
        {"router": {"length": "800 mm", "width": "130 mm", "height": "60 mm"}}
    )
    p = p.model_copy(update={"handoff": p.handoff.model_copy(update={"stock": has})})
    pod = cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), RADIUS, LENGTH)
    made = mould_package(p, Model(parts={"pod": pod}))
    notes = {s.name: s.note for s in made.solids if "_plug_" in s.name}
    assert len(notes) == 8
    assert (
        "piece 1 of 4, STA 0.0 to 800.0, BL 0.0 to 50.0, WL -100.0 to 0.0"
        in (notes["pod_right_plug_1of4"])
    )
    assert "BL -100.0 to -50.0, WL 0.0 to 86.6" in notes["pod_left_plug_4of4"]
    checks = {c.id: c.verdict for c in [*made.findings, *stock_findings(p, made)]}
    assert checks["mould.volume.pod"] == checks["stock.fit.router.mould_maker"] == "pass"
