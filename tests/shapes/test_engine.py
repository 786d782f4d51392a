"""The engine's envelope is one body, or the row that stands apart is named by its key."""

import pytest

from geomgen.errors import GeometryError
from geomgen.shapes.assembly.steps import made, steps
from geomgen.shapes.engine import engine


def test_a_row_that_stands_apart_is_named_with_its_key_and_distance(variant) -> None:
    """Closed form: the muffler is moved down by 200 mm from where it touches."""
    p = variant()
    last = len(p.engine.cylinders) - 1
    name, at = p.engine.cylinders[last].name, p.engine.cylinders[last].waterline
    moved = variant(f"engine.cylinders.{last}.waterline={at - 200} mm")
    (step,) = [step for step in steps(moved) if step.name == "engine"]
    with pytest.raises(GeometryError) as caught:
        made(step, moved, {})
    assert f"engine.cylinders.{last} '{name}' stands" in caught.value.problem
    assert caught.value.look_at == ["engine.boxes", "engine.cylinders"]


def test_only_tables_that_the_file_has_are_to_be_looked_at(variant) -> None:
    (step,) = [step for step in steps(variant("engine.cylinders=[]")) if step.name == "engine"]
    assert step.look_at == ("engine.boxes",)


def test_the_example_is_one_body(variant) -> None:
    assert engine(variant()).name == "engine"
