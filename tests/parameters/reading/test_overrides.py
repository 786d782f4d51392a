import pytest

from geomgen.errors import ParameterError
from geomgen.parameters.reading.overrides import apply, value_of


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("40 mm", "40 mm"),
        ('"40 mm"', "40 mm"),
        ("'40 mm'", "40 mm"),
        ("0.8", 0.8),
        ("-2", -2),
        ("true", True),
        ("NACA 2412", "NACA 2412"),
        ("at firewall", "at firewall"),
        ("12", 12),
        ("1\nother = 2", "1\nother = 2"),
        ("[" * 5000, "[" * 5000),
        ('{ value = "1 in" }', {"value": "1 in"}),
    ],
    ids=range(12),
)
def test_values(text, value):
    assert value_of(text) == value


def test_by_number_by_name_and_in_order(saltmarsh):
    p = saltmarsh("scoops.0.width=150 mm", "scoops.cheek.width=160 mm", "scoops.0.height='50 mm'")
    assert (p.scoops[0].width, p.scoops[0].height) == (160.0, 50.0)
    assert p.written["scoops.0.width"] == "160 mm"


def test_new_table_and_nested_list(saltmarsh):
    p = saltmarsh("rules.firewall_area=0.3 m^2", "pod.stations.3.crown=1061 mm")
    assert p.rules.firewall_area.value == 3e5
    assert p.pod.stations[3].crown == 1061.0


def test_equals_sign_in_a_value(saltmarsh):
    assert saltmarsh("title=a = b").title == "a = b"


def test_one_way_of_the_blade_plane_replaces_the_other(saltmarsh):
    p = saltmarsh("propeller.station=3.2 m")
    assert (p.propeller.station, p.propeller.behind_trailing_edge) == (3200.0, None)
    with pytest.raises(ParameterError, match="both are written"):
        saltmarsh("propeller.station=3.2 m", "propeller.behind_trailing_edge=0.5")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("scoops", "not an override"),
        ("=3 mm", "not an override"),
        ("pod.wall=", "not an override"),
        ("pod..wall=3 mm", "not an override"),
        ("extends=other.toml", "can't be set"),
        ("scoops.1.width=3 mm", "no such item"),
        ("scoops.-1.width=3 mm", "no such item"),
        ("scoops.chin.width=3 mm", "no such item"),
        ("name.inner=3", "has no keys inside"),
        ("scoops.0.width.deep=3 mm", "has no keys inside"),
    ],
)
def test_refuses(saltmarsh, text, message):
    with pytest.raises(ParameterError, match=message) as caught:
        saltmarsh(text)
    assert caught.value.file == "--set"
    assert caught.value.exit_code == 2


def test_errors_name_set_instead_of_a_line(saltmarsh):
    with pytest.raises(ParameterError) as caught:
        saltmarsh("pod.wall=1 m")
    assert str(caught.value).startswith("--set: pod.wall: out of range")
    assert caught.value.line is None


def test_an_item_that_is_not_there_is_refused_in_words(saltmarsh):
    with pytest.raises(ParameterError) as caught:
        saltmarsh("gear.wheels.belly.width=100 mm")
    numbers = "a number from 0 (the first) to 1 (the last)"
    assert caught.value.allowed == f"{numbers}, or a name: main, nose"


def test_an_item_of_a_list_that_the_file_does_not_have_is_refused_in_words(saltmarsh):
    """It blamed the file: scoops is a table, and ought to be a list."""
    with pytest.raises(ParameterError, match=r"--set: ribs\.main: no such item") as caught:
        saltmarsh("ribs.main.thickness=4 mm")
    assert caught.value.allowed == "none: the file has no [[ribs]]"


def test_key_that_is_not_known_hints_at_the_right_one(saltmarsh):
    with pytest.raises(ParameterError, match=r"perhaps scoops\.0\.width\?"):
        saltmarsh("scoops.cheek.widht=40 mm")


def test_leaves_the_rest_alone():
    tables = {"a": {"b": "1 mm", "c": "2 mm"}}
    apply(tables, {}, ["a.b=3 mm"])
    assert tables == {"a": {"b": "3 mm", "c": "2 mm"}}
