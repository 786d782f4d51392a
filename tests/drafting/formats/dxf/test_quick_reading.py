"""The quick reader against the library's own (ezdxf)."""

import pytest

from geomgen.drafting.formats.dxf.quick_reading import read_quickly
from geomgen.drafting.formats.dxf.writing import read_dxf, write_dxf
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import BEND, REF, Dimension, Drawing, Label, Path, circle, rectangle
from geomgen.errors import FileWriteError

DRAWING = Drawing(
    "rib",
    (
        rectangle((0.0, 0.0), (120.5, 40.25)),
        circle((30.0, 20.0), 8.0),
        Path(((1.0, 2.0), (3.0, 2.5), (7.0, 9.0)), (0.0, 0.2, 0.0), False, BEND),
        Path(((1.0, 2.0), (3.0, 2.5)), (), False, REF),
    ),
    (
        Label((5.0, 6.0), "STA 1800 right", 4.0),
        Label((50.0, 6.0), "up 30°", 3.5, 30.0, "middle"),
        Label((60.0, 16.0), "tip", 3.5, 90.0, "end"),
    ),
)
TITLE = Title("Demo", "rib", "A", fingerprint="0123456789ab")


def test_it_reads_what_the_library_reads(tmp_path):
    path = write_dxf(tmp_path / "rib_mm.dxf", DRAWING, TITLE)
    assert read_quickly(path) == read_dxf(path)


def test_what_it_does_not_know_it_leaves_to_the_library(tmp_path):
    more = Drawing("rib", DRAWING.paths, (), (), (Dimension((0, 0), (9.0, 0), (4.0, -9.0)),))
    path = write_dxf(tmp_path / "rib_mm.dxf", more, TITLE)
    assert len(read_quickly(path).dimensions) == 1


@pytest.mark.parametrize("text", ["", "0\nSECTION\n", "nothing of the kind"])
def test_what_is_no_drawing_is_refused(tmp_path, text):
    path = tmp_path / "rib_mm.dxf"
    path.write_text(text)
    with pytest.raises(FileWriteError):
        read_quickly(path)


def test_a_changed_figure_is_seen(tmp_path):
    path = write_dxf(tmp_path / "rib_mm.dxf", DRAWING, TITLE)
    path.write_bytes(path.read_bytes().replace(b"120.5", b"121.5"))
    assert read_quickly(path).paths[0].points[1][0] == 121.5
