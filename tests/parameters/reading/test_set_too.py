"""What is set must not be varied or freed too; lists and tables may be set beside it."""

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters.reading.overrides import apply
from geomgen.parameters.reading.refusal import Origin
from geomgen.parameters.reading.set_too import WORDS, not_set_too


def laid(*texts: str):
    """Origins after overrides, of a file that has every key by itself."""
    tables = {"scoops": [{"name": "cheek", "height": "50 mm"}], "pod": {"wall": "4 mm"}}
    origins = {(): Origin("a.toml", None), ("pod", "wall"): Origin("a.toml", 3)}
    apply(tables, origins, list(texts))
    return origins


HEIGHT = ("scoops", 0, "height")


@pytest.mark.parametrize(
    "text",
    [
        "pod.wall=5 mm",
        'drawings.stations=["600 mm"]',
        "scoops.cheek.width=40 mm",
        "scoops.cheek.heights=40 mm",
        'rules.prop_radial={value="30 mm", source="mine"}',
    ],
)
def test_other_keys_may_be_set(text: str) -> None:
    not_set_too([HEIGHT], laid(text), "--free")


@pytest.mark.parametrize("option", WORDS)
@pytest.mark.parametrize(
    ("text", "laid_over"),
    [
        ("scoops.cheek.height=40 mm", "scoops.0.height"),
        ("scoops.0.height=40 mm", "scoops.0.height"),
        ('scoops.cheek={name="brow", height="40 mm"}', "scoops.0"),
        ('scoops=[{name="brow", height="40 mm"}]', "scoops"),
    ],
)
def test_the_same_key_by_any_name_and_what_holds_it(option, text: str, laid_over: str) -> None:
    with pytest.raises(ParameterError, match=f"set and {WORDS[option]} at once") as caught:
        not_set_too([HEIGHT], laid(text), option)
    error = caught.value
    assert (error.file, error.key) == (option, "scoops.0.height")
    assert error.written == f"--set {laid_over}"


def test_a_value_inside_a_varied_threshold() -> None:
    """A whole threshold laid over takes what was set inside it away."""
    with pytest.raises(ParameterError, match="at once"):
        not_set_too([("rules", "tip_mach")], laid("rules.tip_mach.value=0.6"), "--vary")
    not_set_too([("rules", "tip_mach", "value")], laid("rules.tip_mach.source=mine"), "--vary")
