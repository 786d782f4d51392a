"""The pod's foam stack as a whole, on the example: sheets, findings, what is refused."""

import time

import numpy as np
import pytest
import shapely

from geomgen.drafting.clashes import clashes
from geomgen.drafting.record import CUT, REF
from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.model import Model
from geomgen.kernel.solids.properties import volume
from geomgen.parameters.records.pilot import OPENING
from geomgen.shapes.hull import exit_rim, hull, pod_body, pod_lines
from geomgen.shops.foam.package import canopy_opening, foam_package
from geomgen.shops.laminate import areal_weight, thickness
from geomgen.shops.layout_lines import laid


@pytest.fixture(scope="module")
def small_model(saltmarsh):
    pod = pod_lines(saltmarsh)
    pieces = [hull(saltmarsh, pod), exit_rim(saltmarsh, pod)]
    return Model(parts={piece.name: piece.solid for piece in pieces})


@pytest.fixture(scope="module")
def package(saltmarsh, small_model):
    return foam_package(saltmarsh, small_model)


def asked(p, **more):
    foam = p.handoff.foam.model_copy(update=more)
    return p.model_copy(update={"handoff": p.handoff.model_copy(update={"foam": foam})})


def by_id(package):
    return {finding.id: finding for finding in package.findings}


def test_every_slab_has_a_sheet_and_an_item(package):
    slabs = [item for item in package.items if item.name.startswith("foam slab")]
    names = [sheet.name for sheet in package.sheets]
    # 3 m in steps of 50 mm.
    assert len(slabs) == 60
    assert names[:60] == [item.files[0] for item in slabs]
    assert all(item.count == 2 for item in slabs)
    assert len(set(names)) == len(names)


def test_each_sheet_has_two_outlines_but_that_of_the_nose(package):
    counts = [
        sum(path.layer == CUT and path.name.startswith("face") for path in sheet.drawing.paths)
        for sheet in package.sheets[:60]
    ]
    assert counts == [1] + [2] * 59
    assert "THE LAST ONE IS THINNER" in package.sheets[59].drawing.notes[0]


def test_faces_that_meet_have_the_same_template(package):
    for before, after in zip(package.sheets[:59], package.sheets[1:60], strict=True):
        aft, front = ([p for p in s.drawing.paths if p.name.startswith("face")][k]
                      for s, k in ((before, -1), (after, 0)))  # fmt: skip
        assert aft.name == front.name
        assert aft.area() == pytest.approx(front.area(), rel=1e-9)


def test_findings_of_the_example(package, saltmarsh):
    found = by_id(package)
    assert not [f.id for f in package.findings if f.verdict == "fail"]
    assert found["foam.skin"].measured < 0.05
    assert int(found["foam.skin"].method.split()[0]) >= 500
    # Only the aft end has no skin beside it.
    assert "more at STA 3000.0 have" in found["foam.skin"].method
    assert found["foam.count"].measured == 60
    assert found["foam.stack"].measured == pytest.approx(100.0, abs=0.1)
    core = next(item for item in package.items if item.name == "foam core of the pod")
    # The kernel's volume of a body from another builder, its flat end drawn in by the skin.
    skin = thickness(saltmarsh.handoff.laminate)
    shrunk = volume(pod_body(pod_lines(saltmarsh), -skin)).value
    assert core.volume == pytest.approx(shrunk, rel=1e-4)


def moulds_of(p, *parts, exit_too=False):
    kept = tuple(mould for mould in p.handoff.moulds if mould.part in parts)
    kept += tuple(kept[0].model_copy(update={"part": "exit"}) for _ in range(exit_too))
    return p.model_copy(update={"handoff": p.handoff.model_copy(update={"moulds": kept})})


def test_the_skin_over_the_stack_counts_unless_a_mould_lays_it(saltmarsh, small_model, package):
    # The example moulds the pod ahead of the rim; its exit is laid over the stack.
    (aft,) = (item for item in package.items if item.laminate_area)
    thick = asked(saltmarsh, slab=250.0)
    bare = foam_package(moulds_of(thick), small_model)
    (whole,) = (item for item in bare.items if item.laminate_area)
    assert (whole.part, whole.kind, whole.volume) == ("pod", "part", None)
    skin = thickness(saltmarsh.handoff.laminate)
    pod, rim = pod_lines(saltmarsh), saltmarsh.exit.rim_station
    assert whole.laminate_area == pytest.approx(net_area(pod, pod.start, pod.end, skin), rel=2e-3)
    assert aft.laminate_area == pytest.approx(net_area(pod, rim, pod.end, skin), rel=2e-3)
    mass = areal_weight(saltmarsh.handoff.laminate) * whole.laminate_area * 1e-6
    assert whole.mass == pytest.approx(mass)
    assert "2 x glass twill" in whole.note
    assert "its area in a row of its own and those of the moulds" in core_note(package)
    assert core_note(bare).endswith("its area in a row of its own")
    none = foam_package(moulds_of(thick, "pod", exit_too=True), small_model)
    assert not [item for item in none.items if item.laminate_area]
    assert core_note(none).endswith("its area in those of the moulds that lay it")


def core_note(package):
    return next(item.note for item in package.items if item.name == "foam core of the pod")


def net_area(pod, start, end, skin):
    """Return both sides' area [mm2] of quadrilaterals between sections, drawn in by the skin."""
    share = np.linspace(0.0, 1.0, 400) ** 2
    rings = []
    for x in start + 1e-3 + share * (end - start - 2e-3):
        y, z = pod.half_section(x, skin).T
        rings.append(np.stack([np.full_like(y, x), y, z], axis=-1))
    net = np.array(rings)
    across, along = net[1:, 1:] - net[:-1, :-1], net[1:, :-1] - net[:-1, 1:]
    return float(np.linalg.norm(np.cross(across, along), axis=-1).sum())


def test_no_laminate_is_refused(saltmarsh, small_model):
    bare = saltmarsh.handoff.model_copy(update={"laminate": None})
    with pytest.raises(GeometryError, match="no laminate") as caught:
        foam_package(saltmarsh.model_copy(update={"handoff": bare}), small_model)
    assert "handoff.laminate" in caught.value.look_at


def test_no_foam_is_refused(saltmarsh, small_model):
    bare = saltmarsh.handoff.model_copy(update={"foam": None})
    with pytest.raises(GeometryError, match="no foam"):
        foam_package(saltmarsh.model_copy(update={"handoff": bare}), small_model)


def test_a_part_in_whole_slabs_with_templates_on_too_small_sheets(saltmarsh, small_model):
    few = asked(saltmarsh, start=1000.0, end=1300.0, slab=100.0, template_thickness=5.0,
        sheet_width=200.0,
                split_at_centre=False, inset_skin=False)  # fmt: skip
    package = foam_package(few, small_model)
    found = by_id(package)
    assert found["foam.count"].measured == 3
    assert found["foam.stack"].verdict == "pass"
    assert found["foam.skin"].verdict == "pass"
    assert (found["foam.blank"].verdict, found["foam.blank"].measured) == ("fail", 3)
    words = {label.text for label in package.sheets[0].drawing.labels}
    assert "RIGHT is to the right" in words


@pytest.fixture(scope="module")
def with_templates(saltmarsh, small_model):
    few = asked(saltmarsh, start=1000.0, end=1300.0, slab=96.0, template_thickness=6.0)
    return foam_package(few, small_model)


def test_templates_that_stay_have_rows_sheets_and_no_weight_in_the_foam(with_templates):
    package = with_templates
    names = [sheet.name for sheet in package.sheets]
    assert [n for n in names if "template" in n] == ["foam_template_01", "foam_template_02"]
    assert "foam_stack" in names
    rows = {item.name: item for item in package.items}
    templates = [row for name, row in rows.items() if name.startswith("foam template")]
    assert len(templates) == 2
    slabs = sum(row.volume for name, row in rows.items() if name.startswith("foam slab"))
    core = rows["foam core of the pod"]
    # Foam alone: what its slabs hold by Simpson's rule, and no template.
    assert core.volume == pytest.approx(slabs, rel=1e-3)
    assert core.mass == pytest.approx(core.volume * 32e-9)


def test_a_joint_has_one_outline_on_all_its_sheets(with_templates):
    sheets = {sheet.name: sheet.drawing for sheet in with_templates.sheets}
    areas = {
        name: [p.area() for p in drawing.paths if p.name.startswith("face") and p.layer == CUT]
        for name, drawing in sheets.items()
    }
    (guide,) = areas["foam_template_01"]
    assert areas["foam_01"][1] == pytest.approx(guide, rel=1e-12)
    assert areas["foam_02"][0] == pytest.approx(guide, rel=1e-12)
    assert any("along TEMPLATE 1" in label.text for label in sheets["foam_02"].labels)


def test_the_stack_shows_every_slab_in_its_place(package):
    sheet = next(sheet for sheet in package.sheets if sheet.name == "foam_stack")
    names = {path.name for path in sheet.drawing.paths}
    assert {f"slab {n}" for n in range(1, 61)} <= names
    assert clashes(sheet.drawing) == ()
    assert sheet.paper.size == "A3"


@pytest.mark.benchmark
def test_time_of_the_whole_stack(saltmarsh, small_model):
    start = time.process_time()
    foam_package(saltmarsh, small_model)
    assert time.process_time() - start < 10.0


def test_stack_says_which_way_the_fibre_of_its_skin_runs(package):
    stack = next(s for s in package.sheets if not s.full_size)
    assert any("fibre fore and aft" in note for note in stack.drawing.notes)


def test_a_part_that_stands_inside_is_a_line_on_each_template_it_passes(saltmarsh, small_model):
    # An upright board of 300 mm across a few slabs, and one within a slab.
    board = box((1210.0, -150.0, 700.0), (1330.0, 150.0, 712.0))
    sheet = box((1502.0, -150.0, 600.0), (1508.0, 150.0, 900.0))
    model = Model(
        parts={**small_model.parts, "frame_seat": board, "frame_back": sheet},
        families={"frame_seat": "frame", "frame_back": "frame"},
    )
    made = foam_package(asked(saltmarsh, start=1100.0, end=1600.0), model)
    with_line = {
        sheet.name: [p for p in sheet.drawing.paths if p.name == "frame_seat" and p.layer == REF]
        for sheet in made.sheets
    }
    # Slabs of 50 mm from STA 1100: faces at STA 1250 and 1300, each drawn on two slabs.
    on = {name: paths for name, paths in with_line.items() if paths}
    assert set(on) == {"foam_03", "foam_04", "foam_05"}
    assert [len(paths) for paths in on.values()] == [1, 2, 1]
    heights = [z for _, z in on["foam_03"][0].points]
    assert (min(heights), max(heights)) == pytest.approx((700.0, 712.0), abs=1e-6)
    notes = {sheet.name: " ".join(sheet.drawing.notes) for sheet in made.sheets}
    told = "frame_back stands 2 to 8 mm behind the front face"
    assert [name for name, words in notes.items() if told in words] == ["foam_09"]
    stack = next(sheet for sheet in made.sheets if sheet.name == "foam_stack")
    assert {"frame_seat", "frame_back"} <= {label.text for label in stack.drawing.labels}
    for name in (*on, "foam_stack"):
        sheet = next(sheet for sheet in made.sheets if sheet.name == name)
        assert not clashes(sheet.drawing), name


def test_the_canopys_opening_is_all_above_the_sill_between_its_ends(saltmarsh):
    assert canopy_opening(saltmarsh) == []
    cut = saltmarsh.canopy.model_copy(update={"built_as": OPENING})
    opening = canopy_opening(saltmarsh.model_copy(update={"canopy": cut}))
    body = shapely.box(0.0, 500.0, 300.0, 1100.0)
    (area,) = laid(opening, 845.0, body).areas.values()
    # Half way from STA 250 to STA 1440 the sill is half way from WL 800 to WL 900.
    assert area.bounds == pytest.approx((0.0, 850.0, 300.0, 1100.0), abs=1e-6)
    assert laid(opening, 240.0, body).areas == {}
    assert laid(opening, 1450.0, body).areas == {}


@pytest.mark.long
def test_the_canopys_opening_is_a_line_on_every_template_that_it_meets(saltmarsh, small_model):
    cut = saltmarsh.canopy.model_copy(update={"built_as": OPENING})
    p = asked(saltmarsh.model_copy(update={"canopy": cut}), slab=150.0, start=300.0, end=1500.0)
    sheets = foam_package(p, small_model).sheets
    lines = {
        sheet.name: [path for path in sheet.drawing.paths if path.name == "canopy opening"]
        for sheet in sheets
    }
    # The sill rises from WL 800 at STA 250 to WL 900 at STA 1440.
    sills = [800.0 + 100.0 * (x - 250.0) / 1190.0 for x in (450.0, 600.0)]
    lowest = [min(z for _, z in path.points) for path in lines["foam_02"]]
    assert sorted(lowest) == pytest.approx(sills, abs=0.05)
    assert lines["foam_stack"]
