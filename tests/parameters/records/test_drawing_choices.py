"""What a file says of its drawings: read, defaulted, written again, refused."""

import re

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters import as_toml, load
from geomgen.parameters.reading.own_units import with_own_lengths
from geomgen.parameters.records.drawing_choices import Drawings


def test_as_written(folder):
    p = load(
        folder / "saltmarsh.toml",
        ["drawings.projection=third angle", "drawings.sheet=A1", 'drawings.stations=["2 ft"]'],
    )
    assert (p.drawings.projection, p.drawings.sheet) == ("third angle", "A1")
    assert p.drawings.stations == pytest.approx((609.6,))


def test_left_out_it_is_first_angle_on_a3(folder):
    file = folder / "saltmarsh.toml"
    text = file.read_text()
    start = text.index("[drawings]")
    file.write_text(text[:start] + text[text.index("[pod]") :])
    p = load(file)
    assert (p.drawings.projection, p.drawings.sheet) == ("first angle", "A3")
    assert p.drawings.stations == ()


def test_it_comes_back_from_the_file_as_used(folder, tmp_path):
    p = load(folder / "saltmarsh.toml", ["drawings.sheet=A0", 'drawings.stations=["1 m", "2 m"]'])
    again = folder / "again.toml"
    again.write_text(as_toml(p), encoding="utf-8")
    assert load(again).drawings == p.drawings


def test_lengths_are_told_as_most_of_the_file_is_written(folder):
    file = folder / "saltmarsh.toml"
    assert load(file).drawings.lengths is None
    assert load(file, ["drawings.lengths=in / mm"]).drawings.lengths == "in / mm"
    text = re.sub(
        r'"(\d+(?:\.\d+)?) mm"', lambda m: f'"{float(m[1]) / 25.4:.16g} in"', file.read_text()
    )
    file.write_text(text)
    p = load(file)
    assert p.drawings.lengths == "in / mm"
    bare = p.model_copy(update={"handoff": None, "drawings": Drawings()})
    assert with_own_lengths(bare).drawings.lengths == "in / mm"
    assert load(file, ["drawings.lengths=mm"]).drawings.lengths == "mm"
    # A set holds its parameters in mm: they must say the same when it is drawn again.
    file.write_text(as_toml(p), encoding="utf-8")
    assert load(file).drawings.lengths == "in / mm"


@pytest.mark.parametrize(
    ("override", "words"),
    [
        ("drawings.lengths=in", "in / mm"),
        ("drawings.projection=second angle", "first angle"),
        ("drawings.sheet=A5", "A4"),
        ('drawings.stations=["20 m"]', "15 m"),
        ('drawings.stations=["1 m", "4 m"]', "at most 3000 mm"),
        ('drawings.stations=["0 mm"]', "more than 0 mm"),
        ('drawings.stations=["1"]', "no unit"),
        ("drawings.scale=5", "unknown key"),
    ],
)
def test_what_is_not_allowed_is_refused(folder, override, words):
    with pytest.raises(ParameterError, match="drawings") as error:
        load(folder / "saltmarsh.toml", [override])
    assert words in str(error.value)
