"""Records as lines of a terminal."""

import pytest

from geomgen.documents.record import Heading, Notice, Row, Table, Words, rows_of
from geomgen.documents.screen import lines_of

TABLE = Table(
    ("check", "former", "new"),
    (
        Row(("prop.radial_clearance", "30.00 mm", "24.00 mm"), "bad"),
        Row(("exit.area", "147.4 cm^2", "-"), under=(("where", "at the rim"), ("note", ""))),
    ),
    title="Figures",
)


def test_columns_line_up_and_tones_are_kept():
    lines = lines_of([TABLE], 100)
    assert lines[:2] == [("", ""), ("Figures", "bold")]
    rows = [line for line, _ in lines[2:5]]
    words = ("FORMER", "30.00", "147.4")
    assert len({row.index(word) for row, word in zip(rows, words, strict=True)}) == 1
    assert lines[3][1] == "bold red"


def test_what_else_there_is_to_say_stands_under_its_row():
    assert lines_of([TABLE], 100)[5:] == [("    where: at the rim", "")]


def test_numbers_stand_to_the_right():
    table = Table(("a", "b"), rows_of([("x", "1.00"), ("y", "100.00")]), numbers=(1,))
    ends = {len(line) for line, _ in lines_of([table], 80)}
    assert len(ends) == 1


@pytest.mark.parametrize("width", [60, 80, 100])
def test_no_line_is_wider_than_the_screen(width):
    long = Table(("a", "b"), (Row(("x" * 90, "some words " * 20), under=(("c", "d e " * 60),)),))
    many = Table(tuple("abcdefg"), rows_of([("some words " * 3,) * 7]))
    blocks = [long, many, Words("word " * 60, lead="a: "), Notice("word " * 60)]
    assert all(len(line) <= width for line, _ in lines_of(blocks, width))


def test_a_name_without_room_stands_whole_in_a_line_of_its_own():
    name = "inlet.area.scoop_cheek_right"
    table = Table(("a", "b", "c"), rows_of([(name, "147.4 cm^2", "PASS"), ("x", "1 mm", "PASS")]))
    assert [line for line, _ in lines_of([table], 30)] == [
        *("A  B           C", name, "   147.4 cm^2  PASS", "x  1 mm        PASS"),
    ]
    assert [line for line, _ in lines_of([table], 60)][1].split()[:2] == [name, "147.4"]


def test_a_figure_is_not_cut_at_its_point():
    table = Table(("a", "b"), rows_of([("word " * 9, "1234.5678 mm")]))
    assert "1234.5678" in "\n".join(line for line, _ in lines_of([table], 24))


def test_an_empty_table_takes_no_room():
    assert lines_of([Table(("a",), (), title="T")], 80) == []


def test_a_notice_is_loud_with_an_empty_line_before_it():
    assert lines_of([Heading("h"), Notice("mind this")], 80) == [
        ("h", "bold"),
        ("", ""),
        ("NOTICE  mind this", "bold yellow"),
    ]
