"""A page that was printed wrong on purpose does not prove right."""

from dataclasses import replace

import pytest
from drafting.formats.sheets import DRAWING, SHEET, TITLE

from geomgen.drafting.formats.pdf import pages
from geomgen.drafting.formats.pdf.pages import write_sheet
from geomgen.drafting.formats.pdf.pages_proof import prove_sheet
from geomgen.drafting.record import Dimension, Path
from geomgen.errors import FileWriteError


def test_sound_page_proves_right(tmp_path):
    prove_sheet(write_sheet(tmp_path / "a.pdf", SHEET, TITLE), SHEET, TITLE)


def changed(**parts):
    return replace(SHEET, drawing=replace(DRAWING, **parts))


def first_path(points):
    return (replace(DRAWING.paths[7], points=points), *DRAWING.paths[8:])


FORMER = DRAWING.paths[7].points
OTHERS = {
    "a line lost": changed(paths=DRAWING.paths[:7] + DRAWING.paths[8:]),
    "a line more": changed(paths=(*DRAWING.paths, DRAWING.paths[7])),
    "a corner off by 1 mm": changed(
        paths=(*DRAWING.paths[:7], *first_path(((2001, 100), *FORMER[1:])))
    ),
    "an arc of another height": changed(
        paths=(DRAWING.paths[0], replace(DRAWING.paths[1], bulges=(-0.41, 0)), *DRAWING.paths[2:])
    ),
    "an arc to the other side": changed(
        paths=(DRAWING.paths[0], replace(DRAWING.paths[1], bulges=(0.4, 0)), *DRAWING.paths[2:])
    ),
    "another layer": changed(
        paths=(*DRAWING.paths[:7], replace(DRAWING.paths[7], layer="NEW"), *DRAWING.paths[8:])
    ),
    "a text lost": changed(labels=DRAWING.labels[1:]),
    "another text": changed(
        labels=(replace(DRAWING.labels[0], text="STA 1501"), *DRAWING.labels[1:])
    ),
    "a text moved": changed(
        labels=(DRAWING.labels[0], replace(DRAWING.labels[1], at=(250, 152)), DRAWING.labels[2])
    ),
    "a text turned": changed(
        labels=(DRAWING.labels[0], replace(DRAWING.labels[1], angle=89.0), DRAWING.labels[2])
    ),
    "a text of another size": changed(
        labels=(DRAWING.labels[0], replace(DRAWING.labels[1], height=26.0), DRAWING.labels[2])
    ),
    "another dimension": changed(
        dimensions=(
            Dimension((0, 0), (2899, 700), (1000, -250), 0.0, 25.0, "length "),
            *DRAWING.dimensions[1:],
        )
    ),
    "a larger sheet": replace(SHEET, size="A2"),
    "a smaller scale": replace(SHEET, over=20),
    "the other projection": replace(SHEET, projection="third angle"),
}


@pytest.mark.parametrize("other", OTHERS)
def test_page_of_another_drawing_is_caught(tmp_path, other):
    path = write_sheet(tmp_path / "a.pdf", OTHERS[other], TITLE)
    with pytest.raises(FileWriteError, match="verification failed"):
        prove_sheet(path, SHEET, TITLE)


def test_another_title_is_caught(tmp_path):
    path = write_sheet(tmp_path / "a.pdf", SHEET, replace(TITLE, fingerprint="ffffff"))
    with pytest.raises(FileWriteError, match="reads 'ffffff'"):
        prove_sheet(path, SHEET, TITLE)


@pytest.mark.parametrize("factor", [0.999, 0.97, 1.01])
def test_page_that_was_scaled_is_caught(tmp_path, monkeypatch, factor):
    real = pages.new_canvas

    def scaled(*args):
        canvas, buffer = real(*args)
        canvas.scale(factor, factor)
        return canvas, buffer

    monkeypatch.setattr(pages, "new_canvas", scaled)
    path = write_sheet(tmp_path / "a.pdf", SHEET, TITLE)
    with pytest.raises(FileWriteError, match="verification failed"):
        prove_sheet(path, SHEET, TITLE)


def test_file_that_is_cut_off(tmp_path):
    path = write_sheet(tmp_path / "a.pdf", SHEET, TITLE)
    path.write_bytes(path.read_bytes()[:300])
    with pytest.raises(FileWriteError, match="can't be read back"):
        prove_sheet(path, SHEET, TITLE)


def crowded(shift=0.0):
    """Return a sheet with a line whose points fall together in the digits of a page."""
    points = (*tuple((100.0 + 0.001 * i, 500.0 + shift) for i in range(40)), (400.0, 500.0))
    fine = Path(points, (), False, "FORMER", "fine")
    return replace(SHEET, drawing=replace(DRAWING, paths=(*DRAWING.paths, fine)))


def test_points_that_fall_together_prove_right_and_a_shift_does_not(tmp_path):
    page = write_sheet(tmp_path / "a.pdf", crowded(), TITLE)
    prove_sheet(page, crowded(), TITLE)
    with pytest.raises(FileWriteError, match="fine"):
        prove_sheet(page, crowded(shift=5.0), TITLE)
