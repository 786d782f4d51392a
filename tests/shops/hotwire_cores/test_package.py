from functools import cache
from unittest.mock import patch

import pytest

from geomgen.drafting.record import REF
from geomgen.errors import ParameterError
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.model import Model
from geomgen.kernel.solids.booleans import cut_pieces
from geomgen.kernel.solids.properties import kernel_box, volume
from geomgen.shapes.lifting import wing
from geomgen.shops.hotwire_cores import sections
from geomgen.shops.hotwire_cores.package import cores_package
from geomgen.shops.laminate import thickness


@pytest.fixture(scope="module", autouse=True)
def each_cut_once():
    """Cut the same solid by the same plane once for all tests."""
    with patch.object(sections, "regions", cache(sections.regions)):
        yield


@pytest.fixture(scope="module")
def model(saltmarsh):
    return Model(parts={"wing": wing(saltmarsh).solid})


@pytest.fixture(scope="module")
def package(saltmarsh, model):
    return cores_package(saltmarsh, model)


def test_a_sheet_for_each_end_of_each_panel_and_hand(package) -> None:
    names = {sheet.name: sheet.hand for sheet in package.sheets if sheet.full_size}
    assert package.shop == "wing_cores"
    assert names == {
        f"core_panel{number}_{hand}_{end}": hand
        for number in (1, 2)
        for hand in ("right", "left")
        for end in ("root", "tip")
    }
    plans = [sheet.name for sheet in package.sheets if not sheet.full_size]
    assert plans == ["core_plan_right", "core_plan_left"]


@pytest.fixture(scope="module")
def short(saltmarsh):
    """Return parameters and model of a wing of one panel."""
    p = one_panel(saltmarsh)
    return p, Model(parts={"wing": wing(p).solid})


def interrupted(whole, half_width: float) -> Model:
    """Return a wing in two halves, a straight gap between them."""
    slab = box((-100.0, -half_width, -100.0), (9000.0, half_width, 3000.0))
    left, right = sorted(
        cut_pieces(whole, [slab], "wing", "gap"), key=lambda s: kernel_box(s).low[1]
    )
    halves = {"wing_right": right, "wing_left": left}
    return Model(parts=halves, families=dict.fromkeys(halves, "wing"))


def test_cores_of_a_wing_in_two_halves_begin_clear_of_the_gap(short) -> None:
    p, model = short
    made = cores_package(p, interrupted(model.parts["wing"], 300.0))
    assert sum(sheet.full_size for sheet in made.sheets) == 4
    for hand in ("right", "left"):
        root = next(f for f in made.findings if f.id == f"core.station.panel1_{hand}.root")
        assert root.measured == pytest.approx(302.0, abs=1e-3)
    assert {f.verdict for f in made.findings} == {"pass"}


def test_a_panel_that_the_pod_takes_has_no_core_and_is_said(saltmarsh) -> None:
    """A section at the pod's side, as a builder writes it: BL 250 within a gap of 300 mm."""
    p = one_panel(saltmarsh)
    root, tip = p.wing.sections
    rows = (root, root.model_copy(update={"buttock_line": 250.0}), tip)
    p = p.model_copy(update={"wing": p.wing.model_copy(update={"sections": rows})})
    model = interrupted(wing(p).solid, 300.0)
    made = cores_package(p, model)
    assert {s.name for s in made.sheets if s.full_size} == {
        f"core_panel2_{hand}_{end}" for hand in ("right", "left") for end in ("root", "tip")
    }
    (none,) = [f for f in made.findings if f.id.startswith("core.none")]
    assert (none.id, none.measured) == ("core.none.panel1", 250.0)


def test_the_examples_cores_match_its_wing(package) -> None:
    ids = {finding.id for finding in package.findings}
    for name in ("edge", "match", "twist", "ticks", "washout"):
        wanted = {f"core.{name}.panel{n}_{hand}" for n in (1, 2) for hand in ("right", "left")}
        assert wanted <= ids
    assert {"core.hand.panel1", "core.hand.panel2"} <= ids
    assert {finding.verdict for finding in package.findings} == {"pass"}


def test_the_last_core_ends_where_the_moulded_tip_begins(package) -> None:
    tip = next(s for s in package.sheets if s.name == "core_panel2_right_tip")
    assert any("BL 4350.0" in label.text for label in tip.drawing.labels)
    moved = next(f for f in package.findings if f.id == "core.station.panel2_right.tip")
    assert moved.measured == 4350.0


def test_what_is_printed_on_a_template(package, saltmarsh) -> None:
    tip = next(s for s in package.sheets if s.name == "core_panel2_left_tip")
    text = " / ".join(label.text for label in tip.drawing.labels)
    skin = thickness(saltmarsh.handoff.laminate)
    for words in (
        "WING CORE - PANEL 2 OF 2 - TIP - LEFT",
        "THIS FACE OUT, TO THE TIP: seen from outboard",
        "TOP",
        "chord 914.0 mm",
        "(plus: tip nose-down)",
        "kerf 1.20",
        f"skin {skin:.3f} mm",
    ):
        assert words in text


def test_foam_is_the_wing_less_skin_troughs_and_tips(package, saltmarsh, model) -> None:
    items = {item.name: item for item in package.items}
    assert len(items) == 4
    cores = sum(item.volume for item in items.values())
    whole = volume(model.parts["wing"]).value
    p = saltmarsh.handoff
    # Closed forms: a tip of 150 mm of the section at its end, skin by area, troughs by their size.
    tips = 2 * 150.0 * 0.685 * 0.12 * 907.0**2
    skin = sum(item.laminate_area for item in items.values()) * thickness(p.laminate)
    troughs = 2 * 4350.0 * sum(cap.width * cap.depth for cap in p.cores.caps)
    assert cores == pytest.approx(whole - tips - skin - troughs, rel=2e-3)
    for item in items.values():
        assert item.mass == pytest.approx(item.volume * 1e-9 * 20.0)
        assert len(item.files) == 2
        assert "glass twill" in item.note


def one_panel(p, washout=2.0):
    """Return parameters of a wing of one short panel, without troughs and moulds."""
    first, *_, last = p.wing.sections
    rows = (first, last.model_copy(update={"washout": washout, "buttock_line": 900.0}))
    cores = p.handoff.cores.model_copy(update={"caps": ()})
    handoff = p.handoff.model_copy(update={"cores": cores, "moulds": ()})
    wing_ = p.wing.model_copy(update={"sections": rows})
    return p.model_copy(update={"wing": wing_, "handoff": handoff})


@pytest.mark.long
def test_a_panel_longer_than_the_bow_gets_templates_in_between(saltmarsh) -> None:
    p = one_panel(saltmarsh)
    cores = p.handoff.cores.model_copy(update={"bow": 700.0})
    p = p.model_copy(update={"handoff": p.handoff.model_copy(update={"cores": cores})})
    made = cores_package(p, Model(parts={"wing": wing(p).solid}))
    names = [f"core_panel1_{hand}_{n}" for n in (1, 2) for hand in ("right", "left")]
    assert [item.name for item in made.items] == names
    assert [sheet.name for sheet in made.sheets if sheet.full_size] == [
        f"{name}_{end}" for name in names for end in ("root", "tip")
    ]
    assert {finding.verdict for finding in made.findings} == {"pass"}
    assert {f.id for f in made.findings if f.id.startswith("core.hand")} == {
        "core.hand.panel1_1",
        "core.hand.panel1_2",
    }
    for item in made.items:
        assert item.size[0] <= 700.0
        assert "foam between the templates 450.0 mm square across" in item.note


def test_a_wing_that_was_built_with_other_washout_is_caught(saltmarsh) -> None:
    built = Model(parts={"wing": wing(one_panel(saltmarsh, washout=-2.0)).solid})
    found = cores_package(one_panel(saltmarsh), built).findings
    failed = {f.id: f for f in found if f.verdict == "fail"}
    assert set(failed) == {"core.washout.panel1_right", "core.washout.panel1_left"}
    assert failed["core.washout.panel1_right"].measured == pytest.approx(4.0, abs=1e-6)


def test_cores_less_a_skin_want_a_laminate(saltmarsh, model) -> None:
    bare = saltmarsh.model_copy(
        update={"handoff": saltmarsh.handoff.model_copy(update={"laminate": None})}
    )
    with pytest.raises(ParameterError, match="no laminate"):
        cores_package(bare, model)
    with pytest.raises(ParameterError, match="no cores"):
        cores_package(bare.model_copy(update={"handoff": None}), model)


def test_templates_and_list_say_which_way_the_fibre_runs(package) -> None:
    for sheet in package.sheets[:-2]:
        assert any("fibre along the span" in note for note in sheet.drawing.notes)
    assert all("fibre along the span" in item.note for item in package.items if item.kind == "part")


def test_a_spar_inside_is_a_line_on_every_template_at_its_place(saltmarsh, model) -> None:
    section = saltmarsh.wing.sections[0]
    x0, z0 = saltmarsh.wing.leading_edge, saltmarsh.wing.waterline
    low = (x0 + 0.3 * section.chord, -6000.0, z0 - 15.0)
    spar = box(low, (low[0] + 40.0, 6000.0, z0 + 15.0))
    parts = {**model.parts, "spar_wing": spar}
    made = cores_package(saltmarsh, Model(parts=parts, families={"spar_wing": "spar"}))
    drawn = {
        sheet.name: [path for path in sheet.drawing.paths if path.name == "spar_wing"]
        for sheet in made.sheets
        if sheet.full_size
    }
    # The wing rises outboard of a level spar, which is no longer inside it at the tip.
    assert [len(paths) for name, paths in drawn.items() if "panel1" in name and "root" in name] == [
        1,
        1,
    ]
    right, left = (drawn[f"core_panel1_{hand}_root"][0] for hand in ("right", "left"))
    assert right.layer == REF
    assert abs(right.area()) == pytest.approx(40.0 * 30.0, rel=1e-3)
    # The root's printed face is seen from inboard: aft is to the right on the right-hand side.
    middles = [sum(x for x, _ in path.points) / len(path.points) for path in (right, left)]
    assert middles[0] == pytest.approx(0.3 * section.chord + 20.0, abs=3.0)
    assert middles[1] == pytest.approx(-middles[0], abs=1e-6)
    notes = next(sheet for sheet in made.sheets if sheet.name == "core_panel1_right_root")
    assert "LINES: spar_wing" in notes.drawing.notes
    assert "spar_wing" in {label.text for label in notes.drawing.labels}
    assert {f.verdict for f in made.findings} == {"pass"}


def test_a_rib_in_the_plane_of_a_template_is_told_and_leaves_room_for_its_lines(short) -> None:
    p, model = short
    chord, low = p.wing.sections[0].chord, p.wing.leading_edge
    z = p.wing.waterline
    rib = box((low + 0.05 * chord, 898.0, z - 30.0), (low + 0.9 * chord, 902.0, z + 90.0))
    parts = {**model.parts, "rib_end_1_right": rib}
    made = cores_package(p, Model(parts=parts, families={"rib_end_1_right": "rib"}))
    notes = {sheet.name: sheet.drawing.notes for sheet in made.sheets if sheet.full_size}
    said = "STANDS IN THIS PLANE: rib_end_1_right"
    assert [name for name, told in notes.items() if said in told] == ["core_panel1_right_tip"]
    drawn = {
        sheet.name: [path for path in sheet.drawing.paths if path.name == "rib_end_1_right"]
        for sheet in made.sheets
    }
    # The plan shows where it stands; no template does.
    assert [name for name, paths in drawn.items() if paths] == ["core_plan_right"]
