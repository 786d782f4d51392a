"""A mould that goes on beyond the part's end: by how much, what it holds, where it is trimmed."""

from dataclasses import replace

import numpy as np
import pytest
import trimesh
from shops.moulds.plain_moulds import LENGTH, RADIUS, cylinder_pod, with_mould

from geomgen.kernel.brep.primitives import cylinder
from geomgen.kernel.model import Model
from geomgen.kernel.solids.properties import kernel_box, volume
from geomgen.shops.moulds.bodies import course_of, mould_body, tip_rows
from geomgen.shops.moulds.marks import mark_words
from geomgen.shops.moulds.package import mould_package
from geomgen.shops.moulds.trim import trim_ends, trim_words
from geomgen.workflows.handing_off import shop_files

RIM, GAP, MORE = 600.0, 1.0, 25.0


def joined(saltmarsh, **fields):
    """Return a cylinder that is pod to RIM and exit from there on, with one mould."""
    p = cylinder_pod(saltmarsh)
    rim = saltmarsh.exit.model_copy(update={"rim_station": RIM, "gap": GAP, "tail_fairing": None})
    return with_mould(p.model_copy(update={"exit": rim}), trim_allowance=MORE, **fields)


def ends(p, mould):
    c = course_of(p, mould)
    return trim_ends(p, mould, c.start, c.end)


@pytest.mark.parametrize(
    ("part", "span", "at", "name"),
    [
        ("pod", (0.0, RIM + MORE), RIM, "aft end"),
        ("exit", (RIM + GAP - MORE, LENGTH), RIM + GAP, "fore end"),
    ],
)
def test_pod_and_exit_go_on_into_each_other(saltmarsh, part, span, at, name):
    p, mould = joined(saltmarsh, part=part)
    solid = mould_body(p, mould)
    box = kernel_box(solid)
    assert (box.low[0], box.high[0]) == pytest.approx(span, abs=1e-6)
    whole = np.pi * RADIUS**2 * (span[1] - span[0])
    assert volume(solid).value == pytest.approx(whole, rel=1e-4)
    (end,) = ends(p, mould)
    assert (end.name, end.axis, end.at, end.by) == (name, 0, at, MORE)
    assert f"25 mm beyond the {name}, trim at STA {at:g}" in trim_words(mould, [end])


def test_no_further_than_the_loft_goes(saltmarsh):
    p, mould = joined(saltmarsh)
    mould = mould.model_copy(update={"trim_allowance": 260.0})
    (end,) = ends(p, mould)
    assert end.by == LENGTH - RIM


def test_a_pod_without_an_exit_has_none_and_that_is_said(saltmarsh):
    p, mould = with_mould(cylinder_pod(saltmarsh), trim_allowance=MORE)
    assert ends(p, mould) == []
    assert kernel_box(mould_body(p, mould)).high[0] == pytest.approx(LENGTH)
    assert "at no end" in trim_words(mould, [])
    assert trim_words(mould.model_copy(update={"trim_allowance": 0.0}), []) == ""


def test_a_wing_tip_goes_on_inboard(saltmarsh):
    fields = {"part": "wing_tip", "split": "maximum breadth", "from_buttock_line": 4350.0}
    p, mould = with_mould(saltmarsh, trim_allowance=MORE, **fields)
    plain = mould.model_copy(update={"trim_allowance": 0.0})
    assert tip_rows(p, plain, 0.0)[0][0, 1] == pytest.approx(4350.0)
    assert tip_rows(p, mould, 0.0)[0][0, 1] == pytest.approx(4350.0 - MORE)
    (end,) = trim_ends(p, mould, None, None)
    assert (end.axis, end.at, end.by) == (1, 4350.0, MORE)


def test_the_hand_off_draws_the_trim_line_drills_it_and_holds_to_the_part(saltmarsh):
    p, mould = joined(saltmarsh, lines="drill points", line_pitch=80.0)
    pod = cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), RADIUS, RIM)
    made = mould_package(p, Model(parts={"pod": pod}))
    checks = {check.id: check for check in made.findings}
    assert {check.verdict for check in checks.values()} == {"pass"}
    assert checks["mould.lines.pod"].measured < 0.021
    assert "mould.drill_points.pod" in checks
    sheets = {sheet.name: sheet for sheet in made.sheets}
    line = [
        path for path in sheets["lines_pod_right_full_size"].drawing.paths
        if path.name == "trim line, aft end"
    ]  # fmt: skip
    assert {round(-x, 3) for path in line for x, _ in path.points} == {RIM}
    piece = next(s for s in made.solids if s.name == "pod_right_plug_outside")
    whole = np.pi * RADIUS**2 * (RIM + MORE) / 2
    holes = volume(piece.solid).value - whole
    assert holes < -5 * np.pi * 2.0
    assert mark_words(mould) in piece.note
    assert "trim at STA 600" in piece.note


def test_with_stock_on_there_is_nothing_to_drill(saltmarsh):
    _, mould = with_mould(cylinder_pod(saltmarsh), lines="drill points", stock=1.0)
    assert mark_words(mould).startswith("no drill points, there is stock on")
    assert mark_words(mould.model_copy(update={"lines": "drawing"})) == ""


@pytest.mark.long
def test_grooves_along_the_trim_line_reach_the_files_of_both_halves(saltmarsh, tmp_path):
    p, _ = joined(saltmarsh, lines="grooves", line_depth=0.4, line_width=1.0)
    pod = cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), RADIUS, RIM)
    made = mould_package(p, Model(parts={"pod": pod}))
    checks = {c.id: c for c in made.findings}
    assert checks["mould.marks.pod"].verdict == checks["mould.beside_marks.pod"].verdict == "pass"
    shop = replace(made, sheets=())
    files = {entry["file"] for entry in shop_files._shop(tmp_path, p, shop, "").entries}
    for half in ("right", "left"):
        name = f"mould_maker/pod_{half}_plug_outside_marked_mm.stl"
        assert name in files
        body = trimesh.load(tmp_path / name)
        assert body.is_watertight
        turn = np.linspace(0.1, np.pi - 0.1, 40) * (1 if half == "right" else -1)
        out = np.c_[np.zeros(40), np.sin(turn), np.cos(turn)]
        # Just beside the V's root: on the edge of two triangles a ray may slip through.
        start = 1.1 * RADIUS * out + [RIM + 1e-3, 0.0, 0.0]
        hits, rays, _ = body.ray.intersects_location(start, -out)
        far = np.full(40, np.inf)
        np.minimum.at(far, rays, np.linalg.norm(hits - start[rays], axis=1))
        assert far == pytest.approx(0.1 * RADIUS + 0.4, abs=0.02)
    items = {file for item in made.items for file in item.files}
    assert "pod_right_plug_outside_marked" in items
