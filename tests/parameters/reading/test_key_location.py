"""Where the keys that an error names stand."""

import pickle

import pytest

from geomgen.errors import GeometryError, Stand
from geomgen.parameters import load
from geomgen.parameters.reading.key_location import lines_told, stand_of
from geomgen.parameters.reading.overrides import apply


def line_of(folder, words, file="saltmarsh.toml", nth=0):
    rows = [i for i, row in enumerate((folder / file).read_text().splitlines(), 1) if words in row]
    return rows[nth]


@pytest.mark.parametrize(
    ("key", "words", "nth"),
    [
        ("pod.stations.3.crown", 'crown = "1060 mm"', 0),
        ("pod.wall", 'wall = "4 mm"', 0),
        ("pod.stations", "[[pod.stations]]", 0),
        ("pod.stations.2", "[[pod.stations]]", 2),
        ("scoops.cheek.width", 'width = "170 mm"', 0),
        ("scoops.0.width", 'width = "170 mm"', 0),
        ("scoops", "[[scoops]]", 0),
        ("scoops.cheek", "[[scoops]]", 0),
        ("engine.boxes.reduction gear.length", 'length = "95 mm"', 0),
        ("exit", "[exit]", 0),
        ("rules.trailing_edge_gap", "trailing_edge_gap", 0),
    ],
)
def test_file_and_line(folder, key, words, nth):
    p = load(folder / "saltmarsh.toml")
    assert stand_of(p, key) == Stand(key, "saltmarsh.toml", line_of(folder, words, nth=nth))


def test_left_out_and_not_there(folder):
    text = (
        (folder / "saltmarsh.toml")
        .read_text()
        .replace('boundary_layer_gap = "6 mm"', "# boundary_layer_gap")
    )
    (folder / "mine.toml").write_text(text.replace('bore = "50 mm"', "# bore"))
    p = load(folder / "mine.toml")
    assert stand_of(p, "scoops.cheek.boundary_layer_gap").note == "left to its default"
    assert stand_of(p, "exit.tail_fairing.bore").note == "not in the file"
    assert stand_of(p, "propeller.station").note == "not in the file"


@pytest.mark.parametrize(
    "words", ["where wing and boom meet", "scoops.chin", "scoops.9", "pod.wal", "", "pod..wall"]
)
def test_words_that_are_no_key(folder, words):
    assert stand_of(load(folder / "saltmarsh.toml"), words) is None


def test_base_file_and_command_line(folder):
    (folder / "mine.toml").write_text('extends = "saltmarsh.toml"\n\n[pod]\nwall = "5 mm"\n')
    p = load(folder / "mine.toml", ["scoops.cheek.height=55 mm"])
    assert stand_of(p, "pod.wall") == Stand("pod.wall", "mine.toml", 4)
    crown = line_of(folder, 'crown = "1060 mm"')
    assert stand_of(p, "pod.stations.3.crown").line == crown
    assert stand_of(p, "scoops.0.height").words == "scoops.0.height (--set)"


def test_what_is_shown_is_what_set_takes(folder):
    """A key by name and by number leads to the same value."""
    tables = {"scoops": [{"name": "cheek", "width": "1 in"}]}
    for key in ("scoops.cheek.width", "scoops.0.width"):
        apply(tables, {}, [f"{key}=2 in"])
        assert tables["scoops"][0]["width"] == "2 in"
        tables["scoops"][0]["width"] = "1 in"


def test_an_error_says_where_its_keys_stand(folder):
    p = pickle.loads(pickle.dumps(load(folder / "saltmarsh.toml")))
    line = line_of(folder, 'wall = "4 mm"')
    error = GeometryError("it folds", part="pod", look_at=["pod.wall", "where it bends"])
    with pytest.raises(GeometryError) as caught, lines_told(p):
        raise error
    assert f"look at: pod.wall (saltmarsh.toml, line {line}), where it bends" in str(caught.value)
    fields = caught.value.as_dict()
    assert fields["look_at"] == ["pod.wall", "where it bends"]
    assert fields["stands"] == [
        {"key": "pod.wall", "file": "saltmarsh.toml", "line": line, "note": ""}
    ]


def test_the_pipeline_says_it(folder):
    """A scoop broader than the hull: refused while it is built, not before."""
    from geomgen import workflows

    p = load(
        folder / "saltmarsh.toml", ["scoops.cheek.width=800 mm", "scoops.cheek.clock_angle=80 deg"]
    )
    with pytest.raises(GeometryError) as caught:
        workflows.assemble(p)
    assert "scoops.cheek.width (--set)" in str(caught.value)
    assert all(stand.file for stand in caught.value.stands)
