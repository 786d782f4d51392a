"""DXF read back: unit, layers, closed outlines, arcs; the same bytes; damage is caught."""

import math
import os
import pathlib
import subprocess
import sys
from dataclasses import replace

import ezdxf
import pytest
from ezdxf.bbox import extents

from geomgen.drafting.formats.dxf.writing import (
    EVERY_LAYER,
    LAYERS,
    SOLID,
    prove_dxf,
    read_dxf,
    write_dxf,
)
from geomgen.drafting.paper.pens import PENS
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import BEND, CUT, REF, Drawing, Label, Path, circle, line, rectangle
from geomgen.errors import FileWriteError

TITLE = Title("Demo", "plate", "B", hand="left", reason="only a trial")
QUARTER = math.tan(math.pi / 8)
PLATE = Drawing(
    "plate",
    (
        Path(((0, 0), (90, 0), (100, 10), (100, 50), (0, 50)), (0, QUARTER, 0, 0, 0), name="edge"),
        circle((30, 25), 7.0),
        line((0, 40), (100, 40), BEND),
        line((50, 0), (50, 50), REF),
    ),
    (Label((10, 10), "WL 820", 4.0, 90.0, "middle"),),
    ("note one",),
)


@pytest.fixture
def file(tmp_path):
    return write_dxf(tmp_path / "plate_mm.dxf", PLATE, TITLE)


def test_round_trip(file):
    prove_dxf(file, PLATE)
    back = read_dxf(file)
    assert back.paths[0].points == PLATE.paths[0].points
    # Closed form: rectangle less the corner outside a quarter round of radius 10.
    assert back.paths[0].area() == pytest.approx(5000 - (100 - 25 * math.pi))
    assert back.labels[0] == PLATE.labels[0]


def test_independent_reader_sees_unit_layers_and_closed_outlines(file):
    document = ezdxf.readfile(file)
    # $INSUNITS 4 is millimetre, 1 inch, 6 metre (DXF reference).
    assert document.header["$INSUNITS"] == 4
    assert {layer.dxf.name for layer in document.layers} >= set(LAYERS)
    kinds = {entity.dxftype() for entity in document.modelspace()}
    assert kinds == {"LWPOLYLINE", "TEXT"}
    assert all(e.closed for e in document.modelspace().query('LWPOLYLINE[layer=="CUT"]'))


def test_title_and_reason_are_in_it(file):
    texts = " ".join(label.text for label in read_dxf(file).labels)
    for words in ("only a trial", "revision B", "left hand", "note one", "airworthiness"):
        assert words in texts


def test_same_bytes(file, tmp_path):
    again = write_dxf(tmp_path / "again.dxf", PLATE, TITLE)
    assert again.read_bytes() == file.read_bytes()


def test_open_cut_outline_is_refused(tmp_path):
    torn = Drawing("torn", (Path(((0, 0), (1, 0), (1, 1)), closed=False, layer=CUT),))
    with pytest.raises(FileWriteError, match="is open"):
        write_dxf(tmp_path / "torn.dxf", torn, TITLE)


def test_dashes_can_be_seen_and_the_extent_is_set(file):
    document = ezdxf.readfile(file)
    dashes = [abs(tag.value) for tag in document.linetypes.get("long dashed thin").pattern_tags.tags
              if tag.code == 49 and tag.value]  # fmt: skip
    # Common practice: a dash of 3 to 15 mm on a drawing in millimetres.
    assert 3 <= max(dashes) * document.header["$LTSCALE"] <= 15
    assert tuple(document.header["$EXTMIN"])[:2] == (0, 0)
    assert tuple(document.header["$EXTMAX"])[:2] == (100, 50)


def test_line_types_are_our_own_with_the_dashes_of_the_pens(file):
    """Three are asked for by the format itself; the others are named after ISO 128-2."""
    document = ezdxf.readfile(file)
    own = {t.dxf.name for t in document.linetypes} - {"ByLayer", "ByBlock", "Continuous"}
    assert own == {name for _, name in EVERY_LAYER.values() if name != SOLID}
    assert all(set(name.split()) & {"dashed", "chain"} and " " in name for name in own)
    for layer, (_, name) in EVERY_LAYER.items():
        if name in own:
            tags = document.linetypes.get(name).pattern_tags.tags
            assert [abs(t.value) for t in tags if t.code == 49] == pytest.approx(PENS[layer][1])


def test_other_dashes_are_caught(file):
    text = file.read_text()
    head, tail = text.split("long dashed thin", 1)
    file.write_text(head + "long dashed thin" + tail.replace("49\n6.0\n", "49\n5.0\n", 1))
    with pytest.raises(FileWriteError, match="other dashes"):
        prove_dxf(file, PLATE)


def test_another_face_is_caught(file):
    document = ezdxf.readfile(file)
    assert document.styles.get("Standard").dxf.font == "arial.ttf"
    document.styles.get("Standard").dxf.font = "txt"
    document.saveas(file)
    with pytest.raises(FileWriteError, match="letters are not those"):
        prove_dxf(file, PLATE)


def test_lost_title_is_caught(file):
    prove_dxf(file, PLATE, TITLE)
    with pytest.raises(FileWriteError, match="is lost"):
        prove_dxf(file, PLATE, replace(TITLE, hand="right"))


def test_doubled_point_is_refused(tmp_path):
    doubled = Drawing("doubled", (Path(((0, 0), (9, 0), (9, 0), (9, 9))),))
    with pytest.raises(FileWriteError, match="doubled point"):
        write_dxf(tmp_path / "doubled.dxf", doubled, TITLE)


@pytest.mark.parametrize(
    "damage",
    ["unit", "moved", "line", "text", "text moved", "text turned", "mirrored", "cut off",
     "other thing"],
)  # fmt: skip
def test_damage_is_caught(file, damage):
    document = ezdxf.readfile(file)
    space = document.modelspace()
    if damage == "unit":
        document.header["$INSUNITS"] = 1
    elif damage == "moved":
        space.query("LWPOLYLINE")[1].translate(0.01, 0, 0)
    elif damage == "line":
        space.delete_entity(space.query("LWPOLYLINE")[2])
    elif damage == "text":
        space.query("TEXT")[0].dxf.text = "WL 830"
    elif damage == "text moved":
        space.query("TEXT")[0].translate(5, 0, 0)
    elif damage == "text turned":
        space.query("TEXT")[0].dxf.rotation = 0
    elif damage == "mirrored":
        space.query("LWPOLYLINE")[1].dxf.extrusion = (0, 0, -1)
    elif damage == "other thing":
        space.add_ellipse((0, 0), (5, 0), 0.5)
    document.saveas(file)
    if damage == "cut off":
        file.write_bytes(file.read_bytes()[:5000])
    with pytest.raises(FileWriteError):
        prove_dxf(file, PLATE)


def test_folder_that_is_not_there(tmp_path):
    with pytest.raises(FileWriteError):
        write_dxf(tmp_path / "no" / "plate.dxf", PLATE, TITLE)


def test_rectangle_of_an_inch_is_25_4(tmp_path):
    inch = Drawing("inch", (rectangle((0, 0), (25.4, 25.4)),))
    path = write_dxf(tmp_path / "inch_mm.dxf", inch, TITLE)
    box = extents(ezdxf.readfile(path).modelspace().query("LWPOLYLINE"))
    assert box.size.x == pytest.approx(25.4)


def test_same_bytes_in_every_process(file, tmp_path):
    # The order of a set of words is another one under another seed (Python's own rule).
    script = (
        "import sys; from pathlib import Path\n"
        "from drafting.formats.dxf.test_writing import PLATE, TITLE\n"
        "from geomgen.drafting.formats.dxf.writing import write_dxf\n"
        "write_dxf(Path(sys.argv[1]), PLATE, TITLE)"
    )
    root = pathlib.Path(__file__).parents[4]
    for seed in ("0", "4"):
        made = tmp_path / f"{seed}.dxf"
        env = os.environ | {
            "PYTHONHASHSEED": seed,
            "PYTHONPATH": f"{root / 'tests'}{os.pathsep}{root}",
        }
        subprocess.run([sys.executable, "-c", script, str(made)], check=True, env=env)
        assert made.read_bytes() == file.read_bytes()
