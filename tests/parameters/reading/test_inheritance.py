import re

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters import load

HEAD = 'extends = "{}"\n'


def child(folder, text, base="saltmarsh.toml", name="child.toml"):
    file = folder / name
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(HEAD.format(base) + text)
    return file


def test_tables_join_key_by_key_and_lists_replace_whole(folder):
    base = load(folder / "saltmarsh.toml")
    p = load(child(folder, 'mass = []\n[pod]\nwall = "5 mm"\n[[gear.wheels]]\nname="a"\n' + WHEEL))
    assert p.pod.wall == 5.0
    assert p.pod.stations == base.pod.stations
    assert p.gear.layout == base.gear.layout
    assert [w.name for w in p.gear.wheels] == ["a", "b"]


WHEEL = """role = "main"
station = "1.9 m"
buttock_line = "700 mm"
waterline = "100 mm"
diameter = "300 mm"
width = "80 mm"
[[gear.wheels]]
name = "b"
role = "nose"
station = "0.3 m"
waterline = "100 mm"
diameter = "300 mm"
width = "80 mm"
"""


def test_equal_to_the_base_when_nothing_is_changed(folder):
    assert load(child(folder, "")) == load(folder / "saltmarsh.toml")


def test_threshold_does_not_keep_the_source_of_another_value(folder):
    p = load(child(folder, "[rules]\ntrailing_edge_gap = { value = 0.2 }\n"))
    assert p.rules.trailing_edge_gap.source is None


def test_line_and_file_of_a_bad_value(folder):
    with pytest.raises(ParameterError) as caught:
        load(child(folder, '\n[pod]\nwall = "5"\n'))
    assert (caught.value.file, caught.value.line) == ("child.toml", 4)
    text = (folder / "saltmarsh.toml").read_text().replace('wall = "4 mm"', 'wall = "4"')
    (folder / "saltmarsh.toml").write_text(text)
    with pytest.raises(ParameterError) as caught:
        load(child(folder, ""))
    assert caught.value.file == "saltmarsh.toml"
    assert 'wall = "4"' in text.splitlines()[caught.value.line - 1]


def test_deeper_file_sees_aerofoils_beside_its_base(folder):
    file = child(folder, "", base="../saltmarsh.toml", name="sub/child.toml")
    p = load(file)
    name = p.tailplane.sections[0].aerofoil
    assert re.fullmatch(r"file:curlew-[0-9a-f]{8}\.dat", name)
    assert len(p.aerofoils[name]) == 49
    assert p.written["tailplane.sections.0.aerofoil"] == "file:../curlew.dat"


def test_one_way_of_the_blade_plane_replaces_the_other(folder):
    p = load(child(folder, '[propeller]\nstation = "3.2 m"\n'))
    assert p.propeller.behind_trailing_edge is None
    p = load(child(folder, "[propeller]\nbehind_trailing_edge = 1.4\n", "hayfield.toml"))
    assert p.propeller.station is None


def test_chain_of_files(folder):
    child(folder, '[pod]\nwall = "5 mm"\n', name="one.toml")
    p = load(child(folder, 'title = "last"\n', base="one.toml", name="two.toml"))
    assert (p.title, p.pod.wall) == ("last", 5.0)


def test_circles_and_depth(folder):
    with pytest.raises(ParameterError, match="circle"):
        load(child(folder, "", base="child.toml"))
    child(folder, "", base="b.toml", name="a.toml")
    child(folder, "", base="./a.toml", name="b.toml")
    with pytest.raises(ParameterError, match="circle") as caught:
        load(folder / "a.toml")
    assert (caught.value.key, caught.value.line) == ("extends", 1)
    for i in range(12):
        child(folder, "", base=f"d{i + 1}.toml", name=f"d{i}.toml")
    with pytest.raises(ParameterError, match="more than 8"):
        load(folder / "d0.toml")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("extends = 3\n", "not the name of a file"),
        ('extends = ""\n', "not the name of a file"),
        ('extends = ["a"]\n', "not the name of a file"),
        ('extends = "none.toml"\n', "no such file"),
        ('extends = "."\n', "a folder"),
        ('extends = "/saltmarsh.toml"\n', "absolute path"),
        ('extends = "a\\u0000b"\n', "not the name of a file"),
    ],
)
def test_refuses(folder, text, message):
    file = folder / "child.toml"
    file.write_text(text)
    with pytest.raises(ParameterError, match=message) as caught:
        load(file)
    assert caught.value.exit_code == 2
