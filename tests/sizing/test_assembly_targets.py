"""Targets of the assembled machine: what is said where a file leaves a figure open."""

from pathlib import Path

from geomgen.parameters import load
from geomgen.sizing.targets import figures

CONFIGS = Path(__file__).parents[2] / "configs"


def bank(*overrides):
    every = figures(load(CONFIGS / "hayfield.toml", list(overrides)))
    return next(target for target in every if target.id == "ground.bank_angle.*")


def test_a_main_tyre_that_does_not_sink_when_flat_is_told_and_a_tail_wheel_s_is_not():
    assert bank("gear.wheels.tail.flat=0 in").notices == ()
    (told,) = bank("gear.wheels.main.flat=0 in").notices
    assert told.startswith("gear.wheels.main: flat is 0 mm or left out")
