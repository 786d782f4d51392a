"""The standard views of the example: every part is seen in one of them, and all files prove good.

Source: common practice.
"""

import pytest
from pictured import visible_parts

from geomgen.files.disk import write_bytes
from geomgen.renders.picture import SIZE, pictures_of
from geomgen.renders.proof import prove_picture
from geomgen.renders.view import standard_views

# Of 400,000 pixels.
LEAST = 60


@pytest.fixture(scope="module")
def meshes(saltmarsh_meshes):
    return {name: made for name, (made, _) in saltmarsh_meshes.items()}


def test_every_part_is_seen_in_one_of_them(saltmarsh_model, meshes):
    most = dict.fromkeys(meshes, 0)
    for view in standard_views(saltmarsh_model):
        for name, many in visible_parts(meshes, view).items():
            most[name] = max(most[name], many)
    assert {name: many for name, many in most.items() if many < LEAST} == {}


def test_the_engine_is_seen_in_its_bay_alone(saltmarsh_model, meshes):
    views = {view.name: view for view in standard_views(saltmarsh_model)}
    engines = [n for n, family in saltmarsh_model.families.items() if family == "engine"]
    assert engines
    for name in engines:
        assert visible_parts(meshes, views["engine_bay"])[name] > 5000
        assert visible_parts(meshes, views["side"])[name] == 0


@pytest.mark.long
def test_all_pictures_are_written_and_proved(saltmarsh_model, meshes, tmp_path):
    names = []
    for name, data in pictures_of(saltmarsh_model, meshes):
        write_bytes(tmp_path / name, data)
        prove_picture(tmp_path / name, SIZE)
        names.append(name)
    views = [f"{view.name}.png" for view in standard_views(saltmarsh_model)]
    assert names == [*views, "pilot_sight.png"]
