"""The fate of hand-off files; common practice."""

import pytest

from geomgen.comparison.cut_parts import compared, concerns, inferred, of_part, products
from geomgen.comparison.drawing_changes import DrawingChange
from geomgen.comparison.parameter_changes import ParameterChange
from geomgen.comparison.shape_changes import PartChange

CORE = "wing_cores/core_panel1_left_root"


def drawing(sha="a", name=CORE, tiles=True, note="", part="wing"):
    more = {"for": part, "hand": "left", "note": note}
    rows = [{"file": f"{name}_mm.dxf", "what": "drawing", "sha256": sha, **more}]
    if tiles:
        rows.append({"file": f"{name}_a4_tiles.pdf", "what": "tiles", "sha256": sha, **more})
    return rows


def solid(sha="a", name="mould_maker/pod_left_plug"):
    more = {"for": "pod", "hand": "left", "note": "outside size", "part": name}
    return [
        {"file": f"{name}_mm.step", "what": "solid", "sha256": sha, **more},
        {"file": f"{name}_mm.stl", "what": "mesh", "sha256": f"{sha}m", **more},
    ]


def fate(old, new, shape=None, lines=None):
    (found,) = compared(products(old), products(new), lambda a, b: shape, lambda a, b: lines)
    return found


def test_a_sheet_at_full_size_is_a_template_also_without_tiles():
    bare = [{**row, "full_size": True} for row in drawing(tiles=False)]
    looked_at = [{**row, "full_size": False} for row in drawing(tiles=False)]
    assert products(bare)[CORE].template
    assert not products(looked_at)[CORE].template


def test_the_same_bytes_are_right():
    found = fate(drawing(), drawing())
    assert (found.fate, found.files, found.measured) == ("right", (), True)


def test_a_template_whose_outlines_moved_is_cut_again_with_all_its_files():
    found = fate(drawing("a"), drawing("b"), lines=DrawingChange("outlines", 3.2, None, 0.3))
    assert (found.fate, found.moved, found.part, found.hand) == ("cut again", 3.2, "wing", "left")
    assert found.files == (f"{CORE}_mm.dxf", f"{CORE}_a4_tiles.pdf")


@pytest.mark.parametrize(
    ("change", "tiles", "want"),
    [
        (DrawingChange("title only"), True, "title only"),
        (DrawingChange("texts"), True, "read again"),
        (DrawingChange("outlines", 1.0), False, "read again"),
    ],
)
def test_what_is_not_cut_from_is_read_again(change, tiles, want):
    assert fate(drawing("a", tiles=tiles), drawing("b", tiles=tiles), lines=change).fate == want


def test_another_note_is_read_again_though_the_lines_are_the_same():
    found = fate(
        drawing("a", note="0.4 mm thick"),
        drawing("b", note="0.5 mm thick"),
        lines=DrawingChange("title only"),
    )
    assert found.fate == "read again"
    assert "0.5 mm" in found.why


@pytest.mark.parametrize(
    ("kind", "want"),
    [("changed", "cut again"), ("moved", "moved"), ("not told apart", "not told apart"),
     ("same", "right")],
)  # fmt: skip
def test_a_solid_goes_by_its_shape(kind, want):
    found = fate(solid("a"), solid("b"), shape=PartChange("p", kind, 2.0, 0.1))
    assert found.fate == want


def test_what_came_and_went_is_told():
    rows = compared(products(drawing()), products(solid()), None, None)
    assert [(row.fate, row.name) for row in rows] == [
        ("withdrawn", CORE),
        ("new", "mould_maker/pod_left_plug"),
    ]


def guess(parts=(), keys=()):
    changes = [ParameterChange(key, "1", "2") for key in keys]
    (found,) = inferred(products(drawing()), parts, changes)
    return found


SAME = (PartChange("wing", "same"), PartChange("pod", "changed", 4.0, 0.2))


def test_nothing_is_called_right_that_was_not_compared():
    found = guess(SAME, ["flight.climb_speed", "handoff.foam.slab", "gear.wheels[main].width"])
    assert (found.fate, found.measured) == ("no reason found", False)
    assert "inferred" in found.why


@pytest.mark.parametrize(
    "key",
    ["handoff.cores.kerf", "handoff.laminate.plies[1].count", "wing.sections[2].chord",
     "output.mesh_tolerance", "joints[1].gap", "some.key.of.tomorrow"],
)  # fmt: skip
def test_a_key_that_may_concern_it_leaves_it_in_doubt(key):
    found = guess(SAME, [key])
    assert (found.fate, found.measured) == ("in doubt", False)
    assert key in found.why
    assert len(found.files) == 2


@pytest.mark.parametrize("kind", ["changed", "not told apart", "removed"])
def test_a_part_that_changed_leaves_it_in_doubt(kind):
    found = guess((PartChange("wing", kind, 2.5, 0.1),))
    assert (found.fate, found.moved) == ("in doubt", 2.5)


def test_a_part_that_only_moved_does_not():
    assert guess((PartChange("wing", "moved", 10.0, 0.1),)).fate == "no reason found"


def test_a_product_of_no_known_part_hangs_on_all_of_them():
    changes = {change.part: change for change in SAME}
    assert of_part("drawings of tomorrow", changes) == list(SAME)


def test_the_tables_of_other_shops_do_not_concern_a_shop():
    assert concerns("foam_stations", "handoff.foam.slab")
    assert not concerns("foam_stations", "handoff.moulds[1].flange")
    assert concerns("mould_maker", "handoff.moulds[1].flange")
    assert not concerns("sheet_shop", "handoff.laminate.fibre_density")


def test_drawings_of_the_machine_are_to_be_looked_at_and_no_product():
    rows = [{"file": "drawings/three_view_mm.dxf", "what": "drawing", "sha256": "a"}]
    assert products([*rows, *drawing()]).keys() == {CORE}
