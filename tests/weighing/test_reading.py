"""What the scales said, typed or in a list: units, pairs, blanks, and what is no reading."""

import pytest

from geomgen.errors import ParameterError
from geomgen.weighing.reading import listed_readings, typed_readings


@pytest.mark.parametrize(
    ("text", "name", "written", "mass"),
    [
        ("pod=9.2kg", "pod", "9.2 kg", 9.2),
        ("pod = 9200 g", "pod", "9200 g", 9.2),
        ("pod=20 lb", "pod", "20 lb", 9.0718474),
        ("pod=8 oz", "pod", "8 oz", 0.226796185),
        ("boom=6.84 kg both", "boom", "3.42 kg", 3.42),
        ("boom=0.1 kg both", "boom", "0.05 kg", 0.05),
        ("boom=3.42 kg each", "boom", "3.42 kg", 3.42),
        ("battery #2 = 2 kg # charged = yes", "battery #2", "2 kg", 2.0),
        ("a = b = 2 kg", "a = b", "2 kg", 2.0),
    ],
)
def test_a_reading_keeps_its_unit(text, name, written, mass):
    (reading,) = typed_readings([text])
    assert (reading.name, reading.written) == (name, written)
    assert reading.mass == pytest.approx(mass, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("pod=9.2", "no unit"),
        ("pod=-9.2 kg", "negative"),
        ("pod=0 kg", "zero"),
        ("pod=9,2 kg", "not a number with a unit"),
        ("pod=9 mm", "not a unit of"),
        ("pod=3000 kg", "out of range"),
        ("pod", "not a part with its mass"),
        ("pod=", "not a part with its mass"),
        ("=9 kg", "not a part with its mass"),
    ],
)
def test_what_is_no_reading_is_refused_in_words(text, problem):
    with pytest.raises(ParameterError) as refused:
        typed_readings([text])
    told = str(refused.value)
    assert problem in told or (problem == "not a unit of" and "mm" in told)
    assert "do:" in told


def test_a_list_as_filled_in_in_the_shop(tmp_path):
    file = tmp_path / "weighed.txt"
    file.write_text("# of 3 December\npod = 9.2 kg\n\nboom = 6.8 kg both # painted\nwing = ___\n")
    found, blank = listed_readings(file)
    assert [(one.name, one.written, one.line) for one in found] == [
        ("pod", "9.2 kg", 2),
        ("boom", "3.4 kg", 4),
    ]
    assert blank == ["wing"]


def test_a_wrong_line_of_a_list_is_named(tmp_path):
    file = tmp_path / "weighed.txt"
    file.write_text("pod = 9.2 kg\nboom = 3\n")
    with pytest.raises(ParameterError, match=r"weighed\.txt, line 2: boom: no unit"):
        listed_readings(file)


def test_a_list_that_is_not_there_is_refused(tmp_path):
    with pytest.raises(ParameterError, match="no such file"):
        listed_readings(tmp_path / "none.txt")
