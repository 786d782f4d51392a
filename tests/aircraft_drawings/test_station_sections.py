"""Sections at stations: closed forms on plain bodies (DERIVED), the example's by its meshes."""

import math
from dataclasses import replace

import pytest
import shapely
import trimesh
from bay_bodies import AXIS, bay_model, tube

from geomgen.aircraft_drawings.choices import Choices
from geomgen.aircraft_drawings.station_sections import default_stations, station_sections, wall_at
from geomgen.drafting.clashes import clashes
from geomgen.drafting.dimension_lines import drawn_out
from geomgen.drafting.lettering import extent
from geomgen.drafting.own_lengths import lengths_on_paper
from geomgen.drafting.paper.sheet import room
from geomgen.drafting.record import SECTION
from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.model import Model
from geomgen.kernel.plane_frame import at_station
from geomgen.kernel.sections.section import plane_cut


def texts(sheet) -> list[str]:
    return [label.text for label in sheet.drawing.labels]


def fits(sheet) -> bool:
    low, high = extent(drawn_out(sheet.drawing))
    wide, tall = (side * sheet.over for side in room(sheet.size))
    return high[0] - low[0] <= wide and high[1] - low[1] <= tall


def test_breadth_height_and_wall_of_a_tube() -> None:
    (sheet,) = station_sections(bay_model(), Choices(stations=(700.0,)))
    sizes = {d.name: d.measured for d in sheet.drawing.dimensions}
    assert sizes == pytest.approx({"breadth": 600.0, "height": 600.0}, abs=0.05)
    assert "wall 4.00 mm" in texts(sheet)
    assert "SECTION AT STA 700.0" in texts(sheet)
    assert "wheel" in " ".join(sheet.drawing.notes)
    rings = [p for p in sheet.drawing.paths if p.layer == SECTION]
    assert sum(p.area() for p in rings) == pytest.approx(math.pi * (300.0**2 - 296.0**2), rel=1e-3)


def test_in_inches_a_long_title_stands_clear_of_a_small_section_and_fits() -> None:
    model = bay_model()
    small = {"pod": tube(0.0, 2000.0, 110.0, 106.0, "pod")}
    slim = replace(model, parts=small, families={"pod": "pod"}, passages=[], exits=[])
    with lengths_on_paper(True):
        stations = tuple(200.0 + 150.0 * i for i in range(9))
        for sheet in station_sections(slim, Choices(sheet="A4", stations=stations)):
            assert clashes(sheet.drawing) == ()
            assert fits(sheet)
            assert "wall 0.1575 in / 4.00 mm" in texts(sheet)
            assert any(text.endswith(" mm") for text in texts(sheet) if "SECTION" in text)


def test_a_thinner_wall_shows() -> None:
    thin = {"pod": tube(0.0, 2000.0, 300.0, 298.5, "pod")}
    found = wall_at(plane_cut(at_station(700.0), thin), "pod")
    assert found is not None
    assert found[1] == pytest.approx(1.5, abs=0.03)
    assert (
        wall_at(plane_cut(at_station(5.0), {"block": box((0, 0, 0), (9, 9, 9))}), "block") is None
    )


def test_the_right_hand_side_stands_right_and_mirror_images_are_named_once() -> None:
    model = bay_model()
    (sheet,) = station_sections(model, Choices(stations=(1050.0,)))
    right = [p for p in sheet.drawing.paths if p.name == "scoop_right" and p.layer == SECTION]
    axis = next(p for p in sheet.drawing.paths if p.name == "BL 0")
    assert min(x for p in right for x, _ in p.points) > axis.points[0][0] + 300.0
    assert "(left: mirror image)" in texts(sheet)
    assert "scoop left" not in texts(sheet)
    model.parts["scoop_left"] = box((1000.0, -420.0, 440.0), (1200.0, -310.0, 560.0))
    (sheet,) = station_sections(model, Choices(stations=(1050.0,)))
    assert {"scoop right", "scoop left"} <= set(texts(sheet))


def test_stations_of_the_model_when_none_are_chosen() -> None:
    stations = default_stations(bay_model())
    assert stations == pytest.approx((1000.0, 1519.75, 2039.0), abs=0.01)
    sheets = station_sections(bay_model(), Choices())
    assert sum(text.startswith("SECTION") for s in sheets for text in texts(s)) == len(stations)


def test_a_station_in_a_face_is_cut_beside_it_and_says_so() -> None:
    (sheet,) = station_sections(bay_model(), Choices(stations=(1000.0,)))
    assert any("STA 1000.0: cut 0.1 mm aft" in note for note in sheet.drawing.notes)


def test_a_station_at_the_end_of_a_part_is_cut_on_the_side_where_the_part_stands() -> None:
    """Between hull and rim lies a gap wider than a step; a core runs through both."""
    solids = {
        "pod": tube(0.0, 1000.0, 300.0, 296.0, "pod"),
        "exit": tube(1000.3, 1100.0, 300.0, 296.0, "exit"),
        "tail_fairing": box((800.0, -50.0, AXIS - 50.0), (1110.0, 50.0, AXIS + 50.0)),
    }
    model = Model(solids, {name: name for name in solids})
    for station, name, moved in (
        (1000.0, "pod", "0.1 mm forward"),
        (1000.3, "exit", "0.1 mm aft"),
        (1100.0, "exit", "0.1 mm forward"),
    ):
        (sheet,) = station_sections(model, Choices(stations=(station,)))
        assert {name, "tail fairing", "wall 4.00 mm"} <= set(texts(sheet))
        assert any(moved in note for note in sheet.drawing.notes)


def test_a_station_off_the_machine_is_refused() -> None:
    with pytest.raises(GeometryError, match=r"no part near the pod stands at station 9000.0 mm"):
        station_sections(bay_model(), Choices(stations=(9000.0,)))
    with pytest.raises(GeometryError, match="neither a pod nor a station"):
        station_sections(Model(), Choices())


@pytest.mark.parametrize("size", ["A4", "A3", "A1"])
def test_nothing_meets_and_all_fits(size: str) -> None:
    stations = (400.0, 1000.5, 1050.0, 1400.0, 2020.0)
    sheets = station_sections(bay_model(), Choices(sheet=size, stations=stations))
    for sheet in sheets:
        assert clashes(sheet.drawing) == ()
        assert fits(sheet)


def test_the_example_measures_as_its_mesh(saltmarsh_model, saltmarsh_meshes) -> None:
    (sheet,) = station_sections(saltmarsh_model, Choices(stations=(2300.0,)))
    mesh, deviation = saltmarsh_meshes["pod"]
    body = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
    rings = body.section(plane_origin=(2300.0, 0, 0), plane_normal=(1.0, 0, 0)).discrete
    points = shapely.MultiPoint([p[1:] for ring in rings for p in ring]).bounds
    sizes = {d.name: d.measured for d in sheet.drawing.dimensions}
    assert sizes["breadth"] == pytest.approx(points[2] - points[0], abs=2.5 * deviation.largest)
    assert sizes["height"] == pytest.approx(points[3] - points[1], abs=2.5 * deviation.largest)
    assert clashes(sheet.drawing) == ()
    assert fits(sheet)


def test_a_spar_is_drawn_as_far_as_the_pod_is_broad() -> None:
    model = bay_model()
    y0, y1, z = -4000.0, 4000.0, AXIS
    parts = {
        **model.parts,
        "spar_m_web": box((690, y0, z - 50), (720, y1, z + 60)),
        "rib_a_1_right": box((600, 2000, z), (1600, 2004, z + 60)),
    }
    families = {**model.families, "spar_m_web": "spar", "rib_a_1_right": "rib"}
    inside = replace(model, parts=parts, families=families)
    (sheet,) = station_sections(inside, Choices(stations=(700.0,)))
    sizes = {d.name: d.measured for d in sheet.drawing.dimensions}
    assert sizes == pytest.approx({"breadth": 600.0, "height": 600.0}, abs=0.05)
    spar = [path for path in sheet.drawing.paths if path.name == "spar_m_web"]
    axis = next(path for path in sheet.drawing.paths if path.name == "BL 0").points[0][0]
    assert max(abs(x - axis) for path in spar for x, _ in path.points) < 300.1
    assert {label for label in texts(sheet) if "spar" in label or "rib" in label} == {"spar m web"}
    assert "not strength" in " ".join(sheet.drawing.notes)
