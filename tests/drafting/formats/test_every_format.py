"""All files of a drawing: there, listed with their hashes, the same twice."""

import hashlib
from dataclasses import replace

import pytest
from drafting.formats.sheets import SHEET, TITLE

from geomgen.drafting.formats.every_format import write_drawing
from geomgen.errors import FileWriteError


def test_three_files_with_their_hashes(tmp_path):
    rows = write_drawing(tmp_path, SHEET, TITLE)
    assert [row["file"] for row in rows] == ["side_view_mm.dxf", "side_view.pdf", "side_view.svg"]
    assert {path.name for path in tmp_path.iterdir()} == {row["file"] for row in rows}
    for row in rows:
        data = (tmp_path / row["file"]).read_bytes()
        assert row["sha256"] == hashlib.sha256(data).hexdigest()
        assert row["bytes"] == len(data)


def test_same_bytes(tmp_path):
    first, second = tmp_path / "1", tmp_path / "2"
    first.mkdir()
    second.mkdir()
    assert write_drawing(first, SHEET, TITLE) == write_drawing(second, SHEET, TITLE)


def test_folder_that_is_not_there(tmp_path):
    with pytest.raises(FileWriteError):
        write_drawing(tmp_path / "no", SHEET, TITLE)


def test_blanks_of_a_name_are_underscores(tmp_path):
    sheet = replace(SHEET, drawing=replace(SHEET.drawing, name="side view"))
    assert write_drawing(tmp_path, sheet, TITLE)[0]["file"] == "side_view_mm.dxf"
