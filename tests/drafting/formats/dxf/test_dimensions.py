"""DIMENSION entities read by the library's own tools; what a hand can spoil is caught."""

from dataclasses import replace

import ezdxf
import pytest
from drafting.formats.sheets import DIMENSIONS, DRAWING, TITLE
from ezdxf.bbox import extents

from geomgen.drafting.formats.dxf.writing import LAYERS, VIEW_LAYERS, prove_dxf, read_dxf, write_dxf
from geomgen.drafting.record import CUT, Dimension, Drawing, rectangle
from geomgen.errors import FileWriteError


@pytest.fixture
def file(tmp_path):
    return write_dxf(tmp_path / "side_view_mm.dxf", DRAWING, TITLE, 10)


def test_round_trip(file):
    prove_dxf(file, DRAWING, TITLE, 10)
    back = read_dxf(file).dimensions
    assert [(d.a, d.b, d.angle, d.text) for d in back] == [
        (d.a, d.b, d.angle, d.text) for d in DIMENSIONS
    ]


def test_independent_reader_measures_what_is_written(file):
    entities = ezdxf.readfile(file).modelspace().query("DIMENSION")
    assert len(entities) == len(DIMENSIONS)
    for entity, due in zip(entities, DIMENSIONS, strict=True):
        # DXF reference: group 13 and 14 are the points, 50 the angle, type 0 a rotated dimension.
        assert entity.dimtype == 0
        assert tuple(entity.dxf.defpoint2)[:2] == due.a
        assert tuple(entity.dxf.defpoint3)[:2] == due.b
        assert entity.get_measurement() == pytest.approx(due.measured, abs=1e-9)
        block = entity.get_geometry_block()
        assert [text.dxf.text for text in block.query("TEXT")] == [due.text]
        assert len(block.query("SOLID")) == 2


def test_model_space_is_full_size(file):
    space = ezdxf.readfile(file).modelspace()
    box = extents(space.query('LWPOLYLINE[layer=="VISIBLE"]'))
    # The pod as given: 2900 mm long, 700 mm high.
    assert box.size.x == pytest.approx(2900)
    assert box.size.y == pytest.approx(700)


def test_layers_line_types_and_widths(file):
    document = ezdxf.readfile(file)
    used = {path.layer for path in DRAWING.paths} | {"DIM"}
    assert {layer.dxf.name for layer in document.layers} >= used
    broken = {n for n in VIEW_LAYERS
              if document.layers.get(n).dxf.linetype.upper() != "CONTINUOUS"}  # fmt: skip
    assert broken == {"HIDDEN", "CENTRE", "FORMER"}
    assert document.layers.get("VISIBLE").dxf.lineweight == 35


def test_layers_of_views_are_there_only_when_used(tmp_path):
    plate = Drawing("plate", (rectangle((0, 0), (90, 50), CUT),))
    document = ezdxf.readfile(write_dxf(tmp_path / "plate_mm.dxf", plate, TITLE))
    names = {layer.dxf.name for layer in document.layers}
    assert names.isdisjoint(VIEW_LAYERS)
    assert names >= set(LAYERS)


def spoil_text(entity):
    entity.dxf.text = "length 2950.0"


def spoil_prefix(entity):
    entity.dxf.text = "width <>"


def spoil_shown(entity):
    entity.get_geometry_block().query("TEXT")[0].dxf.text = "length 2900.1"


def spoil_shown_decimals(entity):
    entity.get_geometry_block().query("TEXT")[0].dxf.text = "length 2900"


def spoil_point(entity):
    entity.dxf.defpoint3 = (2900.4, 700, 0)


def spoil_point_across(entity):
    entity.dxf.defpoint2 = (0, 5, 0)


def spoil_line(entity):
    entity.dxf.defpoint = (2900, -260, 0)


def spoil_angle(entity):
    entity.dxf.angle = 90.0


def spoil_factor(entity):
    entity.doc.dimstyles.get(entity.dxf.dimstyle).dxf.dimlfac = 2.0


def spoil_override(entity):
    style = entity.override()
    style.update({"dimlfac": 25.4})
    style.commit()


def spoil_stored(entity):
    entity.dxf.actual_measurement = 2901.0


def spoil_block_line(entity):
    entity.get_geometry_block().query("LINE")[0].translate(0, 3, 0)


def spoil_arrow(entity):
    block = entity.get_geometry_block()
    block.delete_entity(block.query("SOLID")[1])


def spoil_mirror(entity):
    entity.dxf.extrusion = (0, 0, -1)


def spoil_delete(entity):
    entity.doc.modelspace().delete_entity(entity)


SPOILERS = [value for name, value in sorted(globals().items()) if name.startswith("spoil_")]


@pytest.mark.parametrize("spoil", SPOILERS, ids=lambda f: f.__name__)
def test_damage_is_caught(file, spoil):
    document = ezdxf.readfile(file)
    spoil(document.modelspace().query("DIMENSION")[0])
    document.saveas(file)
    with pytest.raises(FileWriteError):
        prove_dxf(file, DRAWING)


@pytest.mark.parametrize("spoil", [spoil_text, spoil_shown, spoil_point, spoil_factor])
def test_figure_that_is_not_the_distance_is_refused_without_the_drawing(file, spoil):
    document = ezdxf.readfile(file)
    spoil(document.modelspace().query("DIMENSION")[0])
    document.saveas(file)
    with pytest.raises(FileWriteError, match="dimension"):
        read_dxf(file)


def test_dimension_of_another_kind_is_refused(file):
    document = ezdxf.readfile(file)
    document.modelspace().add_ordinate_x_dim((5, 5), (0, 9)).render()
    document.saveas(file)
    with pytest.raises(FileWriteError, match="of a kind that is not ours"):
        read_dxf(file)


ROUND = (
    Dimension((100.0, 100.0), (103.0, 104.0), (0.0, 0.0), 0.0, 2.5, "", 2, kind="radius"),
    Dimension((190.0, 0.0), (210.0, 0.0), (0.0, 0.0), 0.0, 2.5, "H1 ", 2, kind="diameter"),
    Dimension((30.0, 0.0), (-1.0, 40.0), (9.0, 9.0), 0.0, 2.5, "", 1, kind="angle"),
    Dimension((60.0, 0.0), (60.0, 24.0), (60.0, 0.0), 0.0, 2.5, "", 1, enlarged=2.0,
              kind="radius"),
)  # fmt: skip


@pytest.mark.parametrize("row", ROUND)
def test_round_kinds_are_what_their_points_are_apart(tmp_path, row):
    drawing = Drawing("round", dimensions=(row,))
    file = write_dxf(tmp_path / "round_mm.dxf", drawing, TITLE)
    prove_dxf(file, drawing, TITLE)
    (entity,) = ezdxf.readfile(file).modelspace().query("DIMENSION")
    # DXF reference: 3 a diameter, 4 a radius, 5 an angle by three points. PUBLISHED.
    assert entity.dimtype == {"diameter": 3, "radius": 4, "angle": 5}[row.kind]
    # Closed forms: 3, 4, 5; the sides of a hole; the angle of a slope of 40 in -1.
    due = {"radius": 5.0, "diameter": 20.0, "angle": 91.43209618}[row.kind]
    due = 24.0 if row.enlarged == 2.0 else due
    assert entity.get_measurement() == pytest.approx(due, abs=1e-6)
    others = [replace(row, b=(0.0, 50.0)), replace(row, prefix="H2 ")]
    others += [replace(row, at=(0, 80))] if row.kind == "angle" else []
    for other in others:
        with pytest.raises(FileWriteError, match="verification failed"):
            prove_dxf(file, replace(drawing, dimensions=(other,)), TITLE)


def test_round_figures():
    words = [row.text for row in ROUND]
    assert words == ["R5.00", "H1 Ø20.00", "91.4°", "R12.0"]


def test_lost_dash_is_caught(file):
    document = ezdxf.readfile(file)
    document.layers.get("HIDDEN").dxf.linetype = "CONTINUOUS"
    document.saveas(file)
    with pytest.raises(FileWriteError, match="layer HIDDEN has lines"):
        prove_dxf(file, DRAWING)


def test_figures_on_the_edge_of_rounding_are_taken(tmp_path):
    edges = tuple(
        Dimension((0.0, 0.0), (far, far), (0.0, -9.0), turn)
        for far in (0.25, 0.35, 12.25, 1000.05)
        for turn in (0.0, 90.0, 180.0)
    )
    drawing = Drawing("edges", dimensions=edges)
    prove_dxf(write_dxf(tmp_path / "edges_mm.dxf", drawing, TITLE), drawing, TITLE)


def test_command_signs_are_refused(tmp_path):
    drawing = Drawing("a", dimensions=(Dimension((0, 0), (9, 0), (0, 5), prefix="%%c"),))
    with pytest.raises(FileWriteError, match="takes for a command"):
        write_dxf(tmp_path / "a_mm.dxf", drawing, TITLE)


def test_same_bytes(file, tmp_path):
    again = write_dxf(tmp_path / "again.dxf", DRAWING, TITLE, 10)
    assert again.read_bytes() == file.read_bytes()


def detail(times):
    return Drawing(
        "detail",
        dimensions=(
            Dimension((0.0, 0.0), (50.0, 0.0), (0.0, -9.0), decimals=2, enlarged=times),
            Dimension((0.0, 0.0), (50.0, 0.0), (0.0, -19.0), decimals=2),
        ),
    )


def test_dimension_of_a_detail_reads_the_size_of_the_thing(tmp_path):
    """Closed form: 50 mm of a detail drawn 20 times as large are 2.5 mm of the thing."""
    path = write_dxf(tmp_path / "detail_mm.dxf", detail(20.0), TITLE)
    prove_dxf(path, detail(20.0), TITLE)
    large, plain = ezdxf.readfile(path).modelspace().query("DIMENSION")
    assert large.get_geometry_block().query("TEXT")[0].dxf.text == "2.50"
    assert large.override().get("dimlfac") * large.get_measurement() == pytest.approx(2.5)
    assert plain.override().get("dimlfac") == 1.0
    assert [d.enlarged for d in read_dxf(path).dimensions] == pytest.approx([20.0, 1.0])


def test_other_enlargement_is_caught(tmp_path):
    path = write_dxf(tmp_path / "detail_mm.dxf", detail(20.0), TITLE)
    with pytest.raises(FileWriteError):
        prove_dxf(path, detail(10.0), TITLE)
