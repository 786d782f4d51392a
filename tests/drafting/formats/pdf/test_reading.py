"""Texts of a page that another program's canvas wrote, at known places."""

import math

import pytest
from reportlab.pdfgen.canvas import Canvas

from geomgen.drafting.formats.pdf.reading import pages
from geomgen.drafting.lettering import CAPITAL
from geomgen.errors import FileWriteError

MM = 72 / 25.4


def test_place_angle_and_size(tmp_path):
    path = tmp_path / "a.pdf"
    canvas = Canvas(str(path), pagesize=(200 * MM, 100 * MM))
    canvas.setFont("Helvetica", 10 * MM)
    canvas.drawString(20 * MM, 30 * MM, "WL 820 \u00e4")
    canvas.translate(50 * MM, 60 * MM)
    canvas.rotate(30)
    canvas.drawString(0, 0, "turned")
    canvas.save()
    with pages(path) as (page,):
        level, turned = page.texts
    assert (page.width, page.height) == pytest.approx((200, 100), abs=1e-3)
    assert level.text == "WL 820 \u00e4"
    assert (*level.at, level.angle, level.height / CAPITAL) == pytest.approx(
        (20, 30, 0, 10), abs=1e-3
    )
    assert (*turned.at, turned.angle) == pytest.approx((50, 60, 30), abs=1e-3)
    assert math.isclose(turned.height / CAPITAL, 10, abs_tol=1e-3)


def test_file_that_is_none(tmp_path):
    path = tmp_path / "a.pdf"
    with pytest.raises(FileWriteError), pages(path):
        pass
    path.write_bytes(b"no such thing")
    with pytest.raises(FileWriteError, match="can't be read back"), pages(path):
        pass
