"""Pages of text and tables, read back from the file."""

import pdfplumber
import pytest

from geomgen.documents.pdf import write_page
from geomgen.documents.record import Banner, Heading, Notice, Table, Words, rows_of
from geomgen.drafting.paper.title import Title

TITLE = Title("Demo", "plate", "B", hand="left", fingerprint="abc123")
WRONG = Title("Demo", "plate", "B", reason="only a trial")


def words(path):
    with pdfplumber.open(path) as document:
        return " ".join(page.extract_text() for page in document.pages)


def test_text_page_wraps_and_repeats_its_head(tmp_path):
    rows = rows_of((f"check.{i}", "a long line of words " * 6, "FAIL") for i in range(75))
    blocks = [
        Banner("DO NOT CUT", loud=True), Heading("Checks"), Words("Cautions <first> & foremost"),
        Notice("a crumb"),
        Table(("check", "what", "verdict"), rows, (0.3, 0.5, 0.2)),
    ]  # fmt: skip
    path = write_page(tmp_path / "p.pdf", WRONG, blocks)
    text = words(path)
    assert text.count("verdict") >= 3
    for expected in (
        "DO NOT CUT",
        "<first> &",
        "check.74",
        "NOTICE: a crumb",
        "RELEASED ALTHOUGH",
        "airworthiness",
    ):
        assert expected in text
    assert write_page(tmp_path / "q.pdf", WRONG, blocks).read_bytes() == path.read_bytes()


def test_a_check_s_id_is_parted_between_its_words(tmp_path):
    """A column too narrow for the id; its lines are read back from the page."""
    ids = ("prop.ground_clearance.rotated", "prop.ground_clearance.flat_tyre")
    rows = rows_of((id_, "x") for id_ in ids)
    path = write_page(tmp_path / "p.pdf", TITLE, [Table(("check", "b"), rows, (0.19, 0.81))])
    found = words(path).split()
    pieces = [word for word in found if word.startswith(("prop.", "rotated", "flat_", "tyre"))]
    assert {"prop.ground_clearance.", "rotated"} <= set(pieces)
    assert not {"d", "re", "yre"} & set(found)
    for id_ in ids:
        assert id_ in "".join(pieces)


@pytest.mark.parametrize("shift", range(4))
def test_a_row_stays_on_its_page_under_one_head(tmp_path, shift):
    """Whatever stands above: no figure of a cell may be looked for on the next page."""
    rows = rows_of((f"row{i}", f"begin{i} " + "word " * 60 + f"end{i}") for i in range(30))
    blocks = [*[Words("above")] * shift, Table(("a", "b"), rows, (0.7, 0.3))]
    path = write_page(tmp_path / "p.pdf", TITLE, blocks)
    with pdfplumber.open(path) as document:
        pages = [page.extract_text().split() for page in document.pages]
    assert len(pages) > 2
    for i in range(30):
        holding = [k for k, page in enumerate(pages) if {f"begin{i}", f"end{i}"} & set(page)]
        assert len(holding) == 1
    assert [page.count("b") for page in pages] == [1] * len(pages)


@pytest.mark.parametrize("lines", range(73, 79))
def test_a_row_about_as_tall_as_a_page_is_written_whole(tmp_path, lines):
    rows = rows_of([("a", " ".join(f"l{i:02}" + "m" * 10 for i in range(lines)))])
    path = write_page(tmp_path / "p.pdf", TITLE, [Table(("a", "b"), rows, (0.8, 0.2))])
    assert words(path).count("m" * 10) == lines


def test_row_taller_than_a_page_runs_on(tmp_path):
    rows = rows_of([("note", "word " * 1800 + "last")])
    path = write_page(tmp_path / "p.pdf", TITLE, [Table(("a", "b"), rows, (0.3, 0.7))])
    assert words(path).count("word") == 1800
    assert "last" in words(path)
