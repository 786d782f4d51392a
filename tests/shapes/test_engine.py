"""The engine's envelope is one body; a row that stands apart is refused by the rules."""

from geomgen.shapes.assembly.steps import steps
from geomgen.shapes.engine import engine


def test_only_tables_that_the_file_has_are_to_be_looked_at(variant) -> None:
    (step,) = [step for step in steps(variant("engine.cylinders=[]")) if step.name == "engine"]
    assert step.look_at == ("engine.boxes",)


def test_the_example_is_one_body(variant) -> None:
    assert engine(variant()).name == "engine"
