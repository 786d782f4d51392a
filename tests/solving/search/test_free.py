"""What may be freed, the bounds, and the steps that can be built."""

from pathlib import Path

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters import load
from geomgen.parameters.reading.inheritance import read_with_bases
from geomgen.solving.search.free import frees_of

FILE = Path(__file__).parents[3] / "configs" / "saltmarsh.toml"


@pytest.fixture(scope="module")
def freed():
    p, (tables, _) = load(FILE), read_with_bases(FILE)
    return lambda *texts, to=(): frees_of(texts, p, tables, to)


def test_bounds_present_value_and_step(freed) -> None:
    (free,) = freed("scoops.cheek.height = 30 mm : 9 cm")
    assert (free.name, free.label) == ("scoops.0.height", "scoops.cheek.height")
    assert (free.low, free.high, free.start) == (30.0, 90.0, 56.0)
    assert free.step.text == "0.1 mm"


def test_a_threshold_and_a_word_have_their_present_values(freed) -> None:
    free, mouth = freed("rules.tip_mach=0.5:0.7", "scoops.cheek.mouth=1800mm:1900mm")
    assert (free.start, free.step.text) == (0.65, "0.001")
    assert mouth.start is None


def test_inches_are_stepped_in_inches(freed) -> None:
    (free,) = freed("scoops.cheek.height=1 1/4in:3in")
    assert (free.step.text, free.on_step(441)) == ("0.005 in", "2.205 in")
    (free,) = freed("scoops.cheek.height=1in:3in", to=("1/16 in",))
    assert free.on_step(37) == "2.3125 in"
    assert free.key.number(free.on_step(37)) == pytest.approx(37 / 16 * 25.4)


@pytest.mark.parametrize("to", ["0.5mm", "1/8 in"])
def test_every_step_within_the_bounds_is_a_value_of_the_key(freed, to: str) -> None:
    (free,) = freed("scoops.cheek.height=30mm:90mm", to=(to,))
    low, high = free.counts()
    assert free.low <= free.key.number(free.on_step(low)) < free.low + free.step.size
    assert free.high - free.step.size < free.key.number(free.on_step(high)) <= free.high


@pytest.mark.parametrize(
    ("texts", "to", "word"),
    [
        ((), (), "nothing is freed"),
        (("scoops.cheek.height",), (), "not a key with its bounds"),
        (("scoops.cheek.height=30mm",), (), "not a key with its bounds"),
        (("scoops.cheek.height=30:90",), (), "no unit"),
        (("scoops.cheek.height=30deg:90deg",), (), "unit of an angle"),
        (("scoops.cheek.height=90mm:30mm",), (), "lower bound"),
        (("scoops.cheek.height=30mm:90m",), (), "out of range"),
        (("scoops.cheek.high=30mm:90mm",), (), "unknown key"),
        (("scoops.brow.height=30mm:90mm",), (), "no such item"),
        (("scoops.cheek=30mm:90mm",), (), "a table"),
        (("firewall.material=1:2",), (), "not a dimension but a word"),
        (("scoops.cheek.mirrored=0:1",), (), "not a dimension but a word"),
        (("pod.wall=4mm:5mm", "pod.wall=4mm:6mm"), (), "freed twice"),
        (("pod.wall=4.21mm:4.28mm",), (), "no multiple of 0.1 mm"),
        (("pod.wall=4mm:5mm",), ("1 deg",), "not a step of anything"),
        (("pod.wall=4mm:5mm",), ("0 mm",), "not a step of anything"),
        (("pod.wall=4mm:5mm",), ("1e-9 mm",), "too small a step"),
        (("wing.incidence=0deg:5deg",), ("1e-320 deg",), "too small a step"),
        (("pod.wall=5mm:5mm",), (), "lower bound"),
    ],
)
def test_what_cant_be_freed(freed, texts, to, word: str) -> None:
    with pytest.raises(ParameterError, match=word) as caught:
        freed(*texts, to=to)
    assert caught.value.file in ("--free", "--to")
    assert "vary" not in str(caught.value)
