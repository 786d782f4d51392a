"""The sheet of the machine on its wheels, read back from its DXF with ezdxf: closed forms."""

from dataclasses import replace
from math import hypot

import ezdxf
import numpy as np
import pytest
from aircraft_drawings.on_wheels.standing_machines import (
    AFT,
    CENTRES,
    EYE,
    FORWARD,
    NOSE,
    SIGHT,
    TIP_BACK,
    check,
    checks,
    overturn,
    standing_machine,
)

from geomgen.aircraft_drawings.choices import Choices
from geomgen.aircraft_drawings.on_wheels.attitudes import attitudes
from geomgen.aircraft_drawings.on_wheels.seen_from import StandingMachine
from geomgen.aircraft_drawings.on_wheels.side_view import SideView
from geomgen.aircraft_drawings.on_wheels.stance import stance_of
from geomgen.aircraft_drawings.on_wheels.standing import TABLE, standing
from geomgen.aircraft_drawings.views import views_of
from geomgen.drafting.clashes import clashes
from geomgen.drafting.formats.every_format import write_drawing
from geomgen.drafting.paper.title import Title
from geomgen.kernel.plain import Ground, Plane

THIRD = Choices("third angle", "A3")


@pytest.fixture(scope="module")
def views():
    """Return the views of the plain machine, whose lines are found once."""
    return views_of(standing_machine())


@pytest.fixture(scope="module")
def sheet(views):
    """Return its sheet with all that is known."""
    return standing(views, THIRD, checks(), CENTRES)


def figures(sheet):
    """Return what each dimension measures by its name."""
    return {one.name: one.measured for one in sheet.drawing.dimensions}


def test_every_figure_read_back_by_another_library(sheet, tmp_path):
    """DIMENSION entities of the DXF, measured by ezdxf, against the numbers of the machine."""
    write_drawing(tmp_path, sheet, Title("Demo", "On its wheels", "A"))
    space = ezdxf.readfile(tmp_path / "standing_mm.dxf").modelspace()
    found = {}
    for one in space.query("DIMENSION"):
        found.setdefault(one.dxf.text, []).append(float(one.get_measurement()))
    arm = (FORWARD.at[0] - 400.0) * 700.0 / hypot(1500.0, 700.0)
    due = {
        "TIP-BACK <>": [TIP_BACK],
        "OVERTURN <>": [overturn()],
        "SIGHT DOWN <>": [SIGHT],
        "B <>": [8.0],
        "A <>": [130.0],
        "WHEELBASE <>": [1500.0],
        "TRACK <>": [1400.0, 1400.0],
        "WING TIP <>": [1250.0 - 20.0],
        "<>": [880.0, arm, arm],
    }
    assert set(found) == set(due)
    for text, values in due.items():
        assert sorted(found[text], reverse=True) == pytest.approx(
            sorted(values, reverse=True), abs=0.05
        ), text
    kinds = {one.dxf.text: one.dimtype for one in space.query("DIMENSION")}
    assert {kinds[text] for text in ("TIP-BACK <>", "OVERTURN <>", "SIGHT DOWN <>", "B <>")} == {5}


def test_what_it_says(sheet):
    texts = {label.text for label in sheet.drawing.labels}
    assert {f"FORWARD: {FORWARD.name}", f"AFT: {AFT.name}"} <= texts
    assert {"VIEW FROM THE LEFT", "ALONG THE OVERTURN AXIS", "OVERTURN AXIS"} <= texts
    assert {"A", "B", "C", "STATIC", "ROTATED", "FLAT TYRE, MAIN", "8.0°", "130.0 mm"} <= texts
    assert not [note for note in sheet.drawing.notes if note.startswith(("no ", "left out"))]
    assert "pilot" in {path.name for path in sheet.drawing.paths}


@pytest.mark.parametrize(
    ("angle", "size"),
    [
        ("third angle", "A3"),
        ("first angle", "A4"),
        *(pytest.param("first angle", size, marks=pytest.mark.long) for size in ("A3", "A2", "A0")),
    ],
)
def test_nothing_runs_into_a_text(views, angle, size):
    made = standing(views, Choices(angle, size), checks(), CENTRES)
    assert (made.size, made.projection) == (size, angle)
    assert clashes(made.drawing) == ()


def test_a_moved_centre_moves_the_angles(views, sheet):
    """By 100 mm forward, with the checks of the moved one: closed forms."""
    moved = tuple(replace(c, at=(c.at[0] - 100.0, *c.at[1:])) for c in CENTRES)
    due = {"gear.tip_back_angle": 21.2505, "gear.overturn_angle": max(map(overturn, moved))}
    told = [replace(c, measured=due.get(c.id, c.measured)) for c in checks()]
    made = figures(standing(views, THIRD, told, moved))
    assert {name: made[name] for name in due} == pytest.approx(due, abs=1e-3)
    assert all(made[name] > figures(sheet)[name] + 1.0 for name in due)


def test_a_figure_that_is_not_its_check_s_is_left_out_and_said(views):
    told = [
        replace(c, measured=c.measured + 0.2) if c.id == "gear.tip_back_angle" else c
        for c in checks()
    ]
    made = standing(views, THIRD, told, CENTRES)
    assert "gear.tip_back_angle" not in figures(made)
    assert "left out, as the check says otherwise: gear.tip_back_angle" in made.drawing.notes


def test_without_loadings_there_is_no_angle_to_a_centre(views):
    made = standing(views, THIRD, checks(()), (), "nobody flies it")
    assert {"wheel base", "track", "sight.over_nose.static"} <= set(figures(made))
    assert not {name for name in figures(made) if name.startswith(("gear.", "overturn"))}
    assert "no centre of gravity: nobody flies it" in made.drawing.notes
    assert "centre of gravity" not in {path.name for path in made.drawing.paths}


def test_without_a_pilot_there_is_no_sight(views, monkeypatch):
    model = views.measures.model
    monkeypatch.setattr(model, "pilot", [])
    monkeypatch.setattr(model, "eye", None)
    told = [c for c in checks() if not c.id.startswith("sight")]
    made = standing(views, THIRD, told, CENTRES)
    assert "gear.tip_back_angle" in figures(made)
    assert not {"pilot", "eye", "sight over the nose"} & {p.name for p in made.drawing.paths}
    assert [note for note in made.drawing.notes if note.startswith("no sight over the nose")]


def test_what_was_not_measured_is_not_drawn(views):
    made = standing(views, THIRD, (), CENTRES)
    assert set(figures(made)) == {"wheel base", "track", "wing tip height", "nose up rotated"}
    assert [note for note in made.drawing.notes if note.startswith("no sight over the nose")]


def test_one_that_does_not_stand_has_no_sheet():
    assert standing(views_of(standing_machine("wheel")), THIRD, checks(), CENTRES) is None


def test_on_a_sheet_too_small_for_it_the_table_is_left_out_and_said(views, monkeypatch):
    from geomgen.aircraft_drawings.on_wheels import standing as module

    def far(beside, *_):
        return beside.moved(1e6, 0.0)

    monkeypatch.setattr(module, "_in_corner", far)
    made = standing(views, THIRD, checks(), CENTRES)
    assert [note for note in made.drawing.notes if TABLE in note]
    assert "gear.overturn_angle" not in figures(made)


@pytest.mark.long
def test_as_it_stands_nose_up_lines_are_those_of_the_turned_look():
    """From beside the level machine's lines are turned; the kernel's own look gives the same."""
    model = standing_machine()
    pitch = np.radians(5.0)
    normal = (-float(np.sin(pitch)), 0.0, float(np.cos(pitch)))
    model.grounds = [Ground("static", Plane((1900.0, 0.0, 20.0), normal), "leaning")]
    from geomgen.aircraft_drawings.on_wheels.stance import stance_of
    from geomgen.aircraft_drawings.on_wheels.standing import _bare
    from geomgen.drafting.record import Drawing

    views = views_of(model)
    stance = stance_of(views.measures)
    turned = Drawing("", _bare(views, stance, type("M", (), {"looks": stance.looks()}))["side"])
    looked = Drawing("", views.lines({"side": stance.looks()["side"]})["side"])
    assert np.allclose(turned.box(), looked.box(), atol=0.5)


@pytest.mark.parametrize(
    ("turn", "id_", "words"),
    [
        (SIGHT, "static", "SIGHT DOWN "),
        (-SIGHT, "static", "SIGHT UP "),
        (-SIGHT, "level", "LEVEL: SIGHT UP "),
    ],
)
def test_a_sight_says_which_way_it_goes(views, turn, id_, words):
    """Broken before: "SIGHT UP LEVEL" for a nose that bars the horizon in level flight."""
    stance = stance_of(views.measures)
    machine = StandingMachine(
        views.measures,
        stance,
        stance.looks(),
        tuple(attitudes(views.measures.model, stance, checks())),
        tuple(CENTRES),
        {f"sight.over_nose.{id_}": check(f"sight.over_nose.{id_}", turn, EYE, NOSE)},
    )
    view = SideView(machine, views.lines(stance.looks())["side"], 25.0)
    way = 180.0 + turn
    (made, *_) = view._sight(f"sight.over_nose.{id_}", (900.0, 900.0), 180.0, way)
    assert made.text.startswith(f"{words}{abs(turn):.1f}")
