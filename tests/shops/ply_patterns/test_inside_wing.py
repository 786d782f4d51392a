"""Ribs and webs among the patterns: against their solids' volumes, their holes, their mirrors."""

import math
from dataclasses import replace

import ezdxf
import numpy as np
import pytest
import shapely
from ezdxf.path import make_path
from joined_spars import SLOPED, plain
from spar_wings import BENT, planned

from geomgen.drafting.clashes import clashes
from geomgen.drafting.formats.dxf.writing import write_dxf
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import CUT
from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.model import Model
from geomgen.kernel.solids.properties import volume
from geomgen.parameters.records.masses import PartMass
from geomgen.parameters.records.shops import Handoff
from geomgen.parameters.values.materials import MATERIALS
from geomgen.shapes.wing_structure.published import inner_sheets
from geomgen.shapes.wing_structure.ribs import rib_pieces, ribs
from geomgen.shapes.wing_structure.spars import spars
from geomgen.shops.ply_patterns.marks import inner_words, words_of
from geomgen.shops.ply_patterns.outline import mirror_gap, pattern
from geomgen.shops.ply_patterns.package import _bends, _full, _part, ply_package
from geomgen.shops.ply_patterns.split import in_pieces, reached_by_straps, straps
from geomgen.shops.ply_patterns.stock import left_out, material_of, stocks
from geomgen.shops.ply_patterns.strips import pin_rows
from geomgen.workflows.handing_off.sheets import materials

SPARS = [{"kind": "caps and web", "end": "2600 mm"}]
RIBS = [
    {"at": ["500 mm"], "hole_web": "12 mm", "least_hole": "25 mm"},
    {"name": "f", "at": ["900 mm"], "pieces": "nose"},
]
MASSES = [
    {"part": "rib_a", "material": "birch plywood"},
    {"part": "rib", "material": "PVC foam 60"},
    {"part": "spar_main_web", "material": "birch plywood"},
]


@pytest.fixture(scope="module")
def handed():
    p = planned(BENT, SPARS, RIBS)
    p = p.model_copy(
        update={
            "handoff": Handoff.model_validate({"ply": {}}),
            "mass": tuple(PartMass.model_validate(row) for row in MASSES),
        }
    )
    made = [*spars(p), *ribs(p)]
    model = Model(
        parts={piece.name: piece.solid for piece in made},
        families={piece.name: piece.family for piece in made},
        sheets=inner_sheets(p),
    )
    return p, model, ply_package(p, model)


def test_all_passes_and_what_is_no_sheet_is_told(handed):
    p, model, package = handed
    judged = [check for check in package.findings if not check.id.startswith("ply.left_out")]
    assert {check.verdict for check in judged} == {"pass"}
    ids = {check.id for check in judged}
    assert {"ply.outline.rib_a_1_tail_left", "ply.notch.rib_a_1_tail_right",
            "ply.nest.birch_plywood_3", "ply.nest.birch_plywood_4"} <= ids  # fmt: skip
    (told,) = [check for check in package.findings if check not in judged]
    assert (told.id, told.measured) == ("ply.left_out.rib_f", 2.0)
    assert "of PVC foam 60: cut from foam" in told.what
    bare = p.model_copy(update={"mass": ()})
    assert {row.name for row in left_out(bare, model)} == {"rib_a", "rib_f", "spar_main_web"}
    assert not any("rib_f" in item.name for item in package.items)


def test_patterns_hold_what_the_solids_hold(handed):
    _, model, package = handed
    by_name = {item.name: item for item in package.items}
    for name in ("rib_a_1_nose_right", "rib_a_1_tail_left"):
        item, held = by_name[f"{name} blank"], volume(model.parts[name]).value
        assert item.volume == pytest.approx(held, rel=2e-4)
        assert item.mass == pytest.approx(held * 1e-9 * 680.0, rel=2e-4)
    webs = [i for i in package.items if i.part == "spar_main_web" and i.kind == "part"]
    assert len(webs) > 1
    # The faces of bent runs are drawn as the larger of both.
    assert sum(i.volume for i in webs) == pytest.approx(
        volume(model.parts["spar_main_web"]).value, rel=3e-3
    )


def test_holes_are_where_the_rib_has_them(handed):
    p, model, _ = handed
    (tail,) = [piece for piece in rib_pieces(p, p.ribs[0]) if piece.name.endswith("tail_right")]
    made = pattern(tail.name, model.parts[tail.name], model.sheets[tail.name])
    radii = sorted(round(math.sqrt(abs(path.area()) / math.pi), 3) for path in made.cuts[1:])
    assert radii == pytest.approx(sorted(r for _, _, r in tail.shape.holes), abs=0.03)
    twin = tail.name.replace("right", "left")
    other = pattern(twin, model.parts[twin], model.sheets[twin])
    assert mirror_gap(made, other) < 0.02
    assert mirror_gap(made, made) > 1.0


def test_the_left_ones_are_the_right_ones_turned_over(handed):
    _, _, package = handed
    names = {sheet.name for sheet in package.sheets}
    assert "ply_rib_a_1_tail_right" in names
    assert "ply_rib_a_1_tail_left" not in names
    (left,) = [item for item in package.items if item.name == "rib_a_1_tail_left blank"]
    assert left.files == ("ply_rib_a_1_tail_right",)
    assert "turned over" in left.note
    (sheet,) = [one for one in package.sheets if one.name == "ply_rib_a_1_tail_right"]
    texts = " ".join(label.text for label in sheet.drawing.labels)
    for words in ("CHORD LINE", "CL SPAR MAIN", "BL 500 AT ITS MIDDLE", "GRAIN", "TURNED OVER"):
        assert words in texts
    assert "GEOMETRY, NOT STRENGTH" in sheet.drawing.notes[0]
    # Also where a small part has no room for its arrow.
    assert "Grain of the faces: across" in sheet.drawing.notes[1]


def test_faces_of_a_rib_are_called_inboard_and_outboard(handed):
    """Never front and aft. Underneath lies the face that the sheet's normal points away from."""
    p, model, package = handed
    name = "rib_a_1_tail_right"
    (sheet,) = [one for one in package.sheets if one.name == f"ply_{name}"]
    assert "looking inboard: the inboard face is underneath" in sheet.drawing.notes[1]
    normals = [model.sheets[name.replace("right", side)].plane.normal for side in ("right", "left")]
    assert [normal[1] for normal in normals] == pytest.approx([1.0, -1.0])
    made = pattern(name, model.parts[name], model.sheets[name])
    stock = stocks(p, model)[name]
    said = words_of(inner_words(p), name)
    for face, word in (("front", "inboard"), ("aft", "outboard")):
        strap = _full(replace(made, face=face), said, stock, p.handoff.ply, True)
        # A rib so slender has no room for it: it stands beside the drawing.
        assert f"BUTT STRAP ON THE {word.upper()} FACE, NOT DESIGNED" in strap.drawing.notes
        assert f"strap on the {word} face" in strap.note
        row = _part(made, stock, model.sheets[name], made, False, said.faces(face))
        assert f"butt strap on its {word} face" in row.note
    web = next(one for one in package.sheets if one.name.startswith("ply_spar_main_web"))
    assert "the front face is underneath" in web.drawing.notes[1]


def test_the_centre_line_of_the_spar_stands_where_the_spar_does(handed):
    """Its middle is at 0.3 of a chord of 1200 mm; the sheet's origin is known."""
    p, model, package = handed
    name = "rib_a_1_tail_right"
    (sheet,) = [one for one in package.sheets if one.name == f"ply_{name}"]
    (path,) = [path for path in sheet.drawing.paths if path.name == "CL SPAR MAIN"]
    edge = p.wing.leading_edge
    station = model.sheets[name].plane.origin[0] - path.points[0][0]
    assert station == pytest.approx(edge + 0.3 * 1200.0, abs=0.01)


def test_a_web_longer_than_the_sheets_is_cut_in_lengths(handed):
    p, model, _ = handed
    (name, *_) = [one for one in model.sheets if "web" in one]
    whole = pattern(name, model.parts["spar_main_web"], model.sheets[name])
    shop = p.handoff.ply.model_copy(update={"sheet_length": 420.0, "sheet_width": 420.0})
    pieces = in_pieces(whole, shop, "length")
    assert len(pieces) == math.ceil(whole.size[0] / 400.0)
    assert max(piece.size[0] for piece in pieces) <= 400.0
    assert sum(piece.whole.area for piece in pieces) == pytest.approx(whole.whole.area)
    assert in_pieces(whole, p.handoff.ply.model_copy(update={"sheet_length": 5000.0}), "") == [
        whole
    ]


def test_a_strap_on_a_web_lies_between_the_caps(handed):
    p, model, _ = handed
    sheet = model.sheets["spar_main_web_run_2"]
    whole = pattern("web", model.parts["spar_main_web"], sheet)
    shop = p.handoff.ply.model_copy(update={"sheet_length": 420.0, "sheet_width": 420.0})
    near = reached_by_straps(whole, in_pieces(whole, shop, "length"), 12.0)
    made = straps(p, model, "spar_main_web_run_2", whole, near, 4.0)
    assert len(made) == len(near) > 0
    for one, (_, area) in zip(made, near, strict=True):
        # Half a millimetre clear of the caps above and below.
        off = area.area - one.whole.area
        assert off == pytest.approx(2 * 0.5 * 24.0 * whole.thickness, rel=0.1)
        assert one.size[0] == pytest.approx(24.0 * whole.thickness)


def test_a_web_has_a_strap_where_it_bends_with_the_wing(handed):
    """Both wings rise by 4 deg from BL 0, where the middle run bends; the others bend at ends."""
    _, model, _ = handed
    whole = {
        n: pattern("web", model.parts["spar_main_web"], model.sheets[f"spar_main_web_run_{n}"])
        for n in (1, 2, 3)
    }
    assert [_bends(model, f"spar_main_web_run_{n}", whole[n]) for n in (1, 3)] == [[], []]
    ((axis, at),) = bends = _bends(model, "spar_main_web_run_2", whole[2])
    assert axis == 0
    assert whole[2].frame.lifted((at, 0.0))[1] == pytest.approx(0.0, abs=1e-6)
    near = reached_by_straps(whole[2], [whole[2]], 12.0, bends)
    ((joint, area),) = near
    x0, _, x1, _ = area.bounds
    assert joint == (axis, at)
    assert x1 - x0 == pytest.approx(24.0 * whole[2].thickness)
    assert whole[2].frame.lifted(((x0 + x1) / 2, 0.0))[1] == pytest.approx(0.0, abs=1e-6)
    assert reached_by_straps(whole[2], [whole[2]], 0.0, bends) == []
    assert _bends(model, "rib_a_1_nose_right", whole[2]) == []


@pytest.mark.long
def test_a_skin_in_two_parts_holds_a_strap_as_a_whole_one_does(handed):
    p, model, _ = handed
    whole = pattern("web", model.parts["spar_main_web"], model.sheets["spar_main_web_run_2"])
    near = reached_by_straps(whole, [whole], 12.0, [(0, 300.0)])
    skins = {"wing": ((-4500.0, 4500.0),), "two": ((-4500.0, 799.0), (801.0, 4500.0))}
    areas = []
    for ends in skins.values():
        bars = {f"wing_{i}": box((1000.0, a, 1000.0), (3000.0, b, 2000.0))
                for i, (a, b) in enumerate(ends)}  # fmt: skip
        held = replace(model, parts={**model.parts, **bars},
                       families={**model.families, **dict.fromkeys(bars, "wing")})  # fmt: skip
        (one,) = straps(p, held, "spar_main_web_run_2", whole, near, 4.0)
        areas.append(one.whole.area)
    assert min(areas) > 0.0
    assert areas[0] == pytest.approx(areas[1])


def test_a_sheet_with_a_hollow_in_it_is_none(handed):
    """Faces and thickness are right, and the volume is that of another one."""
    _, model, _ = handed
    sheet = model.sheets["rib_a_1_nose_right"]
    thin = replace(sheet, thickness=sheet.thickness / 2)
    with pytest.raises(GeometryError, match="no face in its plane"):
        pattern("rib_a_1_nose_right", model.parts["rib_a_1_nose_right"], thin)


def test_plates_of_a_joint_with_their_holes_and_pins(tmp_path):
    """Volumes by hand: 290 by 60 by 4 mm less four holes of 10.1 mm; pins of 10 mm."""
    p, model = plain()
    p = p.model_copy(update={"handoff": Handoff.model_validate({"ply": {}}), "ribs": ()})
    plates = {n: sheet for n, sheet in model.sheets.items() if n.startswith("joint_plate")}
    parts = {n: solid for n, solid in model.parts.items() if n.startswith("joint")}
    package = ply_package(p, replace(model, sheets=plates, parts=parts))
    ids = {c.id: c for c in package.findings if "joint_plate" in c.id}
    for hand in ("right", "left"):
        assert ids[f"ply.pins.joint_plate_main_inner_1_{hand}"].measured == pytest.approx(
            0, abs=0.01
        )
    assert {c.verdict for c in ids.values()} == {"pass"}
    items = {item.name: item for item in package.items}
    plate, pin = items["joint_plate_main_outer_2_left blank"], items["joint_pin_main_3_left pin"]
    held = 4.0 * (290.0 * 60.0 - math.pi * 10.1**2)
    assert plate.volume == pytest.approx(held, rel=2e-4)
    assert plate.mass == pytest.approx(held * 1e-9 * 7850.0, rel=2e-4)
    assert plate.files == ("ply_joint_plate_main_outer_2_right",)
    length = 2 * 4.3 + 2 * 5.0 + 3.0
    assert pin.size == (pytest.approx(length, abs=1e-3), 10.0, 10.0)
    assert items["steel rod, 10 mm, to order"].size[0] == pytest.approx(8 * length, abs=0.01)
    (sheet,) = [one for one in package.sheets if one.name == "ply_joint_plate_main_inner_1_right"]
    texts = " ".join(label.text for label in sheet.drawing.labels)
    for words in ("JOINT, BL 2500", "PINS 55 mm OUT", "15 mm UP", "4 HOLES 10.10 mm DIA"):
        assert words in texts
    assert "GRAIN" not in texts
    # Each word of an upright line stands over that line, 55 mm from the joint's own.
    at = {label.text: label.at[0] for label in sheet.drawing.labels}
    assert [at[f"PINS 55 mm {way}"] - at["JOINT, BL 2500"] for way in ("IN", "OUT")] == [
        pytest.approx(-55.0), pytest.approx(55.0)
    ]  # fmt: skip
    assert clashes(sheet.drawing) == ()
    dxf = ezdxf.readfile(write_dxf(tmp_path / "p.dxf", sheet.drawing, Title("P", "plate", "A")))
    cuts = [make_path(e).flattening(1e-3) for e in dxf.modelspace() if e.dxf.layer == CUT]
    rings = [shapely.Polygon([(v.x, v.y) for v in points]) for points in cuts]
    each = [(r.centroid.x, r.centroid.y, r.area) for r in rings if r.area < 1000.0]
    holes = sorted(each, key=lambda hole: (round(hole[0]), round(hole[1])))
    want = sorted((x, y, math.pi / 4 * 10.1**2) for x in (-55.0, 55.0) for y in (-15.0, 15.0))
    assert np.array(holes) == pytest.approx(np.array(want), abs=0.4)
    assert np.array(holes)[:, :2] == pytest.approx(np.array(want)[:, :2], abs=0.01)
    assert "Inner half of the joint of spar main at BL 2500" in sheet.drawing.notes[2]


def plates_on(length, **more):
    """Return what is handed off of the plates, 290 by 60 mm, on sheets so long by 200 mm."""
    p, model = plain()
    shop = {"ply": {"sheet_length": length, "sheet_width": "200 mm", "strap_ratio": 4}, **more}
    p = p.model_copy(update={"handoff": Handoff.model_validate(shop), "ribs": ()})
    plates = {n: sheet for n, sheet in model.sheets.items() if n.startswith("joint_plate")}
    parts = {n: solid for n, solid in model.parts.items() if n.startswith("joint")}
    return ply_package(p, replace(model, sheets=plates, parts=parts))


def test_a_plate_of_a_joint_is_laid_either_way_and_never_cut_in_pieces():
    names = {sheet.name for sheet in plates_on("320 mm").sheets}
    assert "ply_joint_plate_main_inner_1_right" in names
    assert not [name for name in names if "piece" in name or "strap" in name]
    with pytest.raises(GeometryError, match="no plate of a joint is cut"):
        plates_on("300 mm")


def test_metal_is_ordered_in_sheets_of_its_own_or_cut_to_size():
    """Of eight plates of 290 by 60 mm: two rows of four on a sheet of 600 by 290 mm."""
    price = [{"stock": "steel sheet, 4 mm", "price": "30 shells"}]
    rows = [
        {"material": "steel", "length": "9 m", "width": "9 m", "thickness": "2 mm"},
        {"material": "steel", "length": "620 mm", "width": "310 mm"},
    ]
    package = plates_on("2440 mm", stock={"sheets": rows}, prices=price)
    plates = [item for item in package.items if item.name.startswith("joint_plate")]
    (order,) = [item for item in package.items if item.name == "steel 4 mm, to order"]
    nests = [sheet for sheet in package.sheets if sheet.name.startswith("ply_nest")]
    assert order.size == (620.0, 310.0, 4.0)
    # No spare sheet of metal unless one is asked for.
    assert order.count == len(nests) == math.ceil(len(plates) / 8)
    assert order.cost == (pytest.approx(30.0 * order.count), "shells")
    rows[1]["allowance"] = 1.0
    package = plates_on("2440 mm", stock={"sheets": rows})
    (order,) = [item for item in package.items if item.name == "steel 4 mm, to order"]
    assert order.count == 2 * len(nests)

    package = plates_on("320 mm", prices=price)
    bought = [item for item in package.items if item.name == "steel 4 mm, to order"]
    # As nested on sheets of 320 by 200 mm, 10 mm round each; no more is ordered than they take.
    assert all(item.size[0] <= 320.0 and item.size[1] <= 200.0 for item in bought)
    held = sum(item.volume for item in plates)
    assert held < sum(item.volume for item in bought) < 1.5 * held
    assert {item.cost for item in bought} == {(30.0, "shells")}


def test_a_sheet_with_a_bevel_has_one_for_each_hand_and_none_says_turned_over():
    """Of a swept wing: its webs' ends lean. Turned over, their bevel would be on the other face."""
    p = planned(SLOPED, [{"kind": "caps and web", "start": "2000 mm", "end": "2600 mm"}])
    rows = (PartMass.model_validate({"part": "spar_main_web", "material": "birch plywood"}),)
    p = p.model_copy(update={"handoff": Handoff.model_validate({"ply": {}}), "mass": rows})
    webs = inner_sheets(p)
    assert len(webs) == 2
    parts = {piece.name: piece.solid for piece in spars(p) if piece.name in webs}
    sheets = ply_package(p, Model(parts=parts, sheets=webs))
    texts = {one.name: " ".join(label.text for label in one.drawing.labels)
             for one in sheets.sheets if "web" in one.name}  # fmt: skip
    assert set(texts) == {f"ply_{name}" for name in webs}
    assert all("LARGER FACE" in said and "TURNED OVER" not in said for said in texts.values())


def test_pins_of_all_joints_are_one_rod_to_buy_weighed_and_priced_as_the_file_says():
    """Twice eight pins of 30 mm and 10 mm: two spars have the same rod."""
    p, model = plain()
    pins = {n: solid for n, solid in model.parts.items() if n.startswith("joint_pin_main_")}
    parts = pins | {n.replace("_main_", "_aux_"): solid for n, solid in pins.items()}
    shop = {"ply": {}, "prices": [{"stock": "steel rod, 10 mm", "price": "40 shells"}]}
    weighed = PartMass.model_validate({"part": "joint_pin_aux", "density": "4000 kg/m^3"})
    both = (p.spars[0], p.spars[0].model_copy(update={"name": "aux"}))
    p = p.model_copy(
        update={"handoff": Handoff.model_validate(shop), "spars": both, "mass": (weighed,)}
    )
    items = pin_rows(p, Model(parts=parts))
    (rod,) = [item for item in items if item.kind == "buy"]
    held = math.pi / 4 * 10.0**2 * sum(item.size[0] for item in items[:-1])
    assert rod.volume == pytest.approx(held)
    assert rod.mass == pytest.approx(held / 2 * 1e-9 * (7850.0 + 4000.0))
    assert rod.cost == (pytest.approx(rod.size[0] / 1e3 * 40.0), "shells")
    other = weighed.model_copy(update={"material": "titanium", "density": None})
    made = pin_rows(p.model_copy(update={"mass": (other,)}), Model(parts=parts))
    bought = {item.material: item.mass for item in made if item.kind == "buy"}
    titanium = held / 2 * 1e-9 * MATERIALS["titanium"].density
    assert bought["titanium rod, 10 mm"] == pytest.approx(titanium)
    plates = weighed.model_copy(update={"part": "joint_plate", "density": 8000.0})
    found = stocks(p.model_copy(update={"mass": (plates,)}), plain()[1])
    assert found["joint_plate_main_inner_1_right"].density == 8000.0
    known = materials(p, list(parts))
    assert known["joint_pin_aux_1"].density == 4000.0
    assert known["joint_pin_main_1"].density == 7850.0


def test_the_nearest_name_says_the_material(handed):
    p, _, _ = handed
    assert material_of(p, "rib_a_1_tail_left") == ("birch plywood", 680.0)
    assert material_of(p, "rib_f_1_nose_left") == ("PVC foam 60", 60.0)
    assert material_of(p, "spar_main_cap_upper") is None
