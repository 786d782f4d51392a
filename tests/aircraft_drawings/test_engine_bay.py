"""The engine bay: closed forms on plain bodies (DERIVED), the example's sizes by its meshes."""

import math

import pytest
import trimesh
from bay_bodies import bay_model, check, scoop
from shapely import LineString, Polygon

from geomgen.aircraft_drawings.choices import Choices
from geomgen.aircraft_drawings.engine_bay import engine_bay
from geomgen.drafting.clashes import clashes
from geomgen.drafting.dimension_lines import drawn, drawn_out
from geomgen.drafting.lettering import extent, text_corners
from geomgen.drafting.own_lengths import lengths_on_paper
from geomgen.drafting.paper.sheet import room
from geomgen.drafting.record import CENTRE, HATCH, OPEN
from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.model import Model

CHECKS = (
    check("inlet.area", 19800.0, "mm2", "at least 164.0 cm^2", "pass", "inlets"),
    check("inlet.area.scoop_right", 9900.0, "mm2", "at least 98.0 cm^2", "pass", "scoop_right"),
    check("exit.area", 15192.7, "mm2", "at least 160.0 cm^2", "fail", "exit"),
    check("firewall.material", 1.0, "1", "one of: steel", "fail", "firewall"),
    check("firewall.mass", 1.0, "kg", "at most 2.000 kg", "pass", "firewall"),
)


def sizes(sheet) -> dict[str, float]:
    return {d.name: d.measured for d in sheet.drawing.dimensions}


def said(sheet) -> str:
    """Return all texts, top down."""
    labels = sorted(sheet.drawing.labels, key=lambda label: -label.at[1])
    return " ".join(label.text for label in labels)


def openings(sheet) -> dict[str, list[float]]:
    """Return the open lines by name, how long each is."""
    found: dict[str, list[float]] = {}
    for path in sheet.drawing.paths:
        if path.layer == OPEN:
            found.setdefault(path.name, []).append(path.length())
    return found


def fits(sheet) -> bool:
    low, high = extent(drawn_out(sheet.drawing))
    wide, tall = (side * sheet.over for side in room(sheet.size))
    return high[0] - low[0] <= wide and high[1] - low[1] <= tall


@pytest.fixture(scope="module")
def plain():
    return engine_bay(bay_model(), Choices(), CHECKS)


def test_dimensions_are_those_that_the_bodies_were_made_with(plain) -> None:
    assert sizes(plain) == pytest.approx(
        {
            "firewall to fan face": 300.0,
            "firewall to disc": 1080.0,
            "exit rim to disc": 40.0,
            "fairing at the rim": 160.0,
            "exit rim": 220.0,
            "disc": 1300.0,
            "mouth of scoop_right": 90.0,
            "mouth of scoop_left": 90.0,
        },
        abs=1e-3,
    )
    signed = {d.name for d in plain.drawing.dimensions if d.prefix}
    assert signed == {"fairing at the rim", "exit rim", "disc"}


def test_openings_are_drawn_as_far_as_they_are_open(plain) -> None:
    found = openings(plain)
    for side in ("right", "left"):
        assert found[f"scoop_{side}"] == pytest.approx([90.0])
        assert found[f"throat of scoop_{side}"] == pytest.approx([90.0])
    # The exit's ring is passed twice in each of the two sections.
    assert found["exit"] == pytest.approx([26.0] * 4, abs=0.05)


def test_checks_are_said_with_limit_and_outcome(plain) -> None:
    text = said(plain)
    assert "mouth 99.0 cm\u00b2, at least 98.0 cm\u00b2, PASS" in text
    assert "least open area 151.9 cm\u00b2, at least 160.0 cm\u00b2, FAIL" in text
    assert "scoop right: mouth 110.0 mm wide along the skin, 90.0 mm high off it" in text
    # A failure that stands beside no part is a note; what passed is none.
    notes = " ".join(plain.drawing.notes)
    assert "firewall.material" in notes
    assert "firewall.mass" not in notes
    assert "wheel" in notes


def test_the_sections_stand_under_each_other_station_by_station(plain) -> None:
    walls = [p for p in plain.drawing.paths if p.name == "firewall" and p.layer != HATCH]
    assert {round(min(x for x, _ in p.points), 6) for p in walls} == {1000.0}
    titles = {t.text: t.at[1] for t in plain.drawing.labels if t.text.startswith("SECTION")}
    assert titles["SECTION AT BL 0.0"] > titles["SECTION AT WL 500.0"]
    third = engine_bay(bay_model(), Choices(projection="third angle"), ())
    titles = {t.text: t.at[1] for t in third.drawing.labels if t.text.startswith("SECTION")}
    assert titles["SECTION AT BL 0.0"] < titles["SECTION AT WL 500.0"]
    assert (plain.projection, third.projection) == ("first angle", "third angle")
    assert clashes(third.drawing) == ()


def test_swept_volume_and_thrust_line_are_centre_lines(plain) -> None:
    disc = {p.layer for p in plain.drawing.paths if p.name == "prop_disc"}
    thrust = [p for p in plain.drawing.paths if p.name == "thrust line"]
    assert disc == {CENTRE}
    assert [p.layer for p in thrust] == [CENTRE]
    assert all(y == 500.0 for p in thrust for _, y in p.points)


def test_a_shut_mouth_shows(plain) -> None:
    model = bay_model()
    model.parts["plug"] = box((1000.0, 300.0, 400.0), (1010.0, 420.0, 600.0))
    model.families["plug"] = "engine"
    broken = engine_bay(model, Choices(), ())
    assert "scoop right: mouth, SHUT" in said(broken)
    assert "SHUT" not in said(plain)
    assert "scoop_right" not in openings(broken)
    assert "mouth of scoop_right" not in sizes(broken)
    assert "mouth of scoop_left" in sizes(broken)


def test_a_scoop_that_was_moved_shows(plain) -> None:
    def mouth(sheet) -> list[float]:
        found = next(d for d in sheet.drawing.dimensions if d.name == "mouth of scoop_right")
        return sorted((found.a[1], found.b[1]))

    moved = engine_bay(bay_model(scoop(outward=20.0)), Choices(), ())
    centres = [
        next(p.points[-1][1] for p in s.drawing.paths if p.name == "passage of scoop_right")
        for s in (plain, moved)
    ]
    off = [mouth(s)[0] - c for s, c in zip((plain, moved), centres, strict=True)]
    assert off == pytest.approx([307.0, 327.0])
    aft = engine_bay(bay_model(scoop(aft=60.0)), Choices(), ())
    assert "NOT CLOSED ALL ROUND" in said(aft)


def test_what_a_model_lacks_is_left_out() -> None:
    model = bay_model()
    for name in ("tail_fairing", "spinner", "scoop_left", "scoop_right", "prop_disc", "wheel_nose"):
        del model.parts[name], model.families[name]
    model.passages.clear()
    sheet = engine_bay(model, Choices(), ())
    assert set(sizes(sheet)) == {"exit rim"}
    assert sheet.projection == ""
    assert "WL" not in [t.text.split()[2] for t in sheet.drawing.labels if "SECTION" in t.text]
    with pytest.raises(GeometryError, match="neither firewall nor engine"):
        engine_bay(Model(), Choices(), ())


def test_a_mouth_in_the_thrust_line_is_shown_in_the_upright_section() -> None:
    model = bay_model()
    for passage in model.passages:
        object.__setattr__(passage.mouth, "seed", (1005.0, passage.mouth.seed[1], 500.0))
    turned = model.passages[:1]
    model.parts["scoop_right"] = scoop_on_top()
    model.passages = [on_top(turned[0])]
    sheet = engine_bay(model, Choices(), ())
    assert sheet.projection == ""
    assert sizes(sheet)["mouth of scoop_right"] == pytest.approx(110.0)


def scoop_on_top():
    from geomgen.kernel.solids.booleans import cut

    outer = box((1000.0, -50.0, 802.0), (1200.0, 50.0, 922.0))
    inner = box((990.0, -45.0, 807.0), (1210.0, 45.0, 917.0))
    return cut(outer, [inner], "scoop", "duct")


def on_top(passage):
    from dataclasses import replace

    from geomgen.kernel.plain import Opening, Plane

    seed = (1005.0, 0.0, 862.0)
    mouth = Opening("scoop_right", Plane(seed, (1.0, 0.0, 0.0)), seed, 80.0)
    return replace(passage, mouth=mouth, throats=())


@pytest.mark.parametrize("size", ["A3", "A2", "A1"])
def test_nothing_meets_and_all_fits(size: str) -> None:
    sheet = engine_bay(bay_model(), Choices(sheet=size), CHECKS)
    assert clashes(sheet.drawing) == ()
    assert fits(sheet)


def test_a_firewall_that_leans_is_dimensioned_at_the_thrust_line() -> None:
    from geomgen.kernel.brep.primitives import tilted

    model = bay_model()
    flat = cylinder((1000.0, 0.0, 500.0), (1.0, 0.0, 0.0), 250.0, 1.0)
    model.parts["firewall"] = tilted(flat, (1000.0, 0.0, 500.0), 8.0)
    sheet = engine_bay(model, Choices(), ())
    # Its front passes the thrust line at the axis that it was turned about.
    assert sizes(sheet)["firewall to fan face"] == pytest.approx(300.0, abs=1e-3)
    assert "firewall STA 1000.0 at the thrust line" in said(sheet)


def test_the_example_measures_as_its_meshes(saltmarsh_model, saltmarsh_meshes) -> None:
    sheet = engine_bay(saltmarsh_model, Choices(), ())

    def points(name: str):
        mesh, _ = saltmarsh_meshes[name]
        body = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
        return body.section(plane_origin=(0, 0, 0), plane_normal=(0, 1, 0)).vertices

    fore, disc = points("firewall")[:, 0].min(), points("prop_disc")
    rim, edge = points("exit")[:, 0].max(), points("wing")[:, 0].max()
    found = sizes(sheet)
    assert found["firewall to disc"] == pytest.approx(disc[:, 0].min() - fore, abs=0.2)
    assert found["exit rim to disc"] == pytest.approx(disc[:, 0].min() - rim, abs=0.2)
    assert found["trailing edge to disc"] == pytest.approx(disc[:, 0].min() - edge, abs=0.2)
    assert found["disc"] == pytest.approx(float(disc[:, 2].max() - disc[:, 2].min()), abs=0.2)
    mouth = found["mouth of scoop_cheek_right"]
    assert mouth == pytest.approx(found["mouth of scoop_cheek_left"], abs=1e-3)
    assert 0.0 < mouth < 186.0
    assert math.isfinite(mouth)
    assert clashes(sheet.drawing) == ()
    assert fits(sheet)


def boxed(dimension) -> Polygon:
    return Polygon(text_corners(drawn(dimension).label))


@pytest.mark.parametrize("high", [300.0, 420.0])
def test_the_dimension_aft_of_a_low_wing_keeps_off_the_engine(high) -> None:
    """Broken before: it ran over the hatched engine."""
    model = bay_model()
    model.parts["wing"] = box((900.0, -3000.0, high), (1250.0, 3000.0, high + 40.0))
    model.families["wing"] = "wing"
    drawing = engine_bay(model, Choices(), ()).drawing
    (edge,) = (d for d in drawing.dimensions if d.name == "trailing edge to disc")
    assert edge.measured == pytest.approx(830.0)
    line, figure = LineString(drawn(edge).line.points), boxed(edge)
    bodies = [p for p in drawing.paths if p.name in ("engine", "tail_fairing", "pod")]
    assert not any(LineString(p.points).intersects(one) for p in bodies for one in (line, figure))
    assert clashes(drawing) == ()


def test_a_mouths_figure_without_room_stands_away_from_the_hull() -> None:
    """Broken before: that of the left one stood inside, over the hull and its own leader."""
    with lengths_on_paper(True):
        drawing = engine_bay(bay_model(), Choices(), ()).drawing
    middle = next(p for p in drawing.paths if p.name == "passage to the exit").points[0][1]
    for side, way in (("right", 1.0), ("left", -1.0)):
        (one,) = (d for d in drawing.dimensions if d.name == f"mouth of scoop_{side}")
        ends = [way * (p[1] - middle) for p in (one.a, one.b)]
        off = [way * (y - middle) for _, y in boxed(one).exterior.coords]
        assert min(off) > max(ends) or min(ends) < min(off) < max(off) < max(ends)
        assert "3.543 / 90.0" in one.text


@pytest.mark.parametrize("projection", ["first angle", "third angle"])
def test_a_mouths_figure_keeps_off_the_other_section(projection) -> None:
    """Broken before: it ran into the lowest row of dimensions over it."""
    model = bay_model()
    model.parts["wing"] = box((900.0, -3000.0, 300.0), (950.0, 3000.0, 340.0))
    model.families["wing"] = "wing"
    with lengths_on_paper(True):
        drawing = engine_bay(model, Choices(projection), ()).drawing
    mouths = [boxed(d) for d in drawing.dimensions if d.name.startswith("mouth")]
    bars = [drawn(d) for d in drawing.dimensions if not d.name.startswith("mouth")]
    lines = [LineString(path.points) for one in bars for path in one.paths]
    assert len(mouths) == 2
    assert not any(box.buffer(10.0).intersects(line) for box in mouths for line in lines)
